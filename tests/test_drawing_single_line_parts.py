"""The single-line diagram part by part: bank, tails, shunts, boxes to be filled in, mains box, what tows."""

from dataclasses import replace

import pytest

from optimiser import builds as b
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.diagram import diagrams
from optimiser.drawing.single_line.rows import Diagram
from optimiser.fitted.channels import channels, through_a
from optimiser.fitted.currents import currents
from optimiser.fitted.numbers import numbered, run_numbers
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.schedules.materials import NOT_IN_THE_BUILD, not_in_the_build
from tests.knobs import changed
from tests.schedules_help import fit_made
from tests.single_line_help import (
    ALL,
    METER,
    SHIPPED,
    WORLD,
    Drawn,
    dots,
    drawn,
    made,
    mains,
    said,
    sheets,
    subject,
    texts,
    wires,
    with_brief,
)  # fmt: skip

UNSEEN = {
    "restraint of the bank: straps, brackets, trays",
    "small materials beyond the catalogue's sundries: heat-shrink, ferrules, clips, conduit, labels",
}
"""What is in no build and no matter of a circuit diagram."""


def _drawn(subject: Drawn) -> list[Diagram]:
    return list(diagrams(*subject))


def _lines(of: Drawn) -> list[str]:
    return [text.text for diagram in _drawn(of) for text in diagram.sheet.texts()]


def _count(of: Drawn, draw: symbols.Draw) -> int:
    return sum(diagram.used.count(draw) for diagram in _drawn(of))


def _banked(series: int, parallel: int, fuse: str = "") -> Drawn:
    bank = replace(WORLD.build.bank, series=series, parallel=parallel, fuse=fuse)
    return made(replace(WORLD.build, bank=bank))  # of a voltage that suits nothing: how it is joined is what counts


# --- all once ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ALL)
def test_every_run_of_the_build_once_with_its_number(key: str) -> None:
    fit, _ = subject(key)
    shown = texts(key)
    assert [run for run in routed_runs(fit) if shown.count(numbered(fit, run)) != 1] == []


@pytest.mark.parametrize("key", ALL)
def test_every_fuse_once(key: str) -> None:
    """A symbol for each run that has one, for each string of modules that is drawn, and for the towing vehicle's."""
    fit, _ = subject(key)
    strings = min(fit.build.bank.parallel, 3) if fit.build.bank.parallel < 4 else 2
    wanted = sum(laid.fuse is not None for laid in routed_runs(fit).values()) + strings * bool(fit.build.bank.fuse)
    tow = sum(text.text == "source fuse" for sheet in sheets(key) for text in sheet.texts())
    assert _count(subject(key), symbols.fuse) == wanted + tow


@pytest.mark.parametrize("key", ALL)
def test_every_channel_once_with_its_shunt_and_what_it_measures(key: str) -> None:
    fit, _ = subject(key)
    shown = texts(key)
    for channel in channels(fit):
        (at,) = [k for k, text in enumerate(shown) if text.startswith(f"A{channel.number}: ")]
        told = shown[at : at + 4]
        assert f"{channel.shunt.name}, {channel.shunt.rating_a:g} A" in told
        if channel.current is None:
            assert told[0].endswith(": spare")
        else:
            number = run_numbers(fit).get(channel.current.run)
            assert told[0].endswith(f"minus of {number}" if number else "run not in the build")
            assert told[1].startswith(channel.current.run) and told[3] == f"design {channel.current.amps:.1f} A"
    assert _count(subject(key), symbols.shunt) == len(channels(fit)) == sum(n * s.channels for s, n in fit.shunts)


@pytest.mark.parametrize("key", ALL)
def test_ammeters_stand_on_the_measured_paths_with_their_channels(key: str) -> None:
    fit, _ = subject(key)
    given = {id(c.current): c.number for c in channels(fit)}
    wanted = [f"A{given.get(id(c), '')}" for c in currents(fit) if c.run in routed_runs(fit)]
    seen = [text for diagram in _drawn(subject(key)) for t in diagram.sheet.texts() if METER.fullmatch(text := t.text)]
    numbers = [c.number for c in channels(fit) if c.current and c.current.run in routed_runs(fit)]
    assert sorted(seen) == sorted([f"A{n}" for n in numbers] + ["A"] * (len(wanted) - len(numbers)))


