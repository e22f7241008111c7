"""Rows of the catalogue that cannot be are refused where they are read; what is odd of them is told by check."""

from pathlib import Path

import pytest

from optimiser.catalogue import Catalogue
from optimiser.checking.odd_values import odd_parts, odd_survey
from optimiser.parts import Cable
from optimiser.reading import read_catalogue, read_inputs, shipped_cases
from tests.cli_help import run
from tests.reading_help import line_of, problems_of

# IEC 60228 class 5, plain copper, most ohm/km at 20 C (second hand)
CLASS_5 = {
    1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272, 95: 0.206,
    120: 0.161,
}  # fmt: skip


def altered(copy: Path, file: str, part: str, column: str, value: str) -> tuple[Path, int]:
    """A cell of the catalogue changed; its file and line."""
    path = copy / f"{file}.csv"
    text = path.read_text(encoding="utf-8")
    header = next(line for line in text.split("\n") if line.startswith("name,")).split(",")
    row = next(line for line in text.split("\n") if line.startswith(f"{part},"))
    cells = row.split(",")
    cells[header.index(column)] = value
    path.write_text(text.replace(row, ",".join(cells)), encoding="utf-8")
    return path, line_of(text, row)


# panel-100-rigid: 20 V x 5 A, Voc 23.8, Isc 5.3; module-12-100: 12.8 V, so 5 to 200 A for each of its 100 Ah is
# 25.6 to 0.64 mohm; inverter-12-1000; 16 mm2 of ideal copper has 1.0776 ohm/km
EDGES = {
    "watts": ("panels", "panel-100-rigid", "watt_w", "105", "105.1"),
    "few watts": ("panels", "panel-100-rigid", "watt_w", "95", "94.9"),
    "vmp": ("panels", "panel-100-rigid", "vmp_v", "20.9", "23.8"),
    "imp": ("panels", "panel-100-rigid", "imp_a", "5.2", "5.3"),
    "soft cell": ("modules", "module-12-100", "resistance_mohm", "25.6", "25.7"),
    "hard cell": ("modules", "module-12-100", "resistance_mohm", "0.64", "0.63"),
    "soft cell of 24 V": ("modules", "module-24-100", "resistance_mohm", "51.2", "51.3"),
    "hard cell of 24 V": ("modules", "module-24-100", "resistance_mohm", "1.28", "1.27"),
    "soft cell of 50 Ah": ("modules", "module-12-50", "resistance_mohm", "51.2", "51.3"),
    "more of a module in more cold": ("modules", "module-12-100", "capacity_minus_20c_pct", "80", "81"),
    "surge of module": ("modules", "module-12-100", "surge_a", "100", "99"),
    "hot": ("inverters", "inverter-12-1000", "watt_40c_w", "1000", "1001"),
    "surge": ("inverters", "inverter-12-1000", "surge_w", "1000", "999"),
    "cut-off low": ("inverters", "inverter-12-1000", "cut_off_v", "7.2", "7.1"),
    "cut-off high": ("inverters", "inverter-12-1000", "cut_off_v", "12.6", "12.7"),
    "cut-off of 24 V": ("inverters", "inverter-24-2000", "cut_off_v", "14.4", "14.3"),
    "cents of sundries": ("inverters", "inverter-12-1000", "sundries", "25.01", "25.001"),
    "cents of a mount": ("panels", "panel-100-rigid", "mount_price", "20.01", "20.001"),
    "cents of a cable's ends": ("cables", "cable-dc-16", "end_price", "2.01", "2.001"),
    "copper": ("cables", "cable-dc-16", "ohm_per_km", "1.08", "1.07"),
    "little copper": ("cables", "cable-dc-16", "ohm_per_km", "1.34", "1.35"),
    "no resistance": ("cables", "cable-mains-2.5", "ohm_per_km", "7.98", "0"),
    "no section": ("cables", "cable-dc-16", "section_mm2", "16", "0"),
    "no ampacity": ("cables", "cable-dc-16", "ampacity_a", "130", "0"),
    # module-12-100 is 320 long with terminals on the front, regulator-75-10 120 wide with terminals on the left,
    # busbar-100-4 90 long with terminals at bottom and top, isolator-200 75 wide with one at either end
    "terminal of the front": ("modules", "module-12-100", "terminal_offset_mm", "160", "161"),
    "terminal of an end": ("regulators", "regulator-75-10", "terminal_offset_mm", "60", "61"),
    "terminals along both sides": ("busbars", "busbar-100-4", "terminal_offset_mm", "45", "46"),
    "terminal of an odd side": ("isolators", "isolator-200", "terminal_offset_mm", "37", "38"),
    "terminals nobody knows where": ("shunts", "shunt-1x150", "terminal_offset_mm", "0", ""),
    "lugs nobody knows how long": ("inverters", "inverter-12-1000", "lug_room_mm", "0", ""),
    "more room than any lug takes": ("inverters", "inverter-12-1000", "lug_room_mm", "1000", "1001"),
    "thread": ("inverters", "inverter-12-1000", "stud_mm", "24", "25"),
    "a side that is none": ("inverters", "inverter-12-1000", "terminal_sides", "left top", "back"),
    "mains from nowhere": ("inverters", "inverter-12-1000", "mains_side", "front", "rear"),
}


