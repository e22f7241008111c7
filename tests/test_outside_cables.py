"""Figures from outside the project, held through the audit of a whole build: what cables stand where they lie."""

from dataclasses import replace

import pytest

from optimiser import builds as b
from optimiser.auditing import Finding
from optimiser.catalogue import Catalogue
from optimiser.reading import read_catalogue, shipped_catalogue
from tests import handmade
from tests.asking import Change, broken, found, taken
from tests.knobs import altered
from tests.pairs import beside
from tests.references import abyc_e11, bs_7671, canadian_code, iec_60228
from tests.references import cfr_33_183 as cfr
from tests.references import iso_small_craft as iso

CABLE = "parts.dc-50"
OPEN_WAY = ("ways.main_way.closed", False)
INSULATIONS = (60, 75, 90, 105)


def shipped_dc_cables() -> list[str]:
    return [cable.name for cable in read_catalogue(shipped_catalogue()).of("cables").values() if cable.kind == "dc"]


def stands_a(base_a: float, *changes: Change) -> float:
    """What the main run stands, in a cable of that table ampacity."""
    return found("run.ampacity[main]", OPEN_WAY, (f"{CABLE}.ampacity_a", base_a), *changes).limit


# --- the air it lies in --------------------------------------------------------------------------------


@pytest.mark.parametrize("ambient_c", [c for c in canadian_code.AMBIENT_105 if c <= 60])
def test_a_run_between_bays_stands_what_their_air_lets_it(ambient_c: int) -> None:
    """Canadian code table 5A (second hand): the way is cool, the bays at its ends are not."""
    held = stands_a(1000, ("limits.bay_air_max_c", ambient_c), ("ways.main_way.temp_c", 30))
    assert held / 1000 == pytest.approx(canadian_code.AMBIENT_105[ambient_c], abs=0.006)


@pytest.mark.parametrize("ambient_c", canadian_code.AMBIENT_105)
def test_a_run_stands_what_a_hot_way_lets_it(ambient_c: int) -> None:
    """The same table: the bays are cool, the way is not."""
    held = stands_a(1000, ("limits.bay_air_max_c", 30), ("ways.main_way.temp_c", ambient_c))
    assert held / 1000 == pytest.approx(canadian_code.AMBIENT_105[ambient_c], abs=0.006)


@pytest.mark.parametrize("gauge", cfr.ENGINE_SPACE_105_A)
def test_a_bay_at_50_c_is_an_engine_space(gauge: int) -> None:
    """33 CFR 183.425 table 5 and its note 1: printed ampacities of 105 C cable in a space at 50 C, truncated."""
    held = stands_a(cfr.AMPACITY_A[gauge][-1], ("limits.bay_air_max_c", cfr.ENGINE_SPACE_C))
    assert held == pytest.approx(cfr.ENGINE_SPACE_105_A[gauge], rel=0.012)


# --- terminals -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("gauge", [gauge for gauge in cfr.AMPACITY_A if gauge <= 8])
def test_terminals_hold_a_cable_to_the_column_of_their_temperature(gauge: int) -> None:
    """33 CFR 183.425 table 5: a 105 C cable on 75 C terminals carries no more than its 75 C column says.

    From 8 AWG up. The thinner columns of that table are lower still, the same at 75 C as at 60 C.
    """
    at_75_c, at_105_c = cfr.AMPACITY_A[gauge][1], cfr.AMPACITY_A[gauge][3]
    held = found("run.terminal_heat[main]", (f"{CABLE}.ampacity_a", at_105_c), ("rules.terminal_c", 75)).limit
    assert 0.95 * at_75_c <= held <= at_75_c


# --- copper at the fuse's current ----------------------------------------------------------------------

SMALL_CRAFT = ("rules.fuse_of_ampacity", cfr.FUSE_SHARE)


def copper_c(base_a: float, fuse_a: float, *changes: Change) -> Finding:
    """The main run's copper with its fuse's current flowing."""
    cable = (f"{CABLE}.ampacity_a", base_a)
    return found("run.copper[main]", OPEN_WAY, cable, ("parts.fuse-200.rating_a", fuse_a), *changes)


