"""`optimiser rules`: rule sets side by side, one in full, what differs, for people and for programs."""

import json
from collections import Counter
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from optimiser import library
from optimiser.catalogue import Catalogue
from optimiser.cautions import CAUTIONS
from optimiser.printing.objects import OBJECTS
from optimiser.rules import KNOWN
from tests.cli_help import run
from tests.conftest import Folders

NAMES = ["default", "small-craft", "au-nz", "eu-uk", "us-ca"]
ASKED = [(), ("--differs",), ("au-nz",), ("au-nz", "--differs"), ("default",), ("default", "--differs")]


def cells(printed: str, figure: str) -> list[str]:
    """What stands in the first row of a figure."""
    return next(line.split() for line in printed.splitlines() if line.split()[:1] == [figure])


def test_all_sets_stand_side_by_side_with_units_and_marks() -> None:
    printed = run("rules").stdout

    assert cells(printed, "figure") == ["figure", *NAMES, "unit"]
    assert cells(printed, "fuse_distance_mm") == ["fuse_distance_mm", "200", "178*", "200+", "200+", "178*", "mm"]
    assert cells(printed, "conductor_c") == ["conductor_c", "70", "70", "70", "70", "70", "C"]
    first, _, second = printed.partition("Where they differ")
    assert all(figure in first for figure in KNOWN)
    assert "conductor_c" not in second and "tail_distance_mm" in second
    # The default has that figure, and so has small-craft by the same source.
    rows = [line.split() for line in second.splitlines() if line.split()[:1] == ["tail_distance_mm"]]
    assert [row[1:4] for row in rows] == [["default", "1016", "mm"], ["au-nz", "999*", "mm"]]


def test_one_set_in_full_has_the_default_s_value_where_it_is_another() -> None:
    printed = run("rules", "us-ca").stdout

    assert cells(printed, "fuse_distance_mm")[1:5] == ["178*", "200", "mm", "read"]
    assert cells(printed, "fuse_of_ampacity")[1:5] == ["1+", "ratio", "second", "hand"]
    assert all(figure in printed for figure in KNOWN)
    assert not any(one in printed for one in ("au-nz", "eu-uk"))


def test_what_differs_alone() -> None:
    """The same figures by both commands; of the default itself none."""
    of_one = json.loads(run("rules", "eu-uk", "--differs", "--json").stdout)["figures"]
    of_all = json.loads(run("rules", "--differs", "--json").stdout)["figures"]

    values = {row["figure"]: {value["rule_set"]: value["differs"] for value in row["values"]} for row in of_all}
    assert [row["figure"] for row in of_one] == [name for name, by in values.items() if by["eu-uk"] != "nothing"]
    assert all(set(by.values()) > {"nothing"} for by in values.values())  # the default never differs from itself
    none = run("rules", "default", "--differs").stdout
    assert "No figure differs" in none and not any(figure in none for figure in KNOWN)
    assert "conductor_c" not in run("rules", "--differs").stdout


@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_every_page_ends_with_the_cautions(asked: tuple[str, ...]) -> None:
    printed = " ".join(run("rules", *asked).stdout.split())

    assert printed.endswith(" ".join(CAUTIONS))
    assert "compliant" not in printed.lower()
    assert "Only those marked read were seen." in printed


@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_the_json_is_of_its_type(asked: tuple[str, ...], catalogue: Catalogue) -> None:
    text = run("rules", *asked, "--json").stdout

    TypeAdapter(OBJECTS["rules"]).validate_json(text, strict=True)
    found = json.loads(text)
    assert found["base"] == "default" and all(caution in found["caution"] for caution in CAUTIONS)
    shown = [one["name"] for one in found["rule_sets"]]
    assert shown == ([asked[0]] if asked and asked[0] in NAMES else NAMES)
    for row in found["figures"]:
        assert row["unit"] == KNOWN[row["figure"]].unit and row["says"] == KNOWN[row["figure"]].says
        for value in row["values"]:
            figure = catalogue.rule_sets[value["rule_set"]].figures[row["figure"]]
            assert (value["value"], value["state"], value["source"]) == (figure.value, figure.state, figure.source)
    for one in found["rule_sets"]:
        states = Counter(figure.state for figure in catalogue.rule_sets[one["name"]].figures.values())
        assert one["states"] == states and sum(states.values()) == len(KNOWN)


def test_a_name_that_is_not_there_is_refused_with_the_nearest() -> None:
    result = run("rules", "au_nz")

    assert result.exit_code == 2 and result.stderr.startswith("au_nz: no such rule set; expected au-nz, or one of ")


def test_a_catalogue_of_ones_own_is_compared_with_its_first_set(trailer: Folders) -> None:
    path = trailer.catalogue / "rule_sets.csv"
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    shop, other = ([row.replace("default,", f"{name},", 1) for row in rows] for name in ("shop", "other"))
    other = [row.replace("other,drop_share,0.035,", "other,drop_share,0.01,") for row in other]
    path.write_text("\n".join([head, *shop, *other, ""]), encoding="utf-8")

    found = library.list_rules(catalogue=[str(trailer.catalogue)])

    assert found.base.name == "shop" and found.differing == ("drop_share",)
    assert "shop: the catalogue does not say what it is for" in found.text()


def test_a_program_and_a_notebook_have_it_too() -> None:
    found = library.list_rules("us-ca", differs=True)

    assert [one.name for one in found.rule_sets] == ["us-ca"]
    assert found.figures == found.differing
    assert "can kill" in found._repr_html_()


def test_problems_of_the_catalogue_are_told_line_by_line(copy: Path) -> None:
    path = copy / "rule_sets.csv"
    path.write_text(
        path.read_text(encoding="utf-8").replace("eu-uk,bundle_factor,0.5,", "eu-uk,bundle_factor,1.5,"), "utf-8"
    )

    result = run("rules", "--catalogue", copy)

    assert result.exit_code == 2 and "1.5 is not allowed for bundle_factor" in result.stderr
