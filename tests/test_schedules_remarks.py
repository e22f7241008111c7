"""What the cutting list, the cable ends and the protection say beside their figures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from optimiser.auditing import audit
from optimiser.fitted.wiring import laid_runs
from optimiser.schedules.cables import cable_ends, cables
from optimiser.schedules.materials import not_in_the_build
from optimiser.schedules.protection import protection
from optimiser.schedules.run_lengths import bears, drawn_of, drop_at, longest_mm, tail_mm
from optimiser.schedules.table import PRACTICE
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, found_in, only_row, rows_of
from tests.test_audit_limits import OFF_TERMINAL


def _leads(cable_allowance_mm: int, made: World | None = None) -> World:
    made = made or world()
    bays = tuple(bay.model_copy(update={"cable_allowance_mm": cable_allowance_mm}) for bay in made.case.bays)
    return World(replace(made.case, bays=bays), made.catalogue, made.build)


def _remark(made: World, run: str) -> str:
    return str(only_row(cables(fit_made(made)), "run", run)["remark"] or "")


# --- ways with mains and low voltage in them -------------------------------------------------------------


def _mains_and_loads_in_one_way(*, divided: bool) -> World:
    made = world()
    ways = tuple(
        way.model_copy(update={"carries": "any", "divided": divided, "bore_mm": 60}) if way.name == "inlet_way" else way
        for way in made.case.ways
    )
    brief = made.case.brief.model_copy(update={"dc_panel_point": "inlet_point"})
    runs = tuple(
        replace(run, end="inlet_point", ways=("inlet_way",)) if run.name == "dc_loads" else run
        for run in made.build.runs
    )
    return World(replace(made.case, ways=ways, brief=brief), made.catalogue, replace(made.build, runs=runs))


def _divided_way(name: str) -> World:
    made = world()
    ways = tuple(w.model_copy(update={"carries": "any", "divided": w.name == name}) for w in made.case.ways)
    return World(replace(made.case, ways=ways), made.catalogue, made.build)


def test_a_divided_way_with_both_kinds_says_which_lies_alone() -> None:
    said = "inlet_way is divided, two channels: mains alone in one"
    both, bare = _mains_and_loads_in_one_way(divided=True), _mains_and_loads_in_one_way(divided=False)

    assert said in _remark(both, "mains_inlet") and said in _remark(both, "dc_loads")
    assert "divided" not in _remark(both, "main")
    assert "divided" not in _remark(bare, "mains_inlet")
    assert any("whole bore" in note for note in cables(fit_made(both)).notes)
    assert not any("divided" in note for note in cables(fit_made(bare)).notes)


def test_a_divided_way_with_one_kind_only_is_as_any_other() -> None:
    one, bare = _divided_way("inlet_way"), world()  # the inlet's cable alone

    assert "divided" not in _remark(one, "mains_inlet")
    assert cables(fit_made(one)).notes == cables(fit_made(bare)).notes


def test_each_divided_way_of_a_run_with_both_kinds_is_named() -> None:
    """The survey has cupboard_foot and kick_board divided; the inlet's cable comes in between them."""
    rows = {str(row["run"]): str(row["remark"]) for row in rows_of(cables(shipped("travelling-clinic")))}

    both = "kick_board and cupboard_foot are divided, two channels: mains alone in one"
    for run in ("regulator_1", "main", "mains_charger"):
        assert both in rows[run]
    assert "kick_board is divided, two channels: mains alone in one" in rows["mains_inlet"]
    assert not any("divided" in rows[run] for run in ("solar_array_2", "mains_feed"))


# --- drop at the length that is drawn --------------------------------------------------------------------


@every_build
def test_the_drop_at_the_cut_length_is_the_audits(name: str, want: str) -> None:
    fit = shipped(name, want)
    audited = {f.place: f for f in findings(name, want) if f.name == "run.drop"}
    assert audited
    main = laid_runs(fit)["main"]
    for run, laid in laid_runs(fit).items():
        here, held = drop_at(fit, laid, laid.cable, 1000 * laid.cut_m), audited.get(run)
        if here != held:  # more, where the main run is drawn longer than cut
            assert here and held and here.actual > held.actual and drawn_of(fit, main).least_mm > 1000 * main.cut_m, run


@every_build
def test_the_drop_holds_to_the_longest_length_and_no_mm_more(name: str, want: str) -> None:
    fit = shipped(name, want)
    for laid in laid_runs(fit).values():
        longest = longest_mm(fit, laid)
        if longest is None:
            assert laid.cable.kind == "data"
            continue
        at, beyond = (drop_at(fit, laid, laid.cable, length) for length in (longest, longest + 1))
        assert at and beyond and at.ok and not beyond.ok


