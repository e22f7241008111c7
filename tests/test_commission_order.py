"""The test sheet is worked through from top to bottom: what is tested dead stands before what is tested live."""

from itertools import groupby

import pytest

from optimiser import commissioning
from optimiser.commissioning import Check
from optimiser.commissioning.filling import figure
from optimiser.commissioning.sheet_mains import BEFORE_BOND
from optimiser.fitted import Fit
from optimiser.fitted.wiring import routed_runs
from tests.commission_help import world
from tests.packing_help import SOLVED, WANTS, findings, shipped
from tests.test_commission_rows import CHARGER, NO_INLET, Knobs, sheet, told, without

BUILDS = [(name, want) for name in SOLVED for want in WANTS]


def shipped_sheet(name: str, want: str) -> tuple[Check, ...]:
    return commissioning.test_sheet(shipped(name, want), findings(name, want))


def places(sheet: tuple[Check, ...] | dict[str, Check], *starts: str) -> list[int]:
    """Where on the sheet the checks stand that are named, or whose ids start with what ends in a dot or a low line."""
    ids = [one if isinstance(one, str) else one.id for one in sheet]
    many = tuple(start for start in starts if start.endswith((".", "_")))
    return [place for place, id in enumerate(ids) if id in starts or id.startswith(many)]


def assert_before(sheet: tuple[Check, ...] | dict[str, Check], first: tuple[str, ...], then: tuple[str, ...]) -> None:
    """All of the first stand before all of the others; both are there."""
    assert max(places(sheet, *first)) < min(places(sheet, *then)), (first, then)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_the_sheet_goes_from_weights_over_dead_tests_to_live_ones(name: str, want: str) -> None:
    made = shipped_sheet(name, want)
    weights = tuple(one.id for one in made if one.id.endswith("_before"))
    assert places(made, *weights) == list(range(len(weights)))
    assert_before(made, ("seen.", "mains.protective_ohm", "string.", "solar.array_1.insulation_mohm"), ("live.",))
    assert_before(made, ("live.",), ("drop.", "charge.", "solar.array_1.power_w", "heat.", "idle.current_a"))
    assert_before(made, ("settings.regulator_1",), ("charge.", "solar.array_1.power_w", "mains.polarity", "drop."))
    assert_before(made, ("drop.",), tuple(one.id for one in made if one.id.endswith("_after")))
    assert made[-1].id == "handover.shut_down"


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_each_group_of_a_sheet_stands_in_one_piece(name: str, want: str) -> None:
    groups = [group for group, _ in groupby(shipped_sheet(name, want), key=lambda one: one.group)]
    assert len(groups) == len(set(groups))


# --- mains -------------------------------------------------------------------------------------------

DEAD = ("mains.protective_ohm", "mains.insulation_mohm", "mains.polarity_dead")
KNOBS: dict[str, tuple[Knobs, list[str]]] = {
    "stand-alone": ({}, ["mains.bond_on_hook_up", "mains.bond_on_inverter", "mains.sides_apart"]),
    "inverter-charger": (CHARGER, []),
    "inverter alone": (NO_INLET, ["mains.bond_on_inverter"]),
    "inlet alone": (without("inverter"), ["mains.bond_on_hook_up"]),
}


@pytest.mark.parametrize("name", KNOBS)
def test_mains_is_tested_dead_before_it_is_tested_live(name: str) -> None:
    knobs, bonds = KNOBS[name]
    rows = sheet(**knobs)
    assert [one.id for one in rows.values() if one.group == "Mains, dead, by a licensed electrician"] == [
        *DEAD[:2], *bonds, DEAD[2]
    ]  # fmt: skip
    live = [one.id for one in rows.values() if one.group == "Mains, live, by a licensed electrician"]
    assert live[0] == "mains.polarity"
    assert_before(rows, DEAD, tuple(live))
    trips = [id for id in live if id.startswith("mains.trip")]
    assert trips and live[-len(trips) :] == trips  # nothing else comes after them