def test_ammeters_counted_by_hand() -> None:
    def meters(key: str) -> int:
        return sum(METER.fullmatch(text) is not None for text in _lines(subject(key)))

    assert meters("as it is") == 5  # loads, array, alternator charger, mains charger, inverter
    assert meters("no inverter") == 4
    assert meters("four arrays") == 8


# --- channels ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", SHIPPED)
def test_every_current_has_a_channel_that_stands_its_fuse(key: str) -> None:
    fit, _ = subject(key)
    given = [channel for channel in channels(fit) if channel.current]
    assert sorted(c.current for c in given if c.current) == sorted(currents(fit))
    for channel in given:
        assert channel.current and channel.shunt.rating_a >= through_a(fit, channel.current)


def test_the_largest_current_takes_the_smallest_channel_that_stands_it() -> None:
    """By hand: a channel of 300 A, four of 50 A; fuses of 175, 40, 40 and 10 A, and a string of 5.2 x 1.25 = 6.5 A.

    The 175 A of the inverter go to the first, the others by size to the rest. With the 50 A hub alone the inverter
    has none, and one of the others is where it was.
    """
    fit, _ = subject("as it is")
    names = [channel.current.run for channel in channels(fit) if channel.current]
    assert names == ["inverter", "alternator", "mains_charger", "dc_loads", "solar_a"]
    (hub,) = [m for m in WORLD.build.measuring if fit.catalogue.find(m.shunt).channels > 1]  # type: ignore[union-attr]
    less = made(replace(WORLD.build, measuring=(hub,)))
    left = [channel.current.run for channel in channels(less[0]) if channel.current]
    assert left == ["alternator", "mains_charger", "dc_loads", "solar_a"]
    assert "no channel" in _lines(less)


@pytest.mark.parametrize(("rating_a", "on_hub"), [(40, True), (39, False)])
def test_a_channel_stands_the_fuse_and_not_only_the_current(rating_a: float, on_hub: bool) -> None:
    """Both chargers give 30 A behind fuses of 40 A: a hub of 40 A takes them, one of 39 A does not."""
    hub = next(s.name for s, _ in subject("as it is")[0].shunts if s.channels > 1)
    fit = fit_made(changed(WORLD, f"parts.{hub}.rating_a", rating_a))
    names = {channel.current.run for channel in channels(fit) if channel.current and channel.shunt.name == hub}
    assert ("alternator" in names) == ("mains_charger" in names) == on_hub
    assert {"dc_loads", "solar_a"} <= names


@pytest.mark.parametrize("key", ["as it is", "24 V", *SHIPPED])
def test_shunts_stand_in_the_minus_between_busbar_and_device(key: str) -> None:
    """Those of runs at the busbars hang on the negative one; of arrays and of loads behind a step-down they do not."""
    fit, _ = subject(key)
    sheet = drawn(key)
    placed = {text.text: text.box.middle for text in sheet.texts()}
    (bar,) = [box for box in sheet.solid if box.size[0] > 60 and box.size[1] < 2]
    hung = {round(a[0], 3) for a, c in wires(sheet) if a[0] == c[0] and a[1] == pytest.approx(bar.y0)}
    for run, wanted in required_runs(fit).items():
        if run == "main" or wanted.kind in ("mains", "data") or run.startswith(("pass_", "alternator_feed")):
            continue
        heads = [text for text in placed if text.endswith(f"minus of {run_numbers(fit)[run]}")]
        assert len(heads) == max(sum(current.run == run for current in currents(fit)), "busbar" in wanted.ends), run
        for head in heads:
            assert (round(placed[head][0], 3) in hung) == ("busbar" in wanted.ends), run
    assert placed["minus of R1 main"][1] > bar.y1 and bar.x0 < placed["minus of R1 main"][0] < bar.x1


def test_strings_in_parallel_have_a_channel_each_and_a_blank_for_their_cores() -> None:
    shown = texts("strings in parallel")
    assert {"solar_a, string 1", "solar_a, string 2"} <= set(shown)
    assert shown.count(f"its core: {fills.BLANK}") == 2
    assert "Strings in parallel share one run" in " ".join(shown)
    fit, _ = subject("travelling-clinic lightest")
    assert fit.build.arrays[1].parallel == 2  # measured behind its regulator, which ends by no shunt
    assert f"its core: {fills.BLANK}" not in texts("travelling-clinic lightest")


