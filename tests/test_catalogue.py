"""The shipped catalogue holds only parts that could exist.

The parts are invented, so nothing but physics, published tables and the trade's ranges can say that a row
is wrong. Every check names the rule it comes from and why its tolerance is what it is.
"""

import csv
import math
from collections import Counter, defaultdict
from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import TypeVar

import pytest
from pydantic import ValidationError

from optimiser import parts

CATALOGUE = Path(__file__).resolve().parents[1] / "catalogue"
YES_NO = {"yes": True, "no": False}
P = TypeVar("P", bound=parts.Part)


def rows(key: str) -> list[dict[str, str]]:
    """Rows of one file, comments above the header left out."""
    lines = (CATALOGUE / f"{key}.csv").read_text(encoding="utf-8").splitlines()
    start = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    return list(csv.DictReader(lines[start:]))


def load(key: str, kind: type[P]) -> list[P]:
    """Rows of one file as parts; a flag is the word yes or no, so that a spreadsheet does not restyle it."""
    read: dict[object, Callable[[str], object]] = {bool: YES_NO.__getitem__, parts.Voltage: int}
    reader = {name: read.get(field.annotation, str) for name, field in kind.model_fields.items()}
    return [kind.model_validate({name: reader[name](cell) for name, cell in row.items()}) for row in rows(key)]


PANELS = load("panels", parts.Panel)
REGULATORS = load("regulators", parts.Regulator)
MODULES = load("modules", parts.Module)
INVERTERS = load("inverters", parts.Inverter)
INVERTER_CHARGERS = load("inverter_chargers", parts.Inverter)
ALTERNATOR_CHARGERS = load("alternator_chargers", parts.AlternatorCharger)
MAINS_CHARGERS = load("mains_chargers", parts.MainsCharger)
STEP_DOWNS = load("step_downs", parts.StepDown)
CABLES = load("cables", parts.Cable)
HOLDERS = load("holders", parts.Holder)
FUSES = load("fuses", parts.Fuse)
ISOLATORS = load("isolators", parts.Isolator)
BUSBARS = load("busbars", parts.Busbar)
SHUNTS = load("shunts", parts.Shunt)
ENTRIES = load("entries", parts.Entry)
VENTS = load("vents", parts.Vent)
BODIES: list[parts.Body] = [
    part for key, kind in parts.PARTS.items() if issubclass(kind, parts.Body) for part in load(key, kind)
]


def by_name(part: parts.Part) -> str:
    return part.name


@pytest.mark.parametrize("key", parts.PARTS)
def test_header_is_the_fields_below_a_line_that_says_what_the_file_is(key: str) -> None:
    assert list(rows(key)[0]) == list(parts.PARTS[key].model_fields)
    first = (CATALOGUE / f"{key}.csv").read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("# ")
    assert "invented parts in trade ranges" in first


@pytest.mark.parametrize("key", parts.PARTS)
def test_rows_are_valid_and_exact_in_cents_and_grams(key: str) -> None:
    """The model counts whole cents and grams: a finer figure would be rounded behind the reader's back."""
    assert load(key, parts.PARTS[key])
    for row in rows(key):
        for name, cell in row.items():
            if name.endswith("price") or name == "sundries":
                assert Decimal(cell) * 100 % 1 == 0, (row["name"], name)
            if name.endswith("mass_kg"):
                assert Decimal(cell) * 1000 % 1 == 0, (row["name"], name)


def test_names_are_unique_across_all_files() -> None:
    """A build names its parts by name alone."""
    count = Counter(row["name"] for key in parts.PARTS for row in rows(key))
    assert [name for name, times in count.items() if times > 1] == []


def test_loader_refuses_a_negative_price() -> None:
    """The checks above would be worth nothing if the types let such a row pass."""
    row: dict[str, object] = dict(rows("switches")[0]) | {"rotatable": True, "price": "-1"}
    with pytest.raises(ValidationError, match="price"):
        parts.Switch.model_validate(row)


@pytest.mark.parametrize("panel", PANELS, ids=by_name)
def test_panel_electrics(panel: parts.Panel) -> None:
    # 2 %: currents and voltages are printed to three figures
    assert panel.vmp_v * panel.imp_a == pytest.approx(panel.watt_w, rel=0.02)
    assert panel.voc_v > panel.vmp_v
    assert panel.isc_a > panel.imp_a
    # crystalline silicon, from memory: under 0.74 is a faulty panel, over 0.84 is past the best cells
    assert 0.74 <= panel.watt_w / (panel.voc_v * panel.isc_a) <= 0.84
    # power falls faster than voltage with heat, as current barely rises
    assert panel.power_pct_k < panel.voc_pct_k < 0 < panel.isc_pct_k < 0.1