@pytest.mark.parametrize("name", EDGES)
def test_what_can_be_is_read_and_what_cannot_is_named(name: str, copy: Path) -> None:
    file, part, column, inside, outside = EDGES[name]
    altered(copy, file, part, column, inside)
    assert read_catalogue(copy)

    path, line = altered(copy, file, part, column, outside)

    found = problems_of(lambda: read_catalogue(copy))
    assert (str(path), line, column) in [(p.file, p.row, p.column) for p in found]
    assert all("; expected " in p.message for p in found)


def test_terminals_on_a_side_are_power_terminals(copy: Path) -> None:
    altered(copy, "step_downs", "step-down-24-20", "terminal_mm2", "0.5")
    assert read_catalogue(copy)

    altered(copy, "step_downs", "step-down-24-20", "terminal_mm2", "0")
    (found,) = problems_of(lambda: read_catalogue(copy))
    assert found.column == "terminal_sides"
    assert found.message == "left right for no power terminals; expected nothing, or a terminal_mm2 above 0"


def test_what_is_from_the_middle_of_a_side_says_of_which(copy: Path) -> None:
    altered(copy, "step_downs", "step-down-24-20", "terminal_offset_mm", "")
    altered(copy, "step_downs", "step-down-24-20", "terminal_sides", "")
    assert read_catalogue(copy)  # nothing is known, but for the room

    altered(copy, "step_downs", "step-down-24-20", "terminal_offset_mm", "10")
    (found,) = problems_of(lambda: read_catalogue(copy))
    assert (found.column, found.message) == (
        "terminal_offset_mm", "10 from the middle of no side; expected a side in terminal_sides"
    )  # fmt: skip


def test_terminals_on_two_kinds_of_side_are_within_the_shorter(copy: Path) -> None:
    altered(copy, "busbars", "busbar-100-4", "terminal_sides", "left top")  # 90 x 60
    altered(copy, "busbars", "busbar-100-4", "terminal_offset_mm", "30")
    assert read_catalogue(copy)

    altered(copy, "busbars", "busbar-100-4", "terminal_offset_mm", "31")
    (found,) = problems_of(lambda: read_catalogue(copy))
    assert found.message == "31 is beyond the edge of its left top; expected at most 30, half of its width_mm"


@pytest.mark.parametrize("section", CLASS_5)
def test_no_cable_has_more_copper_than_the_standard_lets_it(section: float, catalogue: Catalogue) -> None:
    found = [c for c in catalogue.of("cables").values() if isinstance(c, Cable) and c.section_mm2 == section]

    assert found
    for cable in found:
        assert cable.ohm_per_km >= 0.9 * CLASS_5[section]
        assert 1.0 <= cable.ohm_per_km * section / 17.241 <= 1.25


def test_every_power_cable_is_of_a_section_of_the_standard(catalogue: Catalogue) -> None:
    assert {c.section_mm2 for c in catalogue.of("cables").values() if c.kind != "data"} <= set(CLASS_5)


def test_nothing_of_the_shipped_catalogue_is_odd(catalogue: Catalogue) -> None:
    assert list(odd_parts(catalogue)) == []