def test_a_drop_that_fails_at_the_drawn_length_asks_for_the_next_section() -> None:
    """30 A through 16 mm2 at 1.21 ohm/km, 70 C, 0.55 m out and back: 0.048 V; 0.3 % of 12 V allowed.

    25 mm2 at 0.78 ohm/km drops 0.0308 V. It is cut to 200 mm: 0.0174 V.
    """
    by_hand = 2 * 30 * 1.21 / 1000 * 0.55 * (1 + 0.00393 * 50)
    made = changed(_leads(100), "rules.drop_share", 0.003)
    remark = _remark(made, "mains_charger")

    (as_cut,) = [finding for finding in found_in(made) if finding.requirement == "run.drop[mains_charger]"]
    assert as_cut.ok
    assert f"at least 550 mm, where the drop is {by_hand:.3f} V, 0.036 V allowed" in remark
    assert "no longer holds: take the next section that does, 25 mm2" in remark
    assert remark.endswith("lay a string along it before cutting")


def test_a_drop_that_holds_at_the_drawn_length_says_so() -> None:
    """One sum from the bank, at 70 C: 95 mm2 at 0.206 ohm/km, 1.1 m, then 70 mm2 at 0.272 ohm/km, 0.614 m as drawn.

    The inverter draws 2000 W / 0.89 at 12 V; the main run also carries the day's 12 V loads, of 50 + 28 + 110 + 38
    + 45 + 7 W between 8 and 9 o'clock.
    """
    inverter_a, loads_a = 2000 / 0.89 / 12, 278 / 12
    volt = 2 * ((inverter_a + loads_a) * 0.206 * 1.1 + inverter_a * 0.272 * 0.614) / 1000 * (1 + 0.00393 * 50)
    remark = str(only_row(cables(shipped("grey-month-van", "lightest")), "run", "inverter")["remark"])

    assert f"at least 614 mm, where the drop is {volt:.3f} V, 0.24 V allowed: holds" in remark
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
    rows = changed(changed(beside, "fitted.measuring_row.x_mm", 150), "fitted.measuring_row.y_mm", 430)
    near = changed(rows, "rules.drop_share", 0.028)  # measured 280 mm above the busbar: 1780 mm of loads_way are drawn
    far = changed(near, "fitted.isolator.x_mm", 850)

    assert _remark(near, "dc_loads") == ""
    assert _remark(far, "dc_loads") == (
        f"a run before it is drawn longer than cut, where the drop is {by_hand:.2f} V, 0.336 V allowed: no longer "
        "holds: take the next section that does, 16 mm2"
    )
    assert "at least 1800 mm" in _remark(far, "main")
    assert _remark(changed(far, "rules.drop_share", 0.03), "dc_loads") == ""  # 0.36 V allowed


def test_a_section_that_fails_too_or_that_no_terminal_takes_is_not_asked_for() -> None:
    short = changed(_leads(100), "fitted.mains_charger.x_mm", 890)
    thin = changed(short, "rules.drop_share", 0.003)
    fit = fit_made(thin)
    laid = laid_runs(fit)["mains_charger"]  # 16 mm2; 25 and 50 are thicker
    length_mm = drawn_of(fit, laid).least_mm
    cables_there = fit.catalogue.of("cables").values()
    holds = [c for c in cables_there if (f := drop_at(fit, laid, c, length_mm)) and f.ok]
    assert [c.section_mm2 for c in holds if c.kind == "dc" and c.section_mm2 > 16] == [50]

    def told(made: World) -> str:
        return _remark(made, "mains_charger")

    assert bears(fit, laid, length_mm) and "take the next section that does, 50 mm2" in told(thin)
    small = changed(thin, "parts.mains-charger-30.terminal_mm2", 25)
    assert bears(fit_made(small), laid, length_mm) is None
    assert "no section of the catalogue that its terminals take does" in told(small)


def test_between_two_boards_the_longest_length_is_told() -> None:
    fit = shipped("travelling-clinic")
    longest = longest_mm(fit, laid_runs(fit)["main"])
    remark = str(only_row(cables(fit), "run", "main")["remark"])

    assert f"boards' places in the bay are not surveyed; the drop holds up to {longest} mm" in remark
    assert "the drop" not in str(only_row(cables(fit), "run", "display")["remark"])


@every_build
def test_a_run_that_fails_as_drawn_is_never_told_to_hold(name: str, want: str) -> None:
    fit = shipped(name, want)
    for row, laid in zip(rows_of(cables(fit)), laid_runs(fit).values(), strict=True):
        remark = str(row["remark"])
        if "as drawn" in remark:
            drawn_mm = int(remark.partition("at least ")[2].partition(" ")[0])
            finding = drop_at(fit, laid, laid.cable, drawn_mm)
            assert finding is None or finding.ok == ("no longer holds" not in remark)


# --- where a run ends ------------------------------------------------------------------------------------


def test_what_is_added_at_an_end_without_a_lead_is_said() -> None:
    notes = cables(fit_made(world())).notes
    (said,) = [note for note in notes if "drip loop" in note]

    for words in ("strain relief", "under the panel", "rear of travel", PRACTICE):
        assert words in said
    for node in ("roof_point", "tow_point", "loads_point", "inlet_point", "tv_point"):
        assert node in said
    assert "locker" not in said