@pytest.mark.parametrize("panel", PANELS, ids=by_name)
def test_panel_power_for_its_area(panel: parts.Panel) -> None:
    """Range of the trade (common practice, no source); flexible and folding ones lose area to borders and seams."""
    density = panel.watt_w / (panel.length_mm * panel.width_mm * 1e-6)
    low, high = (180, 225) if panel.kind == "rigid" else (140, 210)
    assert low <= density <= high


def test_flexible_panels_are_lighter_and_only_they_bend() -> None:
    area_mass = {p.name: p.mass_kg / (p.length_mm * p.width_mm * 1e-6) for p in PANELS}
    lightest_rigid = min(area_mass[p.name] for p in PANELS if p.kind == "rigid")
    for panel in PANELS:
        assert (panel.bend_radius_mm > 0) == (panel.kind == "flexible"), panel.name
        if panel.kind == "flexible":  # no glass: 3.2 mm of it alone is 8 kg/m2 (2.5 g/cm3)
            assert area_mass[panel.name] < lightest_rigid / 2, panel.name


@pytest.mark.parametrize("module", MODULES, ids=by_name)
def test_module_is_plausible(module: parts.Module) -> None:
    watt_hours = module.nominal_v * module.capacity_ah
    assert 85 <= watt_hours / module.mass_kg <= 130  # packed iron phosphate; common practice, no source
    litres = module.length_mm * module.width_mm * module.height_mm * 1e-6
    assert 80 <= watt_hours / litres <= 200  # bare cells reach some 350 Wh/l, from memory
    assert module.discharge_a <= 2 * module.capacity_ah
    assert module.discharge_a < module.surge_a
    assert module.charge_a <= module.capacity_ah
    assert module.nominal_v % 12.8 == pytest.approx(0)  # four cells of 3.2 V make 12.8 V
    # heat of half the capacity in amperes; 30 %: resistance moves that much with temperature and charge
    assert module.heat_w == pytest.approx((module.capacity_ah / 2) ** 2 * module.resistance_mohm / 1000, rel=0.3)


def test_module_resistance_falls_with_capacity_and_rises_with_voltage() -> None:
    """Bigger cells have more plate area; more cells in series add up."""
    for small in MODULES:
        for big in MODULES:
            if small.nominal_v == big.nominal_v and small.capacity_ah < big.capacity_ah:
                assert big.resistance_mohm < small.resistance_mohm, (small.name, big.name)
            if small.capacity_ah == big.capacity_ah and small.nominal_v < big.nominal_v:
                assert small.resistance_mohm < big.resistance_mohm, (small.name, big.name)


def lost_w(output_w: float, efficiency_pct: float) -> float:
    return output_w * (100 / efficiency_pct - 1)


def charging_w(volts: int, amps: float) -> float:
    return volts / 12 * 14.4 * amps  # 3.6 V a cell; trade figure for absorption


CONVERTERS: list[tuple[parts.Body, float, float, float]] = [
    *((r, charging_w(max(r.system_v), r.out_a), r.efficiency_pct, r.idle_w) for r in REGULATORS),
    *((i, i.watt_25c_w, i.efficiency_pct, i.idle_w) for i in (*INVERTERS, *INVERTER_CHARGERS)),
    *((c, charging_w(c.system_v, c.charge_a), c.efficiency_pct, c.idle_w) for c in ALTERNATOR_CHARGERS),
    *((c, charging_w(c.system_v, c.charge_a), c.efficiency_pct, c.idle_w) for c in MAINS_CHARGERS),
    *((s, 12 * s.out_a, s.efficiency_pct, s.idle_w) for s in STEP_DOWNS),
]


@pytest.mark.parametrize(("part", "output_w", "efficiency_pct", "idle_w"), CONVERTERS, ids=lambda x: str(x)[:40])
def test_what_a_converter_loses_becomes_heat(
    part: parts.Body, output_w: float, efficiency_pct: float, idle_w: float
) -> None:
    """Energy balance; 30 %: one efficiency stands for all voltages and temperatures."""
    assert part.heat_w == pytest.approx(lost_w(output_w, efficiency_pct), rel=0.3)
    assert idle_w < part.heat_w


@pytest.mark.parametrize("inverter", [*INVERTERS, *INVERTER_CHARGERS], ids=by_name)
def test_inverter_ratings(inverter: parts.Inverter) -> None:
    assert inverter.watt_40c_w < inverter.watt_25c_w <= inverter.surge_w / 1.5  # trade range: surge of 1.5 to 2
    assert 2.5 <= inverter.cut_off_v / (inverter.system_v / 3) <= 2.8  # volts a cell, whose floor is 2.0 V
    assert inverter.transfers == (inverter in INVERTER_CHARGERS)
    assert (inverter.transfer_a > 0) == inverter.transfers