# --- bank ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("series", "parallel", "modules", "alike"),
    [(1, 1, 1, 0), (2, 1, 2, 0), (1, 3, 3, 0), (1, 4, 2, 2), (3, 3, 9, 0), (4, 8, 6, 6)],
)
def test_modules_as_they_are_joined(series: int, parallel: int, modules: int, alike: int) -> None:
    """Up to three strings of three are all drawn; of more the first and the last, and three modules of each."""
    of = _banked(series, parallel)
    starter = 1  # of the towing vehicle
    assert _count(of, symbols.battery) == modules + starter
    shown = _lines(of)
    assert [text for text in shown if text.endswith("alike between")] == ([f"{alike} alike between"] if alike else [])
    assert (f"string {parallel}" in shown) and ("string 2" in shown) == (parallel in (2, 3))
    assert ("links: 50 mm2" in shown) == (series * parallel > 1)
    kinds = {"in strings": parallel * (series - 1), "from string to string": 2 * (parallel - 1)}
    told = {kind: [text for text in shown if text.endswith(f"mm {kind}")] for kind in kinds}
    assert {kind: [text.split(" x ")[0] for text in texts] for kind, texts in told.items()} == {
        kind: [str(count)] if count else [] for kind, count in kinds.items()
    }
    assert shown.count("1 more") == (2 if series == 4 else 0)


@pytest.mark.parametrize(("parallel", "fused"), [(2, 2), (3, 3), (4, 2)])
def test_each_string_that_is_drawn_has_its_module_fuse(parallel: int, fused: int) -> None:
    without, of = _banked(1, parallel), _banked(1, parallel, "fuse-30")
    assert _count(of, symbols.fuse) - _count(without, symbols.fuse) == fused
    assert "each string with" in _lines(of) and "each string with" not in _lines(without)


@pytest.mark.parametrize("parallel", [2, 3, 4])
def test_the_bank_is_taken_off_across_its_corners(parallel: int) -> None:
    """Positive at the first string, to the main fuse; negative at the last, down to the busbar."""
    of = _banked(1, parallel)
    sheet = _drawn(of)[0].sheet
    placed = {text.text: text.box.middle for text in reversed(sheet.texts())}
    first, last = placed["string 1"][1], placed[f"string {parallel}"][1]
    (bar,) = [box for box in sheet.solid if box.size[0] > 60 and box.size[1] < 2]
    down = [a for a, c in wires(sheet) if a[0] == c[0] and c[1] == pytest.approx(bar.y1)]
    assert [y for _, y in down] == [pytest.approx(last)]
    assert down[0][0] < placed["main_fuse"][0]
    up = [c[1] for a, c in wires(sheet) if c[1] == pytest.approx(first) and a[0] == c[0] and a[1] > first + 20]
    assert up == [pytest.approx(first)]
    joints = [(x, y) for x, y in dots(sheet) if x == pytest.approx(down[0][0]) or y == pytest.approx(first)]
    assert min(joints)[1] == pytest.approx(last) and max(joints)[1] == pytest.approx(first)
    assert f"+ off string 1, - off string {parallel}" in _lines(of)


# --- tails and fuses -----------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["as it is", *SHIPPED])
def test_tails_say_what_guards_them_and_how_long_they_may_be(key: str) -> None:
    _, found = subject(key)
    (tail,) = [finding for finding in found if finding.name == "run.tail_distance"]
    shown = texts(key)
    at = shown.index("tails of the runs")
    link, guard, actual, allowed = shown[at + 1 : at + 5]
    assert (link, guard) == ("of their own sections", "behind the main fuse alone")
    assert actual == f"{tail.numbers[1]} mm or more with ends" and allowed == f"at most {tail.numbers[0]} mm allowed"


def test_the_length_allowed_is_that_of_the_rule_set() -> None:
    """As drawn it is 200 mm: allowed of 200, not of 199."""
    for allowed_mm, ok in ((200, True), (199, False)):
        case = changed(WORLD, "rules.tail_distance_mm", allowed_mm).case
        fit, found = made(WORLD.build, case)
        assert f"at most {allowed_mm} mm allowed" in _lines((fit, found))
        assert {f.ok for f in found if f.name == "run.tail_distance"} == {ok}
    assert "tails of the runs" not in texts("no fuses")  # nothing in the row, so nothing before it


