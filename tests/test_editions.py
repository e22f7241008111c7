"""Editions: where a rule set is for, which months it serves, and what `check` says of one that does not."""

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.checking import overview
from optimiser.printing import overview_lines
from optimiser.reading import input_hash, read_case, read_catalogue, shipped_cases, shipped_catalogue
from tests.cli_help import run
from tests.reading_help import change, problems_of

HEAD = "rule_set,title,region,edition,built_from,built_to,source,state,remark\n"


@pytest.fixture(scope="module")
def case(catalogue: Catalogue) -> Case:
    """A shipped case."""
    return read_case(shipped_cases() / "tiny-trailer", catalogue)


def built(case: Case, catalogue: Catalogue, rule_set: str, month: str | None) -> Case:
    """The case by that rule set, fitted out in that month."""
    brief = case.brief.model_copy(update={"rule_set": rule_set, "built": month})
    return replace(case, brief=brief, rules=catalogue.rule_sets[rule_set])


def of_rules(case: Case, catalogue: Catalogue) -> list[str]:
    """Warnings about the rule set."""
    return [odd.text for odd in overview(case, catalogue).oddities if odd.place.startswith("rule set ")]


def dated(tmp_path: Path, *rows: str) -> Catalogue:
    """The shipped catalogue with these editions laid over it."""
    (tmp_path / "editions.csv").write_text(HEAD + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return read_catalogue(shipped_catalogue(), tmp_path)


def test_only_one_shipped_set_has_months_and_says_where_from(catalogue: Catalogue) -> None:
    """Published on 18 November 2022, second hand; nothing was found of any other."""
    editions = {name: rules.edition for name, rules in catalogue.rule_sets.items()}

    assert {name: edition.months for name, edition in editions.items() if edition} == {
        "default": "", "small-craft": "", "au-nz": "from 2022-11", "eu-uk": "", "us-ca": "",
    }  # fmt: skip
    au = editions["au-nz"]
    assert au is not None and au.state == "second hand" and "18 November 2022" in au.source
    for edition in editions.values():
        assert edition is not None and edition.title and edition.region and edition.edition and edition.remark


@pytest.mark.parametrize(("month", "warned"), [("2022-10", True), ("2022-11", False), ("2026-03", False)])
def test_a_set_serves_from_its_first_month(month: str, warned: bool, case: Case, catalogue: Catalogue) -> None:
    its = built(case, catalogue, "au-nz", month)

    assert bool(of_rules(its, catalogue)) is warned
    says = "does not serve" if warned else "serves"
    assert overview(its, catalogue).built == f"{month}; rule set au-nz {says} it: from 2022-11"
    assert f"Built {overview(its, catalogue).built}" in list(overview_lines(overview(its, catalogue)))


def test_where_none_serves_the_month_that_is_said(case: Case, catalogue: Catalogue) -> None:
    assert of_rules(built(case, catalogue, "au-nz", "2022-10"), catalogue) == [
        "serves what is built from 2022-11, and this is built 2022-10; no rule set of the catalogue says that it does"
    ]


@pytest.mark.parametrize(("month", "warned"), [("2021-12", False), ("2022-01", True)])
def test_a_set_serves_to_its_last_month_and_the_others_are_named(
    month: str, warned: bool, case: Case, tmp_path: Path
) -> None:
    mine = dated(
        tmp_path,
        "eu-uk,Older,here,an older one,2015-06,2021-12,our own record,memory,",
        "us-ca,Newer,there,a newer one,,2030-01,our own record,memory,",
    )
    found = of_rules(built(case, mine, "eu-uk", month), mine)

    text = "serves what is built from 2015-06 to 2021-12, and this is built 2022-01; expected one that does: us-ca (to"
    assert found == ([f"{text} 2030-01)"] if warned else [])


def test_of_a_set_without_months_nothing_is_known(case: Case, catalogue: Catalogue) -> None:
    its = built(case, catalogue, "default", "2026-03")

    assert of_rules(its, catalogue) == []
    assert overview(its, catalogue).built == (
        "2026-03; rule set default does not say which months it serves, so this is not known"
    )
    assert overview(built(case, catalogue, "default", None), catalogue).built == ""


def test_check_warns_and_ends_well(folder: Path) -> None:
    """A warning is no problem."""
    change(folder / "case.toml", 'rule_set = "default"', 'rule_set = "au-nz"')
    change(folder / "case.toml", '# built = "2026-03"', 'built = "2022-10"')

    result = run("check", folder)

    assert result.exit_code == 0
    assert "rule set au-nz: serves what is built from 2022-11" in " ".join(result.stdout.split())


@pytest.mark.parametrize(
    ("value", "shown", "wants"),
    [
        ('"2026-13"', "'2026-13'", ""), ('"2026-3"', "'2026-3'", ""), ('"March 2026"', "'March 2026'", ""),
        ("2026", "2026", ", in quotes"), ("2026-03-01", "2026-03-01", ", in quotes"),
    ],
)  # fmt: skip
def test_a_month_is_written_as_one(value: str, shown: str, wants: str, folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", '# built = "2026-03"', f"built = {value}")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert problem.column == "built"
    assert problem.message == f"{shown} is not allowed; expected a year and a month as 2026-03{wants}"


# --- the file -----------------------------------------------------------------------------------------


FAULTS = {
    "unknown": ("au-nx,Mine,here,ours,,,,,", "rule_set", "no rule set 'au-nx' in rule_sets.csv; expected au-nz"),
    "order": ("au-nz,Mine,here,ours,2022-11,2022-10,ours,read,", "built_to", "2022-10 is before built_from"),
    "source": ("au-nz,Mine,here,ours,2022-11,,,read,", "source", "empty cell though a month is given"),
    "state": ("au-nz,Mine,here,ours,,2022-11,ours,,", "state", "empty cell though a month is given"),
    "source of no months": ("au-nz,Mine,here,ours,,,ours,,", "source", "'ours' though no month is given"),
    "state of no months": ("au-nz,Mine,here,ours,,,,read,", "state", "'read' though no month is given"),
    "month": ("au-nz,Mine,here,ours,2022-00,,ours,read,", "built_from", "'2022-00' is not allowed; expected a year"),
    "sure": ("au-nz,Mine,here,ours,2022-11,,ours,sure,", "state", "'sure' is not allowed; expected one of read"),
    "title": ("au-nz,,here,ours,,,,,", "title", "empty cell; expected text"),
    "twice": ("au-nz,Mine,here,ours,,,,,\nau-nz,Mine,here,ours,,,,,", "rule_set", "'au-nz' stands in row 2 too"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_of_an_edition_is_named(name: str, tmp_path: Path) -> None:
    row, column, says = FAULTS[name]

    (problem,) = problems_of(lambda: dated(tmp_path, row))

    assert (problem.file, problem.column) == (str(tmp_path / "editions.csv"), column)
    assert (problem.row, problem.message.startswith(says)) == (3 if name == "twice" else 2, True), problem.message


def test_one_month_alone_is_in_order(tmp_path: Path) -> None:
    edition = dated(tmp_path, "au-nz,Mine,here,ours,2022-11,2022-11,ours,read,").rule_sets["au-nz"].edition

    assert edition is not None
    assert [edition.serves(month) for month in ("2022-10", "2022-11", "2022-12")] == [False, True, False]


def test_a_later_folder_replaces_what_is_said_of_a_rule_set(tmp_path: Path, catalogue: Catalogue) -> None:
    mine = dated(tmp_path, "au-nz,Mine,here,ours,,,,,")

    titles = {name: rules.edition and rules.edition.title for name, rules in mine.rule_sets.items()}
    shipped = {name: rules.edition and rules.edition.title for name, rules in catalogue.rule_sets.items()}
    assert titles == shipped | {"au-nz": "Mine"}


def test_a_catalogue_without_the_file_is_read_without_a_note(copy: Path, folder: Path, catalogue: Catalogue) -> None:
    """Nothing is calculated from it: builds are of the same inputs."""
    (copy / "editions.csv").unlink()

    old = read_catalogue(copy)

    assert {rules.edition for rules in old.rule_sets.values()} == {None}
    assert old.notes == ()
    assert {n: r.figures for n, r in old.rule_sets.items()} == {n: r.figures for n, r in catalogue.rule_sets.items()}
    assert input_hash(folder, old) == input_hash(folder, catalogue)


def test_a_misspelt_file_is_named(copy: Path) -> None:
    (copy / "editions.csv").rename(copy / "edition.csv")

    (problem,) = problems_of(lambda: read_catalogue(copy))

    assert str(problem) == f"{copy / 'edition.csv'}: not a catalogue file; expected editions.csv"