def test_solar_inputs_are_complete_or_absent() -> None:
    for charger in ALTERNATOR_CHARGERS:
        figures = (charger.solar_v_max, charger.solar_isc_max_a, charger.solar_out_a, charger.solar_over_panel_ratio)
        assert all(figures) or not any(figures), charger.name
        assert charger.solar_out_a <= charger.charge_a
    assert sum(charger.solar_v_max > 0 for charger in ALTERNATOR_CHARGERS) >= 3


def test_convection_units_hang_upright_with_air_above_and_below() -> None:
    """100 mm above and below: common practice, no source."""
    for regulator in REGULATORS:
        assert regulator.mounts == "wall"
        assert not regulator.rotatable
        assert regulator.clear_length_mm >= 100
        assert regulator.clear_width_mm >= 20


US_SERIES = {15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400}
"""NEC 240.6(A), amperes, second hand."""
BLADE_SERIES: set[float] = {1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40}
"""ISO 8820-3 medium blades, amperes, from memory."""
IEC_SERIES = {2, 4, 6, 10, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630}
"""IEC 60269, amperes, second hand."""
KNIFE = ("knife-00", "knife-1", "knife-2")  # sizes: bases of 160, 250 and 400 A
SERIES: dict[str, set[float]] = {
    "blade": BLADE_SERIES,
    "blade-80v": BLADE_SERIES,
    **{size: {float(a) for a in IEC_SERIES} for size in KNIFE},
    "cylinder": {float(a) for a in IEC_SERIES},
}
STATED: dict[str, tuple[tuple[float, float], ...]] = {
    "blade": ((32, 1000),),
    "blade-80v": ((80, 1000),),
    "bolt-in": ((32, 2000),),
    "bolt-in-70v": ((70, 2000),),
    "stud": ((14, 10_000), (32, 5000), (58, 2000)),
    "class-t": ((125, 20_000),),
    "class-t-terminal": ((125, 20_000),),
    "cylinder": ((250, 20_000),),
    **dict.fromkeys(KNIFE, ((440, 50_000),)),
}
"""Family -> up to so many volts, what it breaks [A]: blade as in the scope of ISO 8820-3:2015 (second hand), the rest
trade figures from memory."""


def stated_a(family: str, volt: float) -> float:
    """What it breaks at the next higher voltage that a figure is stated for; nothing above the last."""
    return next((amps for up_to, amps in STATED[family] if volt <= up_to), 0)


@pytest.mark.parametrize("fuse", FUSES, ids=by_name)
def test_fuse(fuse: parts.Fuse) -> None:
    assert fuse.rating_a in SERIES.get(fuse.family, US_SERIES)
    assert fuse.volt_max_v == STATED[fuse.family][-1][0]
    for system_v in (12, 24, 48):  # a full bank of four, eight or sixteen cells of 3.65 V
        assert fuse.breaking_a(system_v) == stated_a(fuse.family, 4 * 3.65 * system_v / 12)
    holder = {h.name: h for h in HOLDERS}[fuse.holder]
    assert holder.family == fuse.family
    assert holder.rating_max_a >= fuse.rating_a


def test_fuse_price_never_falls_with_rating() -> None:
    families: dict[str, list[parts.Fuse]] = defaultdict(list)
    for fuse in FUSES:
        families[fuse.family].append(fuse)
    assert set(families) == set(STATED) == {h.family for h in HOLDERS}
    for family in families.values():
        ladder = sorted(family, key=lambda f: f.rating_a)
        assert all(a.rating_a < b.rating_a and a.price <= b.price for a, b in pairwise(ladder))


def test_two_families_sit_on_the_terminal() -> None:
    assert {h.family for h in HOLDERS if h.on_terminal} == {"stud", "class-t-terminal"}


def largest_ampacity_a(section_mm2: float) -> float:
    return max((c.ampacity_a for c in CABLES if c.kind == "dc" and c.section_mm2 <= section_mm2), default=0)


TERMINALS: list[tuple[parts.Body, float]] = [
    *((h, h.rating_max_a) for h in HOLDERS),
    *((i, i.rating_a) for i in ISOLATORS),
    *((b, b.rating_a / 2) for b in BUSBARS),  # the bar is shared by its studs, no one stud carries it all
    *((s, s.rating_a) for s in SHUNTS if s.channels > 1 or s.rating_a <= 300),
    *((m, m.discharge_a) for m in MODULES),
    *((r, r.out_a) for r in REGULATORS),
    *((i, i.watt_25c_w / (i.efficiency_pct / 100) / (i.system_v / 12 * 12.8)) for i in INVERTERS + INVERTER_CHARGERS),
    *((c, charging_w(c.system_v, c.charge_a) / (c.efficiency_pct / 100) / 12.3) for c in ALTERNATOR_CHARGERS),
    *((c, c.charge_a) for c in MAINS_CHARGERS),
    *((s, s.out_a) for s in STEP_DOWNS),
]