@pytest.mark.parametrize(("fuse", "told"), [("fuse-30", 0), ("fuse-40", 1)])
def test_a_fuse_larger_than_what_its_run_carries_says_why(fuse: str, told: int) -> None:
    """The mains charger gives 30 A: a fuse of 30 A is no larger, one of 40 A is, by the 1.25 of the rule set."""
    fuses = {"mains_charger": fuse, "alternator": ""}  # which gives 30 A as well
    runs = tuple(replace(run, fuse=fuses.get(run.name, run.fuse)) for run in WORLD.build.runs)
    assert _lines(made(replace(WORLD.build, runs=runs))).count("at least 1.25 x 30 A") == told


# --- boxes to be filled in -----------------------------------------------------------------------------


def test_each_box_is_a_line_of_the_list_and_the_list_has_no_other() -> None:
    keys = {value for name, value in vars(fills).items() if name.isupper() and isinstance(value, str)} - {fills.BLANK}
    listed = [text for text, _ in NOT_IN_THE_BUILD]
    assert len(listed) == len(set(listed))
    assert keys | UNSEEN == set(listed) and not keys & UNSEEN


FILLED = ["as it is", "no inverter", "no alternator charger", "fused strings", "no solar", "24 V", "inverter-charger",
          "no mains at all", "two regulators", "no circuits", "inverter circuits, no inlet", *SHIPPED]  # fmt: skip


@pytest.mark.parametrize("key", FILLED)
def test_boxes_are_there_exactly_where_the_build_has_no_part(key: str) -> None:
    fit, _ = subject(key)
    filled = {listed for diagram in _drawn(subject(key)) for listed in diagram.filled}
    assert filled == set(not_in_the_build(fit)) - UNSEEN


@pytest.mark.parametrize("key", ["as it is", "two regulators", "no solar", *SHIPPED])
def test_each_array_has_a_disconnector_and_what_its_cables_come_in_by(key: str) -> None:
    fit, _ = subject(key)
    shown = texts(key)
    roof = sum(bool(array.roof_plane) for array in fit.build.arrays)
    assert shown.count("PV disconnector") == len(fit.build.arrays)
    assert shown.count("gland") == roof or key in ("as it is", "two regulators")  # there its part is called that too
    assert shown.count("socket") == len(fit.build.arrays) - roof


def test_a_disconnector_is_for_the_audits_figures_rounded_up() -> None:
    """Two panels of 22 V and -0.3 %/K, so many V at the coldest, and 5.2 A x 1.25 = 6.5 A: at least 53 V and 7 A."""
    shown = texts("as it is")
    at = shown.index("PV disconnector")
    assert shown[at + 2 : at + 5] == ["at least 53 V d.c., 7 A", "cold Voc 52.3 V", "1.25 x Isc = 6.5 A"]


def _towing(plug_a: float | None) -> list[str]:
    """What stands at the towing vehicle's side, from its battery to its plug."""
    engine = WORLD.case.brief.alternator
    assert engine is not None
    shown = _lines(with_brief(alternator=engine.model_copy(update={"plug_a": plug_a})))
    return shown[shown.index("towing vehicle, to be filled in") + 1 :][:14]


def test_the_towing_vehicles_side_from_its_battery_to_the_plug() -> None:
    """What the brief says is written, the rating of the plug if it has one; source fuse and cable are blanks."""
    blank = fills.BLANK
    battery = ["starter battery", "12 V", "alternator 120 A"]
    cable = ["source fuse", f"{blank} A", "at battery", "its cable", f"{blank} mm2", f"{blank} m"]
    plug = ["tow plug", "at tow_point", f"type {blank}"]
    assert _towing(None) == [*battery, *cable, *plug, f"{blank} A", *_towing(None)[13:]]
    assert _towing(50)[9:13] == [*plug, "50 A"]


def test_the_towing_vehicles_side_for_what_is_towed_alone() -> None:
    towed, van = texts("as it is"), texts("grey-month-van cheapest")
    assert towed.count("source fuse") == towed.count("tow plug") == 1
    assert "source fuse" not in van and "tow plug" not in van and van.count("starter battery") == 1
    assert "starter battery" not in texts("no alternator charger")
    assert f"signal wire: {fills.BLANK}" in van and f"signal wire: {fills.BLANK}" in towed


