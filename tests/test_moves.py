"""Moves: one value of a case or catalogue, by its address, and all that it must not break."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser import case as c
from optimiser.catalogue import Catalogue
from optimiser.moves import Move, Moved, MoveProblem, moved, parse_set, parse_sweep, set_to
from tests import handmade
from tests.handmade import World
from tests.knobs import changed


@pytest.fixture(scope="module")
def world() -> World:
    return handmade.world()


def move(world: World, text: str) -> Moved:
    return moved(world.case, world.catalogue, parse_set(text))


def problem(world: World, text: str) -> str:
    with pytest.raises(MoveProblem) as caught:
        move(world, text)
    return str(caught.value)


# --- addresses ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "address", "before", "after"),
    [
        ("bay.box.x_mm=+40", "bay.box.x_mm", "2500", "2540"),
        ("board.locker.wall.length_mm=-20", "board.locker.wall.length_mm", "1000", "980"),
        ("zone.roof.set_back_mm=60", "zone.roof.set_back_mm", "50", "60"),
        ("obstacle.hatch.clear_mm=0", "obstacle.hatch.clear_mm", "50", "0"),
        ("way.main_way.bore_mm=+2", "way.main_way.bore_mm", "60", "62"),
        ("load.kettle.watt_w=-0.5", "load.kettle.watt_w", "600", "599.5"),
        ("scenario.summer.clearness=+0.1", "scenario.summer.clearness", "0.7", "0.8"),
        ("scenario.summer.returns=no", "scenario.summer.returns", "yes", "no"),
        ("existing.old_battery.capacity_ah=80", "existing.old_battery.capacity_ah", "100", "80"),
        ("vehicle.payload_kg=+5", "vehicle.payload_kg", "120", "125"),
        ("limits.autonomy_days=2.5", "limits.autonomy_days", "1", "2.5"),
        ("place.record_low_c==-15", "place.record_low_c", "-5", "-15"),
        ("place.record_low_c=-15", "place.record_low_c", "-5", "-20"),
        ("inlet.rating_a=16", "inlet.rating_a", "10", "16"),
        ("alternator.rating_a=+10", "alternator.rating_a", "120", "130"),
        ("circuit.heater.source=inverter", "circuit.heater.source", "hook_up", "inverter"),
        ("pass_through.aerial.ip_class=55", "pass_through.aerial.ip_class", "54", "55"),
        ("case.labour_per_h=70", "case.labour_per_h", "60", "70"),
        ("case.system_voltages=12 24", "case.system_voltages", "12", "12 24"),
        ("rule.drop_share=+0.005", "rule.drop_share", "0.035", "0.04"),
        ("rule.bank_in_living=yes", "rule.bank_in_living", "no", "yes"),
        ("part.mains-2.5.ampacity_a=+2", "part.mains-2.5.ampacity_a", "23", "25"),
        ("part.regulator-20.system_v=24", "part.regulator-20.system_v", "12 24", "24"),
        ("regulators.pv_v_max=+5", "regulators.pv_v_max", "75", "80"),
        ("fuses.breaking_12v_a=7000", "fuses.breaking_12v_a", "8000", "7000"),
        ("autonomy_days=2.5", "limits.autonomy_days", "1", "2.5"),
        ("hitch_max_kg=+2", "vehicle.hitch_max_kg", "100", "102"),
        ("drop_share_feed=0.04", "rule.drop_share_feed", "0.05", "0.04"),
        ("currency=eur", "case.currency", "cu", "eur"),
    ],
)
def test_one_value_moves(world: World, text: str, address: str, before: str, after: str) -> None:
    found = move(world, text)

    assert (found.address, found.before, found.after) == (address, before, after)
    again = moved(found.case, found.catalogue, Move(address, f"={after}"))  # it is what stands there now
    assert again.before == after
    assert replace(again, before="") == replace(found, before="", also=())


def test_nothing_else_moves(world: World) -> None:
    there = move(world, "zone.roof.set_back_mm=+15")
    back = moved(there.case, there.catalogue, parse_set("zone.roof.set_back_mm=-15"))

    assert there.case != world.case
    assert (back.case, back.catalogue) == (world.case, world.catalogue)
    assert there.catalogue is world.catalogue
    assert there.case.zones[0] == world.case.zones[0].model_copy(update={"set_back_mm": 65})


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("autonomy_days", "no '='; expected address=change"),
        ("=4", "no address before '='"),
        ("autonomy_days=", "nothing after '='"),
        ("autonmy_days=2", "no such value; expected autonomy_days"),
        ("rating_a=16", "expected alternator.rating_a or inlet.rating_a"),
        ("bay=2", "is a table; expected bay. before"),
        ("bays.box.width_mm=+40", "no table 'bays'; expected bay"),
        ("kettle.watt_w=500", "no table 'kettle'; expected load.kettle.watt_w"),
        ("limit.autonomy_days=2", "no table 'limit'; expected limits"),
        ("bay.bx.width_mm=+40", "no bay 'bx'; expected box"),
        ("bay.width_mm=+40", "names no bay; expected bay.NAME.column"),
        ("board.wall.length_mm=+40", "no board 'wall'; expected"),
        ("bay.box.width=+40", "no unit in 'width'; expected mm: width_mm"),
        ("bay.box.width_cm=4", "wrong unit cm in 'width_cm'; expected mm: width_mm"),
        ("bay.box.name=crate", "says what it is and cannot move"),
        ("board.locker.wall.bay=box", "says what it is and cannot move"),
        ("vehicle.kind=van", "says what it is and cannot move"),
        ("part.fuse-40.holder=holder-main", "says what it is and cannot move"),
        ("portable.point=roof_point", "the case has no [portable]"),
        ("case.limits=3", "limits is a table of its own; expected limits. before"),
        ("case.circuits=3", "circuits is a table of its own; expected circuit. before"),
        ("rule.drop_shar=0.1", "no figure 'drop_shar' in rule set 'handmade'; expected drop_share"),
        ("part.regulator-30.pv_v_max=+5", "no part 'regulator-30'; expected regulator-20"),
        ("regulators.regulator-20.pv_v_max=+5", "expected regulators.column"),
        ("inverter_chargers.surge_w=+5", "the catalogue has no inverter_chargers"),
        ("bay.box.width_mm=wide", "'wide' is not a whole number; expected a whole number above 0 and at most 50000"),
        ("bay.box.width_mm=+wide", "'+wide' is not a number"),
        ("bay.box.width_mm=+0.5", "600.5 is not a whole number"),
        ("bay.box.width_mm=1e3", "'1e3' is not a whole number"),
        ("load.kettle.watt_w=nan", "'nan' is not a plain number"),
        ("bay.box.width_mm=-600", "'0' is not allowed; expected a whole number above 0 and at most 50000"),
        ("bay_air_max_c=70", "'70' is not allowed; expected a number from 25 to 60"),
        ("bay.box.battery=maybe", "'maybe' is not yes or no"),
        ("bay.box.battery=+1", "'+1' cannot be added to 'yes'; expected yes or no"),
        ("bay.box.air=open", "'open' is not allowed; expected one of cabin, closed, sealed, outside"),
        ("case.system_voltages=12 36", "'12 36' is not allowed; expected one of 12, 24, 48"),
        ("alternator.system_v=+12", "'+12' cannot be added to '12'; expected one of 12, 24, 48"),
        ("scenario.summer.portable_from_h=+1", "nothing there to add to; expected a value"),
        ("load.fridge.surge_w=+50", "0 stands for none there; expected a value"),
        ("load.kettle.surge_w=-800", "'0' is not allowed; expected a number above 0"),
        ("part.data.ampacity_a=+5", "0 stands for none there; expected a value"),
        ("rule.drop_share=1.5", "'1.5' is not allowed; expected a number above 0 and at most 1"),
        ("rule.shadow_elevation_deg=+60", "'105' is not allowed; expected a number from 5 to 90"),
        ("rule.bank_in_living=2", "'2' is not yes or no"),
        # what one value says against another
        ("scenario.summer.start_pct=10", "10 is not above limits.soc_floor_pct; expected above 15"),
        ("hitch_min_kg=101", "vehicle.hitch_min_kg: 101 is above hitch_max_kg; expected at most 100"),
        ("autonomy_scenario=winter", "no scenario 'winter'; expected summer"),
        ("load.kettle.circuit=socket", "no circuit 'socket'; expected a circuit of case.toml, sockets"),
        ("obstacle.hatch.zone=rof", "obstacle.hatch.zone: no zone 'rof'; expected roof"),
        ("way.tv_way.start=nowhere", "way.tv_way.start: 'nowhere' leads nowhere"),
        ("board.nose.side.length_mm=-150", "existing.old_battery.x_mm: 'old_battery' reaches 500 mm on nose.side"),
        ("case.rule_set=other", "no rule set 'other' in the catalogue"),
        ("busbars.price=+0.001", "part.busbar-250.price: 10.001 is not in whole cents"),
        ("part.fuse-175.rating_a=+50", "225 is too much; expected at most the 200 of its holder"),
        ("inverters.watt_40c_w=+500", "is too much; expected at most its watt_25c_w, 1500"),
    ],
)
def test_what_cannot_move_teaches(world: World, text: str, says: str) -> None:
    told = problem(world, text)

    assert says in told
    assert "expected" in told


def test_a_budget_that_is_not_set_cannot_grow(world: World) -> None:
    without = changed(world, "limits.budget", None)

    assert "nothing there to add to; expected a value, as limits.budget=100" in problem(without, "budget=+100")
    assert move(without, "budget=1500").after == "1500"


def test_a_moved_figure_no_longer_stands_by_its_source_alone(world: World) -> None:
    figure = move(world, "drop_share=0.04").case.rules.figures["drop_share"]

    assert figure.value == 0.04
    assert figure.source == "moved for this run; 0.035 by made up for a test"


def test_another_rule_set_brings_its_figures(world: World) -> None:
    other = c.RuleSet("other", {"drop_share": c.RuleFigure(0.01, "share", "made up for a test", "memory")})
    catalogue = Catalogue(world.catalogue.tables, {"other": other})

    found = moved(world.case, catalogue, parse_set("rule_set=other"))

    assert found.case.rules is other


def test_what_stands_on_no_zone_may_go_anywhere(world: World) -> None:
    """The hatch of the roof may not leave it; it may where it is of no zone, and its other values move as before."""
    assert "7700 lies off zone 'roof'" in problem(world, "obstacle.hatch.x_mm=+6000")

    without = changed(world, "obstacles.hatch.zone", None)
    assert move(without, "obstacle.hatch.x_mm=+6000").after == "7700"
    assert move(without, "obstacle.hatch.clear_mm=0").after == "0"
    named = move(without, "obstacle.hatch.zone=roof")
    assert (named.before, named.after) == ("nothing", "roof")


# --- all parts of a file -----------------------------------------------------------------------------


def test_a_file_moves_as_far_as_each_part_can(world: World) -> None:
    mixed = changed(world, "parts.gland.ip_class", 69)

    found = move(mixed, "entries.ip_class=+1")

    assert (found.before, found.after) == ("67 to 69", "68 to 69")
    assert [entry.ip_class for entry in found.catalogue.of("entries").values()] == [69, 68]
    bare = world
    for holder in world.catalogue.of("holders"):
        bare = changed(bare, f"parts.{holder}.clear_width_mm", 0)
    assert "none of the holders can go further" in problem(bare, "holders.clear_width_mm=-5")


def test_what_a_part_does_not_have_does_not_come_by_steps(world: World) -> None:
    """A data cable carries no current and a rigid panel is not bent, whatever the others of their file do."""
    cables = move(world, "cables.ampacity_a=+5").catalogue.of("cables")
    panels = move(world, "panels.bend_radius_mm=-200").catalogue.of("panels")

    assert (cables["data"].ampacity_a, cables["dc-6"].ampacity_a) == (0, 70)
    assert (panels["panel-100"].bend_radius_mm, panels["panel-flex"].bend_radius_mm) == (0, 800)


def test_steps_never_take_away_what_is_there(world: World) -> None:
    assert "can go further" in problem(world, "holders.terminal_mm2=-80")  # to 0 they would be held to nothing
    assert "can go further" in problem(world, "panels.bend_radius_mm=-1000")


# --- boards that follow ------------------------------------------------------------------------------


def board(name: str, kind: str, length_mm: int, width_mm: int, depth_mm: int) -> c.Board:
    size = {"length_mm": length_mm, "width_mm": width_mm, "depth_mm": depth_mm}
    return c.Board.model_validate({"bay": "box", "name": name, "kind": kind, "reach": True, "sight": True} | size)


BOARDS = (  # the bay is 1000 x 600 x 800
    board("floor", "floor", 1000, 600, 800),
    board("part_floor", "floor", 900, 600, 700),
    board("long", "wall", 1000, 800, 600),
    board("across", "wall", 600, 800, 1000),
    board("short", "wall", 500, 800, 600),  # by its depth
    board("unsure", "wall", 500, 800, 300),
)


@pytest.mark.parametrize(
    ("measure", "followed"),
    [
        ("length", ["floor.length_mm", "long.length_mm", "across.depth_mm"]),
        ("width", ["floor.width_mm", "part_floor.width_mm", "long.depth_mm", "across.length_mm", "short.depth_mm"]),
        ("height", ["floor.depth_mm", "long.width_mm", "across.width_mm", "short.width_mm", "unsure.width_mm"]),
    ],
)
def test_boards_as_large_as_their_bay_follow_it(world: World, measure: str, followed: list[str]) -> None:
    case = replace(world.case, boards=(*BOARDS, *world.case.boards[1:]))

    found = moved(case, world.catalogue, parse_set(f"bay.box.{measure}_mm=+40"))

    assert [address for address, _, _ in found.also] == [f"board.box.{x}" for x in followed]
    assert {after for _, _, after in found.also} == {str(int(found.after))}
    for address, before, after in found.also:
        assert moved(case, world.catalogue, Move(address, "+0")).before == before
        assert moved(found.case, world.catalogue, Move(address, "+0")).after == after
    assert found.case.boards[len(BOARDS) :] == case.boards[len(BOARDS) :]  # other bays' stay as they are


@pytest.mark.parametrize(("frame_mm", "follows"), [(0, True), (80, True), (81, False), (-1, False)])
def test_a_board_that_fills_its_bay_but_for_a_frame_follows_by_as_much(
    world: World, frame_mm: int, follows: bool
) -> None:
    bay = world.case.bay_of["box"]
    floor = board("floor", "floor", 400, bay.width_mm - frame_mm, 100)
    case = replace(world.case, boards=(floor, *world.case.boards[1:]))

    found = moved(case, world.catalogue, parse_set("bay.box.width_mm=+40"))

    width = floor.width_mm
    assert found.also == ((("board.box.floor.width_mm", str(width), str(width + 40)),) if follows else ())


def test_a_square_bay_does_not_say_which_wall_a_board_is_on(world: World) -> None:
    square = changed(world, "bays.box.width_mm", 1000).case
    case = replace(square, boards=(board("wall", "wall", 1000, 800, 1000), *world.case.boards[1:]))

    assert moved(case, world.catalogue, parse_set("bay.box.length_mm=+40")).also == ()
    assert moved(case, world.catalogue, parse_set("bay.box.height_mm=-40")).also == (
        ("board.box.wall.width_mm", "800", "760"),
    )


# --- sweeps ------------------------------------------------------------------------------------------


def test_ends_of_a_window_are_set_one_after_the_other(world: World) -> None:
    dark = changed(changed(world, "scenarios.summer.hook_up_from_h", None), "scenarios.summer.hook_up_to_h", None)

    begun = move(dark, "scenario.summer.hook_up_from_h=23")
    assert (begun.before, begun.after) == ("nothing", "23")
    assert begun.also == (("scenario.summer.hook_up_to_h", "nothing", "0"),)
    both = moved(begun.case, begun.catalogue, parse_set("scenario.summer.hook_up_to_h=8"))
    assert both.also == ()
    (summer,) = both.case.scenarios
    assert (summer.hook_up_from_h, summer.hook_up_to_h) == (23, 8)
    ended = move(dark, "scenario.summer.hook_up_to_h=0")
    assert ended.also == (("scenario.summer.hook_up_from_h", "nothing", "23"),)
    assert move(dark, "scenario.summer.start_pct=80").also == ()


def test_sweep() -> None:
    address, values = parse_sweep("autonomy_days=1:3:0.25")

    assert address == "autonomy_days"
    assert list(map(float, values)) == [1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3]
    assert parse_sweep("x=0.1:0.3:0.1")[1][-1] == Decimal("0.3")  # floats would end at 0.2
    assert list(map(str, parse_sweep("x=2:-2:-2")[1])) == ["2", "0", "-2"]
    assert list(map(float, parse_sweep("x=1:2:0.75")[1])) == [1, 1.75]
    assert list(map(str, parse_sweep("x=4:4:1")[1])) == ["4"]
    assert len(parse_sweep("x=1:200:1")[1]) == 200


def test_values_of_a_sweep_are_absolute(world: World) -> None:
    _, values = parse_sweep("place.record_low_c=-20:-10:5")

    after = [moved(world.case, world.catalogue, set_to("place.record_low_c", value)).after for value in values]

    assert after == ["-20", "-15", "-10"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("autonomy_days=1:3", "'1:3' is not a sweep; expected from:to:step"),
        ("autonomy_days=1:3:fast", "is not a sweep"),
        ("autonomy_days", "no '='"),
        ("autonomy_days=1:3:0", "never lead from 1 to 3; expected a step above 0"),
        ("autonomy_days=3:1:0.5", "expected a step below 0"),
        ("autonomy_days=1:201:1", "201 values; expected at most 200"),
    ],
)
def test_sweeps_that_lead_nowhere_teach(text: str, says: str) -> None:
    with pytest.raises(MoveProblem, match="expected") as caught:
        parse_sweep(text)

    assert says in str(caught.value)
