"""Levers: each requirement has its own, and none ever tightens what it is there to ease."""

from pathlib import Path
from typing import Any

import pytest

from optimiser import case as c
from optimiser.auditing import audit
from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.moves import Lever, Move, MoveProblem, levers, moved, steps
from optimiser.reading import read_case, shipped_cases
from optimiser.requirements import REGISTER
from tests import handmade
from tests.edge import Edge
from tests.edges import COLD_BANK, EDGES
from tests.edges_breakers import FILLED
from tests.edges_panel import PANEL
from tests.handmade import World
from tests.knobs import altered, changed


@pytest.fixture(scope="module")
def world() -> World:
    return handmade.world()


# --- which ------------------------------------------------------------------------------------

NO_LEVER = {
    "roof.inside": "definition",
    "roof.overlap": "definition",
    "roof.body": "definition",
    "roof.types": "two types a zone is the program's own figure, no value of a case",
    "string.complete": "definition",
    "string.portable": "whether there is a portable panel is the brief as such",
    "battery.module_under_main": "which fuses are fitted is the build itself",
    "bay.space": "definition",
    "bay.cable_opening": "definition",
    "bay.orientation": "a way of standing is a list of words of the maker, with no step to it",
    "breaker.under_cable": "what the chosen cable stands",
    "breaker.residual": "30 mA is the program's own figure, of every rule set, no value of a case",
    "mains.bond": "how an inverter joins neutral and earth is a word of its maker, with no step to it",
    "run.complete": "definition",
    "run.length": "definition",
    "measure.switch": "an inverter always has one",
    "claim.cost": "definition",
    "claim.mass": "definition",
}

SUITABLE: dict[str, list[tuple[str, Any]]] = {  # worlds where what is not there by hand is, or is not allowed
    "roof.bend": [("parts.panel-100.kind", "flexible"), ("parts.panel-100.bend_radius_mm", 900)],
    "roof.rigid": [("zones.roof.rigid", False)],
    "battery.place": [("bays.box.battery", False)],
    "battery.lead_acid": [("bays.nose.air", "cabin")],
    "inverter.transfer": [("parts.inverter-1500.charge_a", 30), ("parts.inverter-1500.transfer_a", 16)],
    "string.system_voltage": [("alternator.system_v", 24)],
    "charge.plug": [("alternator.plug_a", 50)],
    "bay.electronics": [("bays.locker.electronics", False)],
    "bay.sight": [("boards.wall.sight", False)],
    "size.mains_charge": [("limits.mains_charge_a", 20)],
    "size.solar": [("limits.solar_w", 200)],
    "size.bank": [("limits.bank_ah", 200)],
    "size.inverter": [("limits.inverter_w", 1500)],
    "preference.wanted": [("preferences.wanted", ("panel-100",))],
    "preference.banned": [("preferences.banned", ("panel-flex", "vents"))],
    "preference.solar_section": [("preferences.solar_section_mm2", 6)],
    "preference.twins": [("preferences.twins_alike", True)],
    "preference.panel_types": [("preferences.panel_types_at_most", 1)],
    "preference.place": [("preferences.display_at", "locker")],
    "preference.spare_studs": [("preferences.spare_studs", 1)],
    "preference.spare_circuits": [("preferences.spare_circuits", 1)],
    "preference.spare_ways": [("preferences.spare_ways", 1)],
    **{key: list(FILLED[:8]) for key in ("breaker.over_load", "breaker.breaking", "breaker.modules")},
    "mains.changeover": [("brief.changeover", "must")],
    **{key: [("more.dc_panels", PANEL)] for key in ("panel.ways", "panel.way_rating", "panel.rating")},
}


@pytest.mark.parametrize("name", REGISTER)
def test_each_requirement_has_levers_or_a_reason_for_none(world: World, name: str) -> None:
    world = altered(world, *SUITABLE.get(name, []))

    found = levers(world.case, world.catalogue, name)

    assert bool(found) == (name not in NO_LEVER), NO_LEVER.get(name)
    for lever in found:
        assert (lever.step is None) != (lever.to is None)
        assert lever.act == (lever.address.split(".")[0] not in ("rule", *world.catalogue.tables))


def addresses(world: World, requirement: str) -> set[str]:
    return {lever.address for lever in levers(world.case, world.catalogue, requirement)}