@pytest.mark.parametrize(
    ("file", "part", "column", "inside", "outside", "says"),
    [
        # 1000 x 510 mm: 0.51 m2
        ("panels", "panel-100-rigid", "mass_kg", "4.08", "4.07", "8 to 16"),
        ("panels", "panel-100-rigid", "mass_kg", "8.16", "8.17", "8 to 16"),
        # 1000 x 530 mm
        ("panels", "panel-80-flex", "mass_kg", "1.06", "1.05", "2 to 5"),
        ("panels", "panel-80-flex", "mass_kg", "2.65", "2.66", "2 to 5"),
        # 1110 x 540 mm
        ("panels", "panel-120-folding", "mass_kg", "2.4", "2.39", "4 to 12"),
        ("panels", "panel-120-folding", "mass_kg", "7.19", "7.2", "4 to 12"),
        # 1280 Wh
        ("modules", "module-12-100", "mass_kg", "8", "7.9", "80 to 160"),
        ("modules", "module-12-100", "mass_kg", "16", "16.1", "lead-acid 25 to 50"),
        # 1000 W at 88 %: 136.4 W lost
        ("inverters", "inverter-12-1000", "heat_w", "68.2", "68.1", "loses 136 W"),
        ("inverters", "inverter-12-1000", "heat_w", "272.7", "272.8", "loses 136 W"),
        # 10 A x 13.5 V at 97 %: 4.175 W; 15 A at 90 %: 22.5 W; 20 A at 89 %: 33.37 W; 20 A at 93 %: 20.32 W
        ("regulators", "regulator-75-10-12v", "heat_w", "2.09", "2.08", "loses 4 W"),
        ("regulators", "regulator-75-10-12v", "heat_w", "8.34", "8.36", "loses 4 W"),
        ("mains_chargers", "mains-charger-12-15", "heat_w", "11.3", "11.2", "loses 23 W"),
        ("mains_chargers", "mains-charger-12-15", "heat_w", "45", "45.1", "loses 23 W"),
        ("alternator_chargers", "alternator-charger-12-20", "heat_w", "16.7", "16.6", "loses 33 W"),
        ("alternator_chargers", "alternator-charger-12-20", "heat_w", "66.7", "66.8", "loses 33 W"),
        ("step_downs", "step-down-24-20", "heat_w", "10.17", "10.15", "loses 20 W"),
        ("step_downs", "step-down-24-20", "heat_w", "40.6", "40.7", "loses 20 W"),
    ],
)
def test_what_the_trade_does_not_sell_is_told(
    file: str, part: str, column: str, inside: str, outside: str, says: str, copy: Path
) -> None:
    altered(copy, file, part, column, inside)
    assert list(odd_parts(read_catalogue(copy))) == []

    altered(copy, file, part, column, outside)

    ((name, text),) = odd_parts(read_catalogue(copy))
    assert name == part
    assert says in text


def test_parts_and_check_tell_what_is_odd(copy: Path) -> None:
    altered(copy, "panels", "panel-100-rigid", "mass_kg", "20")

    listed = run("parts", "panels", "--where", "watt_w=100", "--catalogue", copy).stdout
    classes = run("parts", "--catalogue", copy).stdout
    checked = run("check", "tiny-trailer", "--catalogue", copy).stdout

    assert "Warning: panel-100-rigid: 39 kg/m2" in listed and "Warning: part panel-100-rigid: 39 kg/m2" in classes
    assert "part panel-100-rigid: 39 kg/m2" in checked
    assert "Warning" not in run("parts", "panels", "--where", "watt_w=200", "--catalogue", copy).stdout


@pytest.mark.parametrize(
    ("kind", "then"),
    [("solar", "no panel can be connected"), ("mains", "no mains circuit can be fed"), ("dc", "nothing can be")],
)
def test_a_kind_of_cable_that_is_missing_is_told(kind: str, then: str, copy: Path) -> None:
    path = copy / "cables.csv"
    rows = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(row for row in rows if f",{kind}," not in row) + "\n", encoding="utf-8")

    checked = run("check", "tiny-trailer", "--catalogue", copy)

    assert f"cables.csv:kind: no row is {kind}, so {then}" in " ".join(checked.stdout.split())


def test_a_panel_that_no_solar_cable_carries_is_told(copy: Path) -> None:
    """Short-circuit current taken twice at 1.25: 24.32 A of short circuit want a cable of 38 A."""
    path = copy / "cables.csv"
    rows = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(row for row in rows if ",solar," not in row or "solar-4," in row) + "\n", "utf-8")
    most_a = max(c.ampacity_a for c in read_catalogue(copy).of("cables").values() if c.kind == "solar")

    def told() -> list[str]:
        case, catalogue = read_inputs(shipped_cases() / "tiny-trailer", copy)
        return [place for place, text in odd_survey(case, catalogue) if "largest solar one" in text]

    altered(copy, "panels", "panel-100-rigid", "isc_a", f"{most_a / 1.25**2:.4f}")
    assert told() == []
    altered(copy, "panels", "panel-100-rigid", "isc_a", f"{most_a / 1.25**2 + 0.001:.4f}")
    assert told() == ["part panel-100-rigid"]
