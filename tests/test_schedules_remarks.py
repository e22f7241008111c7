"""What the cutting list, the cable ends and the protection say beside their figures."""

from dataclasses import replace

import pytest

from optimiser.fitted import Fit
from optimiser.fitted.places import tail_mm
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.schedules.cables import cable_ends, cables
from optimiser.schedules.materials import not_in_the_build
from optimiser.schedules.protection import protection
from optimiser.schedules.run_lengths import bears, drawn_of, drop_at, longest_mm
from tests.edges import OFF_TERMINAL
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import every_build, fit_made, found_in, only_row, remark_of, rows_of, with_allowances

# --- ways with mains and low voltage in them -------------------------------------------------------------


def _divided_way(name: str) -> World:
    made = world()
    ways = tuple(w.model_copy(update={"carries": "any", "divided": w.name == name}) for w in made.case.ways)
    return World(replace(made.case, ways=ways), made.catalogue, made.build)


def test_a_divided_way_with_one_kind_only_is_as_any_other() -> None:
    """The inlet's cable lies alone; with the loads' beside it both say so (tests/approved/24-volt/page.txt)."""
    schedule = cables(fit_made(_divided_way("inlet_way")))

    assert schedule.rows and not any("divided" in str(cell) for row in schedule.rows for cell in row)
    assert not any("divided" in note for note in schedule.notes)


# --- drop at the length that is drawn --------------------------------------------------------------------


def _by_ohms_law(fit: Fit, run: str, one_way_mm: float) -> float:
    """Out and back along its own run and those before it, copper at 0.393 % a kelvin above 20 C [V]."""
    wanted, laid = required_runs(fit)[run], routed_runs(fit)
    own_a = wanted.amps if wanted.drop_a is None else wanted.drop_a
    pieces = [(own_a, one_way_mm, laid[run].cable)]
    for before, amps in wanted.behind:
        pieces.append((amps, max(1000 * laid[before].cut_m, drawn_of(fit, laid[before]).least_mm), laid[before].cable))
    cold_v = sum(2 * amps * mm / 1000 * cable.ohm_per_km / 1000 for amps, mm, cable in pieces)
    return cold_v * (1 + 0.00393 * (fit.case.rules["conductor_c"] - 20))


@every_build
def test_the_drop_told_for_a_length_is_ohms_law(name: str, want: str) -> None:
    fit = shipped(name, want)
    wanted, power = required_runs(fit), [one for one in routed_runs(fit).values() if one.cable.kind != "data"]
    assert power
    for laid in power:
        run, longest = laid.run.name, longest_mm(fit, laid)
        allowed_v = wanted[run].volt * wanted[run].share
        for length_mm in (1000 * laid.cut_m, drawn_of(fit, laid).least_mm):
            told = drop_at(fit, laid, laid.cable, length_mm)
            assert told and told.actual == pytest.approx(_by_ohms_law(fit, run, length_mm)), run
        assert longest and _by_ohms_law(fit, run, longest) <= allowed_v < _by_ohms_law(fit, run, longest + 1), run


def test_a_drop_that_fails_at_the_drawn_length_asks_for_the_next_section() -> None:
    """30 A through 16 mm2 at 1.21 ohm/km, 70 C, 0.55 m out and back: 0.048 V; 0.3 % of 12 V allowed.

    25 mm2 at 0.78 ohm/km drops 0.0308 V. It is cut to 200 mm: 0.0174 V.
    """
    by_hand = 2 * 30 * 1.21 / 1000 * 0.55 * (1 + 0.00393 * 50)
    made = changed(with_allowances(100), "rules.drop_share", 0.003)
    remark = remark_of(made, "mains_charger")

    (as_cut,) = [finding for finding in found_in(made) if finding.requirement == "run.drop[mains_charger]"]
    assert as_cut.ok
    assert f"at least 550 mm, where the drop is {by_hand:.3f} V, 0.036 V allowed" in remark
    assert "too much: take the next section that is enough, 25 mm2" in remark
    assert remark.endswith("lay a string along it before cutting")


def test_a_drop_that_holds_at_the_drawn_length_says_so() -> None:
    """One sum from the bank, at 70 C: 95 mm2 at 0.206 ohm/km, 1.1 m, then 70 mm2 at 0.272 ohm/km, 0.614 m as drawn.

    The inverter draws 2000 W / 0.89 at 12 V; the main run also carries the day's 12 V loads, of 50 + 28 + 110 + 38
    + 45 + 7 W between 8 and 9 o'clock.
    """
    inverter_a, loads_a = 2000 / 0.89 / 12, 278 / 12
    volt = 2 * ((inverter_a + loads_a) * 0.206 * 1.1 + inverter_a * 0.272 * 0.614) / 1000 * (1 + 0.00393 * 50)
    remark = str(only_row(cables(shipped("grey-month-van", "lightest")), "run", "inverter")["remark"])

    assert f"at least 614 mm, where the drop is {volt:.3f} V, 0.24 V allowed: enough" in remark
    assert "section" not in remark