def test_levers_of_a_place_are_of_that_place(world: World) -> None:
    assert addresses(world, "bay.heat[locker]") == {
        "limits.bay_air_max_c",
        "bay.locker.cut_out_max_cm2",
        "modules.charge_max_c",
    }
    assert addresses(world, "energy.floor[summer]") == {"limits.soc_floor_pct", "scenario.summer.start_pct"}
    assert addresses(world, "run.drop[main]") == {"rule.drop_share_inverter"}
    assert addresses(world, "run.drop[solar_a]") == {"rule.drop_share_solar"}
    assert addresses(world, "run.section[mains_feed]") == {"rule.main_section_min_mm2"}
    assert addresses(world, "run.section[pass_aerial]") == {"rule.dc_section_min_mm2"}
    assert addresses(world, "run.section[display]") == set()
    assert addresses(world, "inverter.power") == {"load.kettle.watt_w"}
    assert addresses(world, "charge.inlet") == {"inlet.rating_a", "load.fire.watt_w"}
    assert addresses(world, "battery.discharge") == {"load.kettle.watt_w", "modules.discharge_a"}
    assert addresses(world, "mass.axle[axle]") == {"vehicle.axle_max_kg"}
    assert addresses(world, "entry.sealing[sun]") == {"entries.ip_class"}
    assert addresses(world, "entry.sealing[aerial]") == {"entries.ip_class", "pass_through.aerial.ip_class"}


def test_levers_of_a_slot_are_the_boards_that_could_take_it(world: World) -> None:
    floor, wall, side = "board.box.floor.depth_mm", "board.locker.wall.depth_mm", "board.nose.side.depth_mm"

    assert addresses(world, "bay.depth[bank]") == {floor}  # on floors only
    assert addresses(world, "bay.depth[inverter]") == {floor, wall, side}
    assert addresses(world, "bay.depth[isolator]") == {wall, side}  # the floor is out of reach
    on_floor = changed(world, "parts.inverter-1500.mounts", "floor")
    assert addresses(on_floor, "bay.depth[inverter]") == {floor}
    dry = changed(world, "bays.nose.electronics", False)
    assert addresses(dry, "bay.depth[inverter]") == {floor, wall}
    stays = c.Existing(
        name="old", kind="part", part="inverter-1500", board="nose.side", x_mm=0, y_mm=0, length_mm=100, width_mm=100,
        depth_mm=80,
    )  # fmt: skip
    assert addresses(changed(world, "existing", [stays]), "bay.depth[inverter]") == {side}


@pytest.mark.parametrize("requirement", ["energy.floor[summer]", "energy.autonomy"])
def test_a_bay_kept_warmer_eases_what_a_cold_bank_gives(world: World, requirement: str) -> None:
    world = altered(world, *COLD_BANK)

    def margin(at: World) -> float:
        return next(f.margin for f in audit(at.case, at.catalogue, at.build) if f.requirement == requirement)

    (lever,) = (x for x in levers(world.case, world.catalogue, requirement) if x.address.startswith("bay."))
    assert (lever.address, lever.step) == ("bay.box.cold_rise_k", 1)
    assert margin(changed(world, "bays.box.cold_rise_k", 4)) > margin(world)
    assert "bay.box.cold_rise_k" not in addresses(changed(world, "limits.autonomy_days", 0), "energy.autonomy")


def test_levers_of_a_van_and_of_what_is_not_asked(world: World) -> None:
    van = c.Van(
        kind="van", front_axle_x_mm=4000, rear_axle_x_mm=1000, track_mm=1800, payload_kg=300, base_front_kg=1200,
        base_rear_kg=1300, front_max_kg=1700, rear_max_kg=1900, balance_max_kg=60,
    )  # fmt: skip
    on_wheels = changed(world, "brief.vehicle", van)
    unasked = changed(changed(world, "limits.budget", None), "limits.autonomy_days", 0)

    assert addresses(on_wheels, "mass.axle[front axle]") == {"vehicle.front_max_kg"}
    assert addresses(on_wheels, "mass.axle") == {"vehicle.front_max_kg", "vehicle.rear_max_kg"}
    assert addresses(on_wheels, "mass.hitch_high") == set()
    assert addresses(unasked, "money.budget") == addresses(unasked, "energy.autonomy") == set()