def test_without_panels_nothing_is_said_of_glands() -> None:
    made = world()
    runs = tuple(run for run in made.build.runs if run.name != "solar_a")
    bare = World(made.case, made.catalogue, replace(made.build, panels=(), arrays=(), runs=runs))

    assert not any("drip loop" in note for note in cables(fit_made(bare)).notes)
    assert any("tow_point" in note for note in cables(fit_made(bare)).notes)


# --- ends ------------------------------------------------------------------------------------------------


def test_the_hole_of_a_lug_is_its_own_parts_at_each_end() -> None:
    rows = {row["run"]: row for row in rows_of(cable_ends(fit_made(world())))}

    def holes(run: str) -> tuple[object, object]:
        return rows[run]["hole at its start"], rows[run]["hole at its end"]

    assert holes("main") == ("by main_fuse for +, by bank for -, takes 70 mm2", "by busbar, takes 70 mm2")
    assert holes("solar_a") == ("no lug: joint to the panels' leads", "by regulator_1, takes 70 mm2")
    assert holes("alternator_feed") == ("by tow connector", "by alternator_charger, takes 70 mm2")
    assert holes("dc_loads")[1] == "by fuse panel of the 12 V loads"
    assert holes("mains_inlet") == holes("display") == ("-", "-")
    van = only_row(cable_ends(shipped("grey-month-van")), "run", "alternator_feed")
    assert van["hole at its start"] == "by alternator or starter battery"
    small = changed(world(), "parts.mains-charger-30.terminal_mm2", 0)
    assert only_row(cable_ends(fit_made(small)), "run", "mains_charger")["hole at its start"] == "by mains_charger"


def test_a_main_fuse_on_the_terminal_has_the_positive_lug() -> None:
    on_terminal, on_board = (
        str(only_row(cable_ends(fit_made(made)), "run", "main")["hole at its start"])
        for made in (world(), changed(world(), *OFF_TERMINAL))
    )

    assert on_terminal.startswith("by main_fuse for +, by bank for -")
    assert on_board.startswith("by bank")


@every_build
def test_no_thread_is_made_up(name: str, want: str) -> None:
    ends = cable_ends(shipped(name, want))
    texts = [str(cell) for row in ends.rows for cell in row]

    assert not any(f"M{size}" in text.split() for text in texts for size in (4, 5, 6, 8, 10))
    assert any("no threads" in note for note in ends.notes)


# --- from the busbar to the fuse row ---------------------------------------------------------------------


def test_the_way_from_busbar_to_fuse_row_is_told_for_each_fuse_in_it() -> None:
    # busbar (50..150, 50..150) and fuse row (50..200, 350..410)
    made = world()
    rows = rows_of(protection(fit_made(made), found_in(made)))
    told = {row["protects run"] for row in rows if "200 mm or more from the busbar" in str(row["remark"])}

    assert tail_mm(fit_made(made)) == 200
    assert told == {run.name for run in made.build.runs if run.fuse} - {"main", "alternator_feed"}


def test_the_reading_of_the_vans_row() -> None:
    """The busbar begins at x 400; the row (10, 379), 160 by 261, ends at x 170; they share heights."""
    fit = shipped("grey-month-van", "lightest")
    (note,) = [note for note in protection(fit, ()).notes if "behind the main fuse only" in note]

    assert tail_mm(fit) == 400 - 170
    assert "at least 230 mm" in note and "95 mm2" in note and "studs" in note and "not in the price" in note
    assert any("fuse row" in line for line in not_in_the_build(fit))


def test_on_two_boards_the_distance_is_not_known() -> None:
    made = world()
    other = made.case.board_of["locker.wall"].model_copy(update={"name": "back"})
    made = World(replace(made.case, boards=(*made.case.boards, other)), made.catalogue, made.build)
    moved = changed(made, "fitted.fuse_row.board", "locker.back")
    schedule = protection(fit_made(moved), ())

    assert tail_mm(fit_made(moved)) is None
    assert any("of a length that is not surveyed" in note for note in schedule.notes)
    remark = str(only_row(schedule, "protects run", "inverter")["remark"])
    assert "on another board than the busbar: distance not surveyed" in remark


# --- studs, and ways of the mains box --------------------------------------------------------------------


def _shared(made: World, what: str) -> str:
    return str(only_row(protection(fit_made(made), found_in(made)), "what", what)["remark"])


def test_studs_are_beside_that_of_the_main_run() -> None:
    # inverter, regulator, alternator, mains charger, loads
    assert _shared(world(), "busbar") == "6 studs a bar beside the main run's; 5 circuits need one"


@pytest.mark.parametrize(
    ("circuits", "left"), [(2, "no way is left"), (3, "1 way is left"), (4, "2 ways are left"), (1, "no way is left")]
)
def test_ways_of_the_mains_box_that_are_left(circuits: int, left: str) -> None:
    made = changed(world(), "parts.mains-box-2.circuits", circuits)  # two circuits are wanted
    said = _shared(made, "mains_box")

    assert f"circuits beside its breakers for inlet and feeds of chargers; 2 wanted: {left}" in said
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


def test_the_hand_made_world_is_whole() -> None:
    made = world()
    assert all(finding.ok for finding in audit(made.case, made.catalogue, made.build))