def test_a_drop_that_fails_as_the_run_before_is_drawn_is_told() -> None:
    """1500 W / 0.9 at 12 V and 90 W of loads through 50 mm2, 0.386 ohm/km; then the loads through 6 mm2, 1.8 m.

    main is cut to 1.6 m, 1.8 m with the isolator 700 mm off the busbar, 100 mm by the bank, and ways of 1000: 0.323 V
    and 0.35 V at the panel, 2.8 % of 12 V allowed. Through 16 mm2 at 1.21 ohm/km it is 0.283 V.
    """
    loads_a = 90 / 12
    main_v, loads_v = (1500 / 0.9 / 12 + loads_a) * 0.386 * 1.8, loads_a * 3.3 * 1.8
    by_hand = 2 * (main_v + loads_v) / 1000 * (1 + 0.00393 * 50)
    beside = changed(world(), *OFF_TERMINAL)
    rows = changed(changed(beside, "fitted.shunt_row.x_mm", 150), "fitted.shunt_row.y_mm", 430)
    near = changed(rows, "rules.drop_share", 0.028)  # measured 280 mm above the busbar: 1780 mm of loads_way are drawn
    far = changed(near, "fitted.isolator.x_mm", 850)

    assert remark_of(near, "dc_loads") == ""
    assert remark_of(far, "dc_loads") == (
        f"a run before it is drawn longer than cut, where the drop is {by_hand:.2f} V, 0.336 V allowed: too much: "
        "take the next section that is enough, 16 mm2"
    )
    assert "at least 1800 mm" in remark_of(far, "main")
    assert remark_of(changed(far, "rules.drop_share", 0.03), "dc_loads") == ""  # 0.36 V allowed


def test_a_section_that_fails_too_or_that_no_terminal_takes_is_not_asked_for() -> None:
    short = changed(with_allowances(100), "fitted.mains_charger.x_mm", 890)
    thin = changed(short, "rules.drop_share", 0.003)
    fit = fit_made(thin)
    laid = routed_runs(fit)["mains_charger"]  # 16 mm2; 25 and 50 are thicker
    length_mm = drawn_of(fit, laid).least_mm
    cables_there = fit.catalogue.of("cables").values()
    holds = [c for c in cables_there if (f := drop_at(fit, laid, c, length_mm)) and f.ok]
    assert [c.section_mm2 for c in holds if c.kind == "dc" and c.section_mm2 > 16] == [50]

    def told(made: World) -> str:
        return remark_of(made, "mains_charger")

    assert bears(fit, laid, length_mm) and "take the next section that is enough, 50 mm2" in told(thin)
    small = changed(thin, "parts.mains-charger-30.terminal_mm2", 25)
    assert bears(fit_made(small), laid, length_mm) is None
    assert "no section of the catalogue that its terminals take is enough" in told(small)


@every_build
def test_a_run_that_fails_as_drawn_is_never_told_to_hold(name: str, want: str) -> None:
    fit = shipped(name, want)
    for row, laid in zip(rows_of(cables(fit)), routed_runs(fit).values(), strict=True):
        remark = str(row["remark"])
        if "as drawn" in remark:
            drawn_mm = int(remark.partition("at least ")[2].partition(" ")[0])
            finding = drop_at(fit, laid, laid.cable, drawn_mm)
            assert finding is None or finding.ok == ("too much" not in remark)


# --- ends ------------------------------------------------------------------------------------------------


@every_build
def test_no_thread_is_made_up(name: str, want: str) -> None:
    ends = cable_ends(shipped(name, want))
    texts = [str(cell) for row in ends.rows for cell in row]

    assert not any(f"M{size}" in text.split() for text in texts for size in (4, 5, 6, 8, 10))
    assert any("no threads" in note for note in ends.notes)


# --- from the busbar to the fuse row ---------------------------------------------------------------------


def test_the_reading_of_the_vans_row() -> None:
    """The busbar begins at x 400; the row (10, 379), 160 by 261, ends at x 170; they share heights."""
    fit = shipped("grey-month-van", "lightest")
    (note,) = [note for note in protection(fit, ()).notes if "behind the main fuse only" in note]

    assert tail_mm(fit) == 400 - 170
    assert "at least 230 mm" in note and "95 mm2" in note and "studs" in note and "not in the price" in note
    assert any("fuse row" in line for line in not_in_the_build(fit))


# --- studs, and ways of the mains box --------------------------------------------------------------------


def _shared(made: World, what: str) -> str:
    return str(only_row(protection(fit_made(made), found_in(made)), "what", what)["remark"])


@pytest.mark.parametrize(
    ("circuits", "left"), [(2, "no way is left"), (3, "1 way is left"), (4, "2 ways are left"), (1, "no way is left")]
)
def test_ways_of_the_mains_box_that_are_left(circuits: int, left: str) -> None:
    made = changed(world(), "parts.mains-box-2.circuits", circuits)  # two circuits are required
    said = _shared(made, "mains_box")

    assert f"circuits beside its breakers for inlet and feeds of chargers; 2 required: {left}" in said
    assert ("a main residual-current device" in said and "a larger box" in said) == (circuits <= 2)


def test_what_protects_a_mains_run_is_told_where_the_box_has_it() -> None:
    def remark(run: str, made: World) -> str:
        return str(only_row(protection(fit_made(made), found_in(made)), "protects run", run)["remark"])

    for run in ("mains_inlet", "mains_feed"):
        assert "the mains box has a breaker for it, of no rating in the catalogue" in remark(run, world())
    assert "what protects it is not in the build" in remark("inverter_out", world())
    assert all("licensed electrician settles it" in remark(run, world()) for run in ("mains_inlet", "inverter_out"))
    boxless = changed(world(), "fitted.mains_box", None)
    assert "what protects it is not in the build" in remark("mains_inlet", boxless)
    missing = "; ".join(not_in_the_build(fit_made(world())))
    assert "what protects the mains cable from the inverter" in missing and "to inlet" not in missing