def test_a_bank_is_let_in_by_the_survey_or_by_the_rule_set(world: World) -> None:
    living = changed(world, "bays.box.habitable", True)

    assert levers(living.case, living.catalogue, "battery.place[box]") == (
        Lever("rule.bank_in_living", None, "", "a bank allowed in the living space", act=False, to="yes"),
    )
    assert addresses(changed(living, "bays.box.battery", False), "battery.place[box]") == set()  # either is not enough


def test_words_read_on_after_the_step(world: World) -> None:
    def said(requirement: str) -> set[str]:
        found = levers(world.case, world.catalogue, requirement)
        return {" ".join(filter(None, [steps(lever, 1).change, lever.unit, lever.words])) for lever in found}

    assert said("energy.autonomy") == {"-0.25 days without sun"}
    assert said("mass.hitch_high") == {"+2 kg allowed hitch load"}
    assert said("bay.depth[bank]") == {"+10 mm free depth of board box.floor"}
    assert said("money.budget") == {"+100 cu budget"}


@pytest.mark.parametrize(
    ("requirement", "says"),
    [
        ("mass.hitch", "no such requirement; expected mass.hitch_low"),
        ("bay.heat[lockr]", "bay.heat[lockr]: no bay 'lockr'; expected locker"),
        ("bay.board[invrter]", "bay.board[invrter]: no slot 'invrter'; expected inverter"),
        ("mass.axle[middle]", "no axle 'middle'; expected"),
    ],
)
def test_unknown_requirements_and_places_teach(world: World, requirement: str, says: str) -> None:
    with pytest.raises(MoveProblem) as caught:
        levers(world.case, world.catalogue, requirement)

    assert says in str(caught.value)


def test_steps() -> None:
    days = Lever("limits.autonomy_days", -0.25, "", "days without sun", act=True)
    bank = Lever("bay.box.battery", None, "", "a bank allowed in bay box", act=True, to="yes")

    assert steps(days, 3) == Move("limits.autonomy_days", "-0.75")
    assert steps(days, -1) == Move("limits.autonomy_days", "+0.25")
    assert steps(Lever("rule.drop_share", 0.005, "", "", act=False), 3).change == "+0.015"
    assert steps(bank, 1) == Move("bay.box.battery", "=yes")
    for lever, count in ((days, 0), (bank, 2), (bank, -1)):
        with pytest.raises(MoveProblem, match="expected"):
            steps(lever, count)


def test_steps_end_with_the_range(world: World) -> None:
    (lever,) = levers(world.case, world.catalogue, "roof.set_back[roof]")

    assert moved(world.case, world.catalogue, steps(lever, 5)).after == "0"
    with pytest.raises(MoveProblem, match=r"'-10' is not allowed; expected a whole number from 0 to 50000"):
        moved(world.case, world.catalogue, steps(lever, 6))


# --- what they do -----------------------------------------------------------------------------

# One of several values that each could be the one that counts, or a word that is no matter by hand.
MAY_STAY = {"battery.voltage", "bay.board", "bay.depth", "bay.opening", "bay.clearance", "bay.heat", "bay.hydrogen"}
MAY_STAY |= {"bay.vent_place", "energy.floor"}
MAY_STAY |= {"bay.reach", "run.ampacity", "run.terminal", "run.terminal_heat", "way.carries", "entry.outside_wall"}
MAY_STAY |= {"measure.channels"}


def pulled(world: World, lever: Lever, count: int) -> dict[str, float] | None:
    """Requirement -> margin after so many steps of a lever; None where it cannot go there."""
    try:
        found = moved(world.case, world.catalogue, steps(lever, count))
    except MoveProblem:
        return None
    return {f.requirement: f.margin for f in audit(found.case, found.catalogue, world.build)}


@pytest.mark.parametrize("name", [name for name in REGISTER if name not in NO_LEVER])
def test_easing_never_tightens(world: World, name: str) -> None:
    for finding in audit(world.case, world.catalogue, world.build):
        if finding.name != name:
            continue
        for lever in levers(world.case, world.catalogue, finding.requirement):
            eased = pulled(world, lever, 1)
            assert eased is not None, lever
            after = eased.get(finding.requirement, float("inf"))  # some are no longer asked
            assert after >= finding.margin, lever
            assert after > finding.margin or name in MAY_STAY, lever
            against = pulled(world, lever, -1) if lever.step is not None else None
            if against is not None:
                assert against.get(finding.requirement, finding.margin) <= finding.margin, lever