def test_an_engine_that_feeds_nothing_is_said_to() -> None:
    """Where the build has a charger for it, or a run from it, there is nothing to say; nor where there is no engine."""
    told = "Towing vehicle: nothing is fed from tow_point, as the build has no charger for that."
    assert said("no alternator charger", told)
    assert not said("as it is", "nothing is fed") and not said("alternator runs without charger", "nothing is fed")
    bare = [f.slot for f in WORLD.build.fitted if f.slot.startswith("alternator")]
    runs = tuple(r for r in WORLD.build.runs if not r.name.startswith("alternator"))
    fitted = tuple(f for f in WORLD.build.fitted if f.slot not in bare)
    case = replace(WORLD.case, brief=WORLD.case.brief.model_copy(update={"alternator": None}))
    assert "nothing is fed" not in " ".join(_lines(made(replace(WORLD.build, runs=runs, fitted=fitted), case)))


# --- mains ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["as it is", *SHIPPED])
def test_every_breaker_has_a_blank_for_its_rating(key: str) -> None:
    """Main switch, breaker of the inlet, of each riser, and the residual-current breaker of each circuit."""
    fit, _ = subject(key)
    inlet = fit.case.brief.inlet is not None
    shown = [text.text for text in mains(key).texts()]
    assert shown.count("main switch, RCD") == shown.count("breaker of inlet") == inlet
    assert shown.count("breaker of charger") == bool(fit.build.run("mains_feed"))
    assert shown.count("protects cable and") == bool(fit.build.run("inverter_out"))
    assert shown.count("30 mA, 2 poles") == len(fit.case.brief.circuits)
    assert _count(subject(key), symbols.breaker) == 2 * inlet
    assert _count(subject(key), symbols.residual_breaker) == len(fit.case.brief.circuits)
    assert shown.count("earth bar") == shown.count("bond to the chassis") == 1


def test_the_neutral_earth_link_has_a_box_for_each_state() -> None:
    states = {key: [t for t in texts(key) if t in ("on hook-up", "on the inverter")] for key in ALL}
    assert states["as it is"] == ["on hook-up", "on the inverter"]
    assert states["no inverter"] == ["on hook-up"]
    assert states["tiny-trailer cheapest"] == ["on the inverter"]  # it has no inlet
    assert said("as it is", "Neutral-earth bond: exactly one at a time")


@pytest.mark.parametrize("key", ALL)
def test_nothing_is_claimed_and_the_electrician_is_named_where_the_blanks_are(key: str) -> None:
    words = " ".join(texts(key)).lower()
    assert "no statement of compliance" in words and "complies" not in words and "conforms" not in words
    if len(sheets(key)) > 1:
        assert "by a licensed electrician" in [text.text for text in mains(key).texts()]


# --- whole sheets --------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ALL)
def test_sheets_and_what_is_on_them(key: str) -> None:
    """One for the d.c. side, one for the mains if there is any, one for minus conductors where they find no room."""
    keys = [sheet.key for sheet in sheets(key)]
    assert keys[0] == "single-line" and len(set(keys)) == len(keys)
    assert set(keys) <= {"single-line", "single-line-minus", "single-line-mains"}
    tall = key in ("four arrays", "three arrays on two inputs", "two arrays on the alternator charger")
    assert ("single-line-minus" in keys) == tall
    legends = ["Symbols and lines" in [t.text for t in sheet.texts()] for sheet in sheets(key)]
    shown = texts(key)
    assert shown.count("d.c.") == 1 and len(legends) == len(keys)  # one legend, on the last sheet
    assert "d.c." in [text.text for text in sheets(key)[-1].texts()]


def test_without_mains_there_is_no_sheet_of_it() -> None:
    of = with_brief(inlet=None, circuits=())
    gone = ("mains_box", "mains_charger", "mains_inlet", "mains_feed", "inverter", "inverter_out", "switch")
    build = of[0].build
    fitted = tuple(f for f in build.fitted if f.slot not in gone)
    runs = tuple(r for r in build.runs if r.name not in gone)
    less = made(replace(build, fitted=fitted, runs=runs), of[0].case)
    assert [diagram.sheet.key for diagram in _drawn(less)] == ["single-line"]
    assert isinstance(build, b.Build)