@pytest.mark.parametrize("gauge", [gauge for gauge in cfr.AMPACITY_A if gauge <= 8])
@pytest.mark.parametrize("column", [0, 1, 2, 3])
def test_copper_reaches_the_temperature_of_the_column_its_current_is_from(gauge: int, column: int) -> None:
    """33 CFR 183.425 table 5, in its 30 C: the columns are of 60, 75, 90 and 105 C insulation, rounded to 5 A."""
    row = cfr.AMPACITY_A[gauge]
    held = copper_c(row[3], row[column], ("limits.bay_air_max_c", 30), ("ways.main_way.temp_c", 30))
    assert held.actual == pytest.approx(INSULATIONS[column], abs=8)


def test_a_fuse_of_150_percent_overheats_its_cable_where_the_rule_set_lets_it() -> None:
    """33 CFR 183.455(c)(1) lets 250 A stand on 215 A; the copper would be at 45 + 60 x (250 / 192.3)^2 = 146 C."""
    changes = (("limits.bay_air_max_c", 45), ("ways.main_way.temp_c", 40), SMALL_CRAFT)
    held = copper_c(215, 250, *changes)
    assert held.actual == pytest.approx(146.4, abs=0.2)
    assert not held.ok
    allowed = found(
        "run.fuse_under_cable[main]", OPEN_WAY, (f"{CABLE}.ampacity_a", 215), ("parts.fuse-200.rating_a", 250), *changes
    )
    assert allowed.ok


# --- cables that lie together --------------------------------------------------------------------------


@pytest.mark.parametrize("pieces_mm", [(1500,), (750, 750), (500, 500, 500), (300,) * 5, (611,), (306, 305)])
def test_a_way_in_pieces_is_as_long_as_the_whole(pieces_mm: tuple[int, ...]) -> None:
    """ABYC E-11 (second hand): 0.7 from 610 mm on, in however many pieces."""
    together = found("run.ampacity[main]", *beside(*pieces_mm))
    alone = found("run.ampacity[main]", *beside(*pieces_mm), ("rules.bundle_factor", 1))
    assert together.limit == pytest.approx(abyc_e11.DC_FACTOR * alone.limit)


@pytest.mark.parametrize("pieces_mm", [(610,), (305, 305), (890, 305, 305)])
def test_pieces_that_are_short_together_do_not_count(pieces_mm: tuple[int, ...]) -> None:
    """The same: up to 610 mm side by side; the first of three pieces the main run has for itself."""
    together = found("run.ampacity[main]", *beside(*pieces_mm))
    assert together.limit == found("run.ampacity[main]", *beside(*pieces_mm), ("rules.bundle_factor", 1)).limit


# --- drop from the bank to what draws ------------------------------------------------------------------


@pytest.mark.parametrize(("amps", "loop_m", "section", "by_iso", "cold", "hot"), iso.DROPS)
def test_drop_from_the_bank_to_the_inverter(
    amps: float, loop_m: float, section: float, by_iso: float, cold: float, hot: float
) -> None:
    """ISO 10133 annex (second hand) as a lower bound; class 5 copper of IEC 60228 at 70 C, computed.

    The loop is that of the main run and the inverter's together: 600 mm one way in bays each, the way for the rest; of
    one module, which has no links.
    """
    held = found(
        "run.drop[inverter]",
        ("loads", tuple(load for load in handmade.case().loads if load.supply == "mains")),
        ("bank.parallel", 1),
        ("bank.columns", 1),
        ("parts.inverter-1500.watt_40c_w", 50),
        ("parts.inverter-1500.watt_25c_w", amps * 12 * 0.9),
        ("ways.main_way.length_mm", round(1000 * loop_m / 2) - 1200),
        (f"{CABLE}.ohm_per_km", iec_60228.CLASS_5_OHM_PER_KM[section]),
    )
    assert by_iso < cold < held.actual == pytest.approx(hot, abs=0.0005)
    assert held.limit == pytest.approx(12 * handmade.RULES["drop_share_inverter"])


