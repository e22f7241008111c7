"""Parts that stay: only where the survey names them, only in slots they can fill, and held to their place."""

from typing import Any, NamedTuple

import pytest

from optimiser import builds as b
from optimiser import case as c
from tests import handmade
from tests.asking import Changes, broken, taken, world
from tests.handmade import way
from tests.pairs import NO_HOOK_UP

CASE = handmade.case()
FITTED = {f.slot: f for f in handmade.build().fitted}
OLD_BATTERY = CASE.existing[0]


def stays(slot: str, *, depth_mm: int = 60, length_mm: int = 100, **moved: Any) -> Changes:
    """The part of a slot as one that was there, where the build has it or elsewhere."""
    was = FITTED[slot]
    at: dict[str, Any] = {"board": was.board, "x_mm": was.x_mm, "y_mm": was.y_mm} | moved
    row = c.Existing(name="old", kind="part", part=was.part, length_mm=length_mm, width_mm=100, depth_mm=depth_mm, **at)
    fitted = b.Fitted(slot, was.part, row.board, row.x_mm, row.y_mm, existing=True)
    return (("existing", (OLD_BATTERY, row)), (f"fitted.{slot}", fitted))


GO_ON = ("inverter", "alternator_charger", "mains_charger", "mains_box")


@pytest.mark.parametrize("slot", GO_ON)
def test_these_go_on_working(slot: str) -> None:
    at = world(*stays(slot))
    assert broken(at) == set() and taken(at)


@pytest.mark.parametrize("slot", [s for s in FITTED if FITTED[s].part and s not in GO_ON])
def test_nothing_else_does(slot: str) -> None:
    """Isolators, busbars, regulators, displays ...: neither free of cost nor weightless, whatever the survey says."""
    at = world(*stays(slot))
    assert f"run.complete[{slot}]" in broken(at)
    assert not taken(at)


def test_a_part_does_not_stay_elsewhere_than_surveyed() -> None:
    here = b.Fitted("inverter", "inverter-1500", "locker.wall", 200, 200, existing=True)
    at = world(*stays("inverter", x_mm=850), ("fitted.inverter", here))
    assert broken(at) == {"run.complete[inverter]"} and not taken(at)


def test_what_goes_on_working_is_not_left_unused() -> None:
    """A new inverter where the survey has an old one elsewhere: that would be in its slot."""
    at = world(("existing", (OLD_BATTERY, dict(stays("inverter", x_mm=850, y_mm=650))["existing"][1])))
    assert "run.complete[inverter]" in broken(at) and not taken(at)


def test_a_part_that_stays_is_warm_by_the_catalogue_alone() -> None:
    (keep, fitted) = stays("inverter")
    old = keep[1][1].model_copy(update={"heat_w": 500})
    at = world(("existing", (OLD_BATTERY, old)), fitted)
    assert broken(at) == set() and taken(at)


@pytest.mark.parametrize(
    "sold", [(("length_mm", 600), ("width_mm", 600)), (("mounts", "floor"),), (("orientations", ("side",)),)]
)
def test_a_part_that_stays_was_carried_in_and_fixed_before(sold: tuple[tuple[str, Any], ...]) -> None:
    """A new one would not pass the opening of 500 x 400, or not stand on a wall."""
    at = world(*stays("inverter"), *((f"parts.inverter-1500.{column}", value) for column, value in sold))
    assert broken(at) == set() and taken(at)


def test_a_part_that_the_survey_does_not_name_does_not_stay() -> None:
    at = world(("fitted.inverter", b.Fitted("inverter", "inverter-1500", "locker.wall", 200, 200, existing=True)))
    assert broken(at) == {"run.complete[inverter]"} and not taken(at)


# --- held to its place -------------------------------------------------------------------------------------


class Held(NamedTuple):
    """What breaks when a change is made, and the change on either side of the limit."""

    requirement: str
    given: Changes
    inside: Changes
    outside: Changes


DOOR = c.Board(
    bay="locker", name="door", kind="wall", length_mm=150, width_mm=150, depth_mm=100, reach=True, sight=True
)
RUNS = {run.name: run for run in handmade.build().runs}
IN_THE_NOSE: Changes = (  # the mains charger where the old battery was, on a way of its own
    *stays("mains_charger", board="nose.side", x_mm=0, y_mm=0),
    ("existing.old_battery", None),
    ("ways", (*CASE.ways, way("nose_way", "locker", "nose", 500, 60, divided=True))),
    ("runs.mains_charger.start", "nose"),
    ("runs.mains_charger.ways", ("nose_way",)),
    ("runs.mains_feed.end", "nose"),
    ("runs.mains_feed.ways", ("nose_way",)),
)
CHARGER = "parts.mains-charger-30"