def test_a_channel_more_on_each_shunt_is_room_for_every_current(world: World) -> None:
    """What terminals take may be enough as it is, so that is no room by itself; channels always are."""
    after = pulled(world, Lever("shunts.channels", 1, "", "channels of shunts", act=False), 1)

    assert after is not None
    found = [f for f in audit(world.case, world.catalogue, world.build) if f.name == "measure.channels"]
    assert {f.place for f in found} >= {"175 A", "50 mm2"}
    assert all(after[f.requirement] > f.margin for f in found)


# Breaches just outside a limit that no step of a lever mends.
BEYOND = {
    ("battery.lead_acid[locker]", "existing"): "all the electronics stand beside it",
    ("battery.parallel[block]", "bank.columns"): "the block drawn is not the bank bought",
    ("battery.module_breaking", "parts.fuse-125.volt_max_v"): "for a lower voltage, whatever it breaks there",
    ("string.system_voltage", "parts.inverter-1500.system_v"): "another inverter is wanted, not another feed",
    ("string.system_voltage", "parts.regulator-20.system_v"): "another regulator is wanted, not another feed",
    ("string.system_voltage", "parts.module-100.nominal_v"): "another module is wanted, not another feed",
    ("bay.board[busbar]", "fitted.busbar.x_mm"): "beyond the corner that boards are measured from",
    ("bay.clearance[isolator]", "fitted.isolator.x_mm"): "its neighbour wants as much",
    ("bay.electronics[inverter]", "bays.locker.air"): "sealed, whatever the survey allows",
    ("run.fuse_over_load[inverter]", "runs.inverter.fuse"): "no fuse at all",
    ("run.fuse_over_load[pass_aerial]", "runs.pass_aerial.fuse"): "no fuse at all",
    ("run.fuse_holder[inverter]", "parts.holder-row.on_terminal"): "made for a battery's terminal",
    ("run.complete[main_fuse]", "parts.holder-main.on_terminal"): "the terminal is taken",
    ("measure.channels[40 A]", "parts.shunt-4x50.rating_a"): "no channel for so much current",
    ("measure.channels[175 A]", "parts.shunt-1x300.rating_a"): "no channel for so much current",
    ("entry.cables[sun]", "parts.gland.outside_max_mm"): "not that thick a cable",
    ("entry.cables[aerial]", "parts.pass.carries"): "not that kind of cable",
    ("energy.floor[summer]", "limits.soc_floor_pct"): "a floor above any that can be read",
    ("bay.clearance[fuse_row]", "fitted.fuse_row.x_mm", 81): "its neighbour wants as much",
    ("run.fuse_breaking[inverter]", "parts.fuse-175.breaking_12v_a", 0): "no fuse for that voltage at all",
}
"""By requirement and knob, and by the value outside where another edge has the same two."""


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge.requirement}-{edge.knob}")
def test_one_step_mends_what_is_just_outside(edge: Edge) -> None:
    world = edge.world(edge.outside)
    found = levers(world.case, world.catalogue, edge.requirement)

    mends = []
    for lever in found:
        after = pulled(world, lever, 1)
        mends.append(after is not None and after.get(edge.requirement, 0.0) >= 0)

    name = edge.requirement.partition("[")[0]
    beyond = {(edge.requirement, edge.knob), (edge.requirement, edge.knob, edge.outside)} & BEYOND.keys()
    assert any(mends) == (name not in NO_LEVER and not beyond)


# --- everywhere -------------------------------------------------------------------------------


def test_each_requirement_of_the_model_can_be_asked(world: World) -> None:
    """Places are named by the model as by the audit: whatever it posts has levers or none, but is understood."""
    for requirement in assemble(world.case, world.catalogue).posted:
        levers(world.case, world.catalogue, requirement)


@pytest.mark.parametrize("folder", sorted(shipped_cases().iterdir()), ids=lambda folder: folder.name)
def test_all_levers_of_the_shipped_cases_can_be_pulled(folder: Path, catalogue: Catalogue) -> None:
    case = read_case(folder, catalogue)

    for name in REGISTER:
        for lever in levers(case, catalogue, name):
            found = moved(case, catalogue, steps(lever, 1))
            assert found.address == lever.address
            assert found.before != found.after