@pytest.mark.parametrize(("part", "amps"), TERMINALS, ids=lambda x: x.name if isinstance(x, parts.Part) else "")
def test_terminals_take_a_cable_that_carries_the_rating(part: parts.Body, amps: float) -> None:
    assert largest_ampacity_a(part.terminal_mm2) >= amps


@pytest.mark.parametrize("isolator", ISOLATORS, ids=by_name)
def test_isolator_heat_is_its_resistance(isolator: parts.Isolator) -> None:
    lost = isolator.rating_a**2 * isolator.resistance_mohm / 1000
    assert isolator.heat_w == pytest.approx(lost, rel=0.05)  # rounding


@pytest.mark.parametrize("shunt", SHUNTS, ids=by_name)
def test_shunt_heat(shunt: parts.Shunt) -> None:
    """50 mV at rating on a main shunt, half of it on a hub channel (common practice, no source); 5 % for rounding."""
    drop_v = 0.05 if shunt.channels == 1 else 0.025
    assert shunt.heat_w == pytest.approx(drop_v * shunt.rating_a * shunt.channels, rel=0.05)


@pytest.mark.parametrize("body", BODIES, ids=by_name)
def test_body_is_neither_foam_nor_lead(body: parts.Body) -> None:
    litres = body.length_mm * body.width_mm * body.height_mm * 1e-6
    assert 0.1 <= body.mass_kg / litres <= 3  # kg/l: electronics with air in them, cells at most 2.2


def test_entries_seal_on_cables_that_exist() -> None:
    thinnest = min(c.outside_mm for c in CABLES)
    for entry in ENTRIES:
        assert 44 <= entry.ip_class <= 68
        assert thinnest <= entry.outside_max_mm < min(entry.length_mm, entry.width_mm)
    assert max(e.outside_max_mm for e in ENTRIES) >= max(c.outside_mm for c in CABLES)


@pytest.mark.parametrize("vent", VENTS, ids=by_name)
def test_vent_areas(vent: parts.Vent) -> None:
    """Mesh and louvres leave 0.4 to 0.7 of a grille open (trade figure, no source)."""
    assert (vent.kind == "fan") == (vent.flow_m3_h > 0) == (vent.watt_w > 0)
    if vent.kind == "grille":
        assert 0.4 <= 2 * vent.free_area_cm2 / vent.cut_out_cm2 <= 0.7
    else:  # the air must fit through: under 3 m/s in the opening, or the flow is wishful
        assert vent.flow_m3_h / 3600 / (vent.free_area_cm2 * 1e-4) < 3


AT_LEAST = [
    ("panels", "kind", {"rigid flexible": 14, "portable": 2}),
    ("regulators", "system_v", {"12 24 48": 11}),
    ("modules", "nominal_v", {"12.8": 9, "25.6": 3, "51.2": 2}),
    ("inverters", "system_v", {"12 24 48": 8}),
    ("inverter_chargers", "system_v", {"12 24 48": 5}),
    ("alternator_chargers", "system_v", {"12": 7, "24 48": 3}),
    ("mains_chargers", "system_v", {"12": 3, "24": 2, "48": 2}),
    ("step_downs", "system_v", {"24": 1, "48": 1, "24 48": 3}),
    ("cables", "kind", {"dc": 12, "mains": 3, "data": 1}),
    ("shunts", "channels", {"1": 3, "3 4 6 8": 3}),
    ("entries", "kind", {"gland": 3, "pass_through": 4}),
    ("vents", "kind", {"grille": 3, "fan": 2}),
]


@pytest.mark.parametrize(("key", "column", "fewest"), AT_LEAST)
def test_there_is_a_choice(key: str, column: str, fewest: dict[str, int]) -> None:
    """A proof of the cheapest means little where there is nothing to choose from."""
    for values, few in fewest.items():
        assert sum(set(row[column].split()) <= set(values.split()) for row in rows(key)) >= few, values


def test_rule_sets_hold_the_same_figures_each_with_its_state() -> None:
    figures: dict[str, list[str]] = defaultdict(list)
    for row in rows("rule_sets"):
        assert list(row) == ["rule_set", "figure", "value", "unit", "source", "state"]
        assert math.isfinite(float(row["value"]))
        assert row["state"] in {"read", "second hand", "memory", "common practice"}
        assert ("from memory" in row["source"]) == (row["state"] == "memory"), row["figure"]
        assert ("no source" in row["source"]) == (row["state"] == "common practice"), row["figure"]
        assert row["state"] != "read" or row["source"].startswith("33 CFR")  # the only text that was read
        figures[row["rule_set"]].append(row["figure"])
    assert set(figures) == {"default", "small-craft", "au-nz", "eu-uk", "us-ca"}
    assert all(of == figures["default"] for of in figures.values())
    assert len(set(figures["default"])) == len(figures["default"])