@pytest.mark.parametrize("name", [name for name in KNOBS if name != "inlet alone"])
def test_a_residual_current_device_on_the_inverter_is_tried_after_its_bond_is_proved(name: str) -> None:
    rows = sheet(**KNOBS[name][0])
    assert_before(rows, ("mains.bond_", "mains.neutral_on_inverter"), ("mains.trip_",))
    assert all(BEFORE_BOND in told(rows[id]) for id in rows if id.startswith("mains.trip_inverter"))
    assert not any(BEFORE_BOND in told(rows[id]) for id in rows if id.startswith("mains.trip_hook_up"))


def test_a_bond_is_proved_by_an_ohmmeter_dead_and_by_a_voltmeter_live() -> None:
    alone, both = sheet(), sheet(**CHARGER)
    dead, live = alone["mains.bond_on_inverter"].how, alone["mains.neutral_on_inverter"].how
    assert "inverter off, hook-up unplugged, proved dead" in dead and "ohmmeter" in dead and "0.5 ohm" in dead
    assert "voltmeter" in live and "about 0 V" in live and "never an ohmmeter" in live
    assert "on hook-up and off it alike" in live
    changing = both["mains.bond_on_inverter"]
    assert changing.group == "Mains, live, by a licensed electrician"
    assert "voltmeter" in changing.how and "about 0 V" in changing.how
    assert "hook-up" not in told(sheet(**NO_INLET)["mains.bond_on_inverter"])
    assert "hook-up" not in told(sheet(**NO_INLET)["mains.neutral_on_inverter"])


def test_half_the_rated_current_must_not_trip_and_the_test_button_must() -> None:
    rows = sheet()
    for place in ("mains.trip_hook_up.heater", "mains.trip_inverter.sockets"):
        half = rows[f"{place}.half"]
        assert half.rule == "done" and "does not trip" in half.what and "half its rated" in half.how
        assert_before(rows, (f"{place}.half",), (f"{place}.1x_ms",))
        button = rows[f"{place}.button"]
        assert button.rule == "done" and button.licensed and "test button" in button.how


# --- strings -----------------------------------------------------------------------------------------


def test_strings_are_tested_before_they_are_connected() -> None:
    rows = sheet()
    dead = [one.id for one in rows.values() if one.group == "Solar, before strings are connected"]
    assert dead == ["string.a.1.polarity", "string.a.1.voc_v", "string.a.1.isc_a", "solar.a.insulation_mohm"]
    assert rows["solar.a.power_w"].group == "Solar, connected"
    assert_before(rows, tuple(dead), ("live.", "solar.a.power_w"))


def test_without_strings_nothing_is_asked_of_them() -> None:
    runs = tuple(run for run in world().build.runs if run.name != "solar_a")
    bare = sheet(build__runs=runs, build__panels=(), build__arrays=())
    assert not [id for id in bare if id.startswith(("string.", "solar."))]
    assert not [one.id for one in bare.values() if "panel" in told(one)]


# --- seen --------------------------------------------------------------------------------------------


def test_what_is_seen_covers_bank_cables_negative_labels_and_gas() -> None:
    rows = sheet()
    wanted = ["torque", "crimps", "restraint", "cables", "polarity", "negative", "fuse_distance", "links", "labels",
              "spares", "clear"]  # fmt: skip
    assert [one.id for one in rows.values() if one.group == "Visual checks, power off"] == [f"seen.{n}" for n in wanted]
    assert rows["seen.links"].how.startswith("50 mm2, 2 x 740 mm from string to string; each by its mark")
    assert "seen.links" not in sheet(bank__parallel=1, bank__columns=1)
    assert "continuity" in rows["seen.polarity"].how and "dead" in rows["seen.polarity"].what
    for id in ("seen.torque", "seen.crimps", "seen.polarity"):
        assert_before(rows, (id,), ("live.", "string.", "mains."))
    assert "voltmeter" in rows["live.outlets"].how
    assert "grille" not in told(rows["seen.clear"]) and "vents" in told(rows["seen.clear"])