# --- closed ducts --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", shipped_dc_cables())
def test_a_shipped_cable_in_a_duct_stands_no_more_than_the_table(name: str) -> None:
    """BS 7671 table 4E1A, reference method B (second hand), is of 90 C: our 105 C brought there by the square root."""
    cable = read_catalogue(shipped_catalogue()).of("cables")[name]
    thick = min(cable.section_mm2, max(bs_7671.IN_CONDUIT_A))  # 120 mm2 beside the figure of 95 mm2
    cool = (("limits.bay_air_max_c", 30), ("ways.main_way.temp_c", 30))
    figures = tuple(
        (f"{CABLE}.{key}", getattr(cable, key)) for key in ("ampacity_a", "duct_ampacity_a", "insulation_c")
    )
    held = found("run.ampacity[main]", *cool, *figures)
    assert held.limit * ((90 - 30) / (cable.insulation_c - 30)) ** 0.5 <= bs_7671.IN_CONDUIT_A[thick]
    assert held.limit <= cable.ampacity_a


# --- what passes an inverter-charger -------------------------------------------------------------------


@pytest.mark.parametrize("inlet_a", [10, 15, 32])
def test_the_cable_behind_an_inverter_charger_stands_what_the_inlet_passes(inlet_a: float) -> None:
    """IEC 60364-4-43 433.1 as quoted elsewhere: no more protects that cable than what protects the inlet."""
    transfers = (
        ("parts.inverter-1500.charge_a", 10),
        ("parts.inverter-1500.transfer_a", 50),
        ("inlet.rating_a", inlet_a),
        ("runs", (*handmade.build().runs, b.Run("inverter_in", "locker", "locker", (), "mains-2.5"))),
    )
    for run in ("inverter_in", "inverter_out"):
        held = found(f"run.ampacity[{run}]", *transfers)
        assert held.actual == inlet_a
        assert held.ok == (inlet_a <= 23 * 0.5**0.5)  # 70 C cable at 50 C
    assert found("inverter.transfer", *transfers).actual == inlet_a


@pytest.mark.parametrize(
    ("run", "inlet_a", "passes", "holds"),
    [
        ("inverter_out", 12.02, True, True),
        ("inverter_out", 12.03, True, False),
        ("inverter_out", 12.03, False, True),
        ("inverter_in", 12.02, True, True),
        ("inverter_in", 12.03, True, False),
    ],
)
def test_a_thin_cable_at_an_inverter_charger(run: str, inlet_a: float, passes: bool, holds: bool) -> None:
    """17 A at 50 C: 17 x sqrt(20 / 40) = 12.021; the inlet's own cables are thicker, the inverter gives 6.5 A only."""
    inlet_to_inverter = (b.Run("inverter_in", "locker", "locker", (), "mains-2.5"),) if passes else ()
    at = handmade.world()
    thin = at.catalogue.of("cables")["mains-2.5"].model_copy(
        update={"name": "mains-thin", "section_mm2": 1.5, "ampacity_a": 17, "duct_ampacity_a": 17}
    )
    tables = {key: dict(rows) for key, rows in at.catalogue.tables.items()}
    tables["cables"]["mains-thin"] = thin
    at = replace(at, catalogue=Catalogue(tables, {}), build=replace(at.build, claim=b.Claim()))
    at = altered(
        at,
        ("parts.inverter-1500.charge_a", 10 if passes else 0),
        ("parts.inverter-1500.transfer_a", 50),
        ("parts.mains-box-2.inlet_a", 20),
        ("inlet.rating_a", inlet_a),
        ("runs", (*at.build.runs, *inlet_to_inverter)),
        (f"runs.{run}.cable", "mains-thin"),
    )
    assert broken(at) == (set() if holds else {f"run.ampacity[{run}]"})
    assert taken(at) is holds


def test_an_inverter_that_passes_nothing_on_is_held_to_its_own_rating() -> None:
    assert found("run.ampacity[inverter_out]", ("inlet.rating_a", 32)).actual == pytest.approx(1500 / 230)