FAR_OFF: Changes = (
    ("bays.locker.cable_allowance_mm", 500),
    *((f"rules.{figure}", 0.05) for figure in ("drop_share", "drop_share_inverter")),
)
PASSES_ON: Changes = (
    *((f"parts.inverter-1500.{key}_a", amps) for key, amps in (("charge", 10), ("transfer", 20))),
    ("runs", (*dict(NO_HOOK_UP)["runs"], b.Run("inverter_in", "locker", "locker", (), "mains-2.5"))),
)

HELD = {
    "inside its board": Held(
        "bay.board[inverter]", FAR_OFF, stays("inverter", x_mm=900), stays("inverter", x_mm=901),
    ),
    "inside its board, across": Held(
        "bay.board[inverter]", FAR_OFF, stays("inverter", y_mm=700), stays("inverter", y_mm=701)
    ),
    "inside its board, as long as it was measured": Held(
        "bay.board[inverter]", FAR_OFF, stays("inverter", length_mm=120, x_mm=880),
        stays("inverter", length_mm=120, x_mm=881),
    ),
    "room before its board": Held(
        "bay.depth[inverter]", (), stays("inverter", depth_mm=100), stays("inverter", depth_mm=101)
    ),
    "survey on electronics": Held(
        "bay.electronics[mains_charger]", IN_THE_NOSE,
        (("bays.nose.electronics", True),), (("bays.nose.electronics", False),),
    ),
    "no electronics in sealed air": Held(
        "bay.electronics[mains_charger]", IN_THE_NOSE, (("bays.nose.air", "closed"),), (("bays.nose.air", "sealed"),)
    ),
    "within reach": Held(
        "bay.reach[mains_box]", stays("mains_box", board="locker.door", x_mm=0, y_mm=0),
        (("boards", (*CASE.boards, DOOR)),),
        (("boards", (*CASE.boards, DOOR.model_copy(update={"reach": False}))),),
    ),
    "new bodies keep its greatest clearance": Held(  # 50 mm off on all sides
        "bay.clearance[display]", stays("inverter"),
        (("parts.inverter-1500.clear_height_mm", 50),), (("parts.inverter-1500.clear_height_mm", 51),),
    ),
    "new bodies keep it aside as well": Held(
        "bay.clearance[display]",
        (*FAR_OFF, *stays("inverter", x_mm=650, y_mm=500), ("fitted.display.x_mm", 500), ("fitted.display.y_mm", 500)),
        (("parts.inverter-1500.clear_height_mm", 50),), (("parts.inverter-1500.clear_height_mm", 51),),
    ),
    "voltage of the system": Held(
        "string.system_voltage", stays("mains_charger"), ((f"{CHARGER}.system_v", 12),), ((f"{CHARGER}.system_v", 24),)
    ),
    "voltage of the alternator": Held(
        "string.system_voltage", stays("alternator_charger"),
        (("alternator.system_v", 12),), (("alternator.system_v", 24),),
    ),
    "no charger on the engine": Held(
        "charge.asked_for[alternator_charger]", stays("alternator_charger"),
        (("brief.alternator_charger", "may"),), (("brief.alternator_charger", "no"),),
    ),
    "no charger on hook-up": Held(
        "charge.asked_for[mains_charger]", stays("mains_charger"),
        (("brief.mains_charger", "may"),), (("brief.mains_charger", "no"),),
    ),
    "no inverter-charger on hook-up": Held(
        "charge.asked_for[mains_charger]", (*NO_HOOK_UP, stays("inverter")[0], stays("inverter")[1]), (), PASSES_ON
    ),
    "in its bay it weighs nothing new": Held(  # of 10.5
        "bay.mass[locker]", stays("inverter"),
        (("bays.locker.mass_max_kg", 10.0),), (("bays.locker.mass_max_kg", 9.999),),
    ),
    "in the vehicle it weighs nothing new": Held(  # of 20.51
        "mass.payload", stays("inverter"), (("vehicle.payload_kg", 20.01),), (("vehicle.payload_kg", 20.009),)
    ),
    "it costs nothing": Held(  # of 721.75
        "money.budget", stays("inverter"), (("limits.budget", 704.75),), (("limits.budget", 704.74),)
    ),
    "its feed's plug": Held(
        "charge.plug", stays("alternator_charger"), (("alternator.plug_a", 39.03),), (("alternator.plug_a", 39.02),)
    ),
    "apart from a lead-acid battery": Held(
        "battery.lead_acid[nose]", IN_THE_NOSE[:2], IN_THE_NOSE[2:], IN_THE_NOSE[3:]
    ),
    "the inlet feeds it": Held(
        "charge.inlet", stays("mains_charger"), (("inlet.rating_a", 4.27),), (("inlet.rating_a", 4.26),)
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", HELD)
def test_what_stays_is_held_to_its_place(name: str) -> None:
    requirement, given, inside, outside = HELD[name]
    well, wrong = world(*given, *inside), world(*given, *outside)
    assert broken(well) == set() and taken(well)
    assert requirement in broken(wrong) and not taken(wrong)