# --- words of figures --------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_a_drop_says_what_to_do_where_more_cable_is_laid(name: str, want: str) -> None:
    """So long that neither the run nor one that it feeds comes above its limit: drops from the bank on add up."""
    sums = {one.place: one for one in findings(name, want) if one.name == "run.drop"}
    rows = [one for one in shipped_sheet(name, want) if one.id.startswith("drop.")]
    fed = [run for run in ("inverter", "dc_loads", "step_down") if run in sums and run != gone_by_step_down(name)]
    assert "main" in sums and len(fed) == 2
    for one in rows:
        run = one.id.removeprefix("drop.")
        assert one.design == pytest.approx(own_mv(shipped(name, want), run, one.at))
        room_mv = 1000 * min(sums[other].margin for other in ([run, *fed] if run == "main" else [run]))
        assert "in proportion" in one.how and "next section" in one.how
        most_mv = (one.design or 0.0) + room_mv
        assert f"to {figure(most_mv, up=False)} mV at most, the other runs as designed" in one.how
        assert one.high is not None and one.high <= most_mv + 1e-6


def gone_by_step_down(name: str) -> str:
    """The run to the 12 V loads, where it starts at a step-down and not at the busbar."""
    return "dc_loads" if shipped(name).system_v == 24 else ""


def own_mv(fit: Fit, run: str, amps: float) -> float:
    """Ohm's law along both conductors of one run, copper at 0.393 % a kelvin above 20 C [mV]."""
    (laid,) = (one for name, one in routed_runs(fit).items() if name == run)
    warm = 1 + 0.00393 * (fit.case.rules["conductor_c"] - 20)
    assert laid.cable.paired
    return amps * sum(laid.core_steps) / 10 * laid.cable.ohm_per_km * warm


def test_the_main_run_is_lengthened_only_as_far_as_the_runs_it_feeds_allow() -> None:
    """By hand: 3 % of 12 V are 360 mV to the inverter, whose own run of 0.6 m takes 77 of them, and 0.37 m of one core
    in links of the bank 25.

    Without an inverter it is the 12 V loads' 3.5 %: 420 mV, less what their own run takes, and what 7.5 A lose in the
    links.
    """
    inverter_mv = 138.8888889 * 2 * 0.6 * 0.386 * 1.1965
    links_mv = 146.3888889 * 0.37 * 0.386 * 1.1965
    main = sheet()["drop.main"]
    assert main.high == pytest.approx(360 - inverter_mv - links_mv)
    assert "to 258 mV at most" in main.how
    bare = sheet(**without("inverter"))
    left_mv = 420 - (bare["drop.dc_loads"].design or 0.0) - 7.5 * 0.37 * 0.386 * 1.1965
    assert left_mv < 360 and f"to {figure(left_mv, up=False)} mV at most" in bare["drop.main"].how


def test_links_of_the_bank_have_a_line_of_their_own() -> None:
    """By hand, two strings: half of 146.4 A goes through one link of 740 mm; its crimps, 0.15 mV/A each, add 22.0 mV.

    The inverter's run loses 77.0 mV, main 216.4, the links 25.0: of 3 % or 360 mV 41.7 are left to the crimps, of
    2.84 % or 340.8 mV 22.5, of 2.83 % or 339.6 mV only 21.3.
    """
    whole_a = 7.5 + 1500 / 0.9 / 12
    design, crimps = whole_a / 2 * 0.74 * 0.386 * 1.1965, 2 * 0.15 * whole_a / 2
    before = 1500 / 0.9 / 12 * 2 * 0.6 * 0.386 * 1.1965 + whole_a * 2 * 1.6 * 0.386 * 1.1965
    rows = sheet()
    for share, more in ((0.03, crimps), (0.0284, crimps), (0.0283, 339.6 - before - design)):
        links = sheet(rules__drop_share_inverter=share)["links.worst_mv"]
        assert links.design == pytest.approx(design) and links.high == pytest.approx(design + more)
        assert links.at == pytest.approx(whole_a) and "(B1 to B2)" in links.what
    assert "see links.worst_mv" in rows["drop.main"].how and "links" not in rows["drop.inverter"].how
    alone = sheet(bank__parallel=1, bank__columns=1)
    assert "links.worst_mv" not in alone and "links" not in alone["drop.main"].how
    assert_before(rows, ("links.worst_mv",), ("joints.worst_mv",))


def test_the_conductor_to_the_main_fuse_is_measured_from_terminal_to_terminal() -> None:
    how = sheet(**{"parts__holder-main__on_terminal": False})["seen.fuse_distance"].how
    assert "from the bank's terminal" in how and "terminal of the fuse" in how
    assert "terminals are not surveyed" in how
