"""Proofs of an explanation held against what they deny: each requirement dropped, each value that feeds a limit moved.

Whatever of these gives a build, the explanation must have named it, and must not have said that nothing helps.
"""

import time
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Budget, Core, Why, negotiable, why_impossible
from optimiser.explaining.easing import eased
from optimiser.model.assemble import assemble
from optimiser.moves import Move, MoveProblem, moved
from optimiser.pipeline import Explanation, Inputs
from optimiser.printing import explanation_sheet
from optimiser.printing.impossible import conflict_words
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.requirements import REGISTER
from optimiser.solve import Impossible, Question, Solved, requirements_of
from tests import handmade
from tests.explaining import STOP, Solving
from tests.handmade import World
from tests.knobs import altered

DENIED = "nor does any of"  # what is said where nothing helps

LARGE_BOX = ("parts.mains-box-2.inlet_a", 32)
VARIANTS: Mapping[str, tuple[tuple[str, Any], ...]] = {
    "a charger by all means, an alternator none takes": (("alternator.system_v", 24),),
    "an inlet of 32 A, a cable for 23": (("inlet.rating_a", 32), LARGE_BOX),
    "an inlet of 32 A, a box for 16 and a cable for 23": (("inlet.rating_a", 32),),
    "a mains charger by all means, no inlet": (("brief.inlet", None),),
    "24 V only, parts for 12": (("brief.system_voltages", (24,)),),
    "1 kg": (("vehicle.payload_kg", 1),),
    "a budget of nothing": (("limits.budget", 1),),
    "a box for one circuit of two": (("parts.mains-box-2.circuits", 1),),
    "half an alternator, less than its charger draws": (("alternator.rating_a", 30),),
    "a step-down too small, an inverter too small": (("parts.inverter-1500.watt_40c_w", 300),),
    "no isolator for the current": (("parts.isolator-300.rating_a", 20),),
    "no board as deep as the bank": (("boards.floor.depth_mm", 200),),
    "a pass-through nothing seals": (("parts.pass.ip_class", 50),),
}

MOVES = (  # every value of the brief that feeds a limit of makers and rules
    *("case.alternator_charger=may", "case.mains_charger=may", "case.system_voltages=12 24 48"),
    *("alternator.system_v=12", "alternator.system_v=24", "alternator.rating_a=60", "alternator.rating_a=15"),
    *("inlet.rating_a=6", "inlet.rating_a=10", "inlet.rating_a=16", "place.mains_v=120"),
    *("limits.regulators_at_most=2", "limits.bay_air_max_c=45", "limits.bay_air_max_c=55"),
    *("circuit.sockets.source=hook_up", "load.kettle.watt_w=350", "pass_through.aerial.ip_class=44"),
)


QUICK = ("an inlet of 32 A, a cable for 23", "no board as deep as the bank")
EACH = [pytest.param(label, marks=() if label in QUICK else pytest.mark.slow) for label in VARIANTS]


@cache
def variant(label: str) -> World:
    return altered(handmade.world(), *VARIANTS[label])


@cache
def explained(label: str) -> Why:
    return why(variant(label).case, variant(label).catalogue)


def why(case: Case, catalogue: Catalogue, seconds: float = 120, solver: Solving | None = None) -> Why:
    names = negotiable(case, catalogue, requirements_of(case, catalogue))
    return why_impossible(case, catalogue, names, solver or Solving(), Budget(time.monotonic() + seconds))


def sheet(case: Case, catalogue: Catalogue, found: Why) -> str:
    inputs = Inputs(shipped_cases(), case, catalogue)
    shown = explanation_sheet(inputs, Explanation("impossible", found))
    return "\n".join(part for part in shown if isinstance(part, str))


def asked_for(case: Case, catalogue: Catalogue) -> set[str]:
    """Requirements of brief and survey, by the register alone."""
    posted = {name.partition("[")[0] for name in assemble(case, catalogue).posted}
    return {name for name in posted if REGISTER[name].source in ("brief", "survey")}


def helps(case: Case, catalogue: Catalogue, dropped: str = "") -> bool:
    question = Question(case, catalogue, active=lambda name: name.partition("[")[0] != dropped)
    return isinstance(question.any_build(stop=STOP), Solved)


def only(world: World, conflict: tuple[str, ...]) -> Question:
    """Whether there is a build though all is given up but a conflict."""
    kept = {name.partition("[")[0] for name in conflict}
    given = set(negotiable(world.case, world.catalogue, requirements_of(world.case, world.catalogue)))
    return Question(
        world.case, world.catalogue, active=lambda name: name not in given or name.partition("[")[0] in kept
    )


def held_against(case: Case, catalogue: Catalogue, found: Why, moves: tuple[str, ...]) -> int:
    """How many drops and moves give a build; each must be named."""
    named = {reason.name.partition("[")[0] for reason in found.reasons if reason.alone}
    to = {change.moves[0].address for change in found.changes if len(change.moves) == 1}
    count = 0
    for name in asked_for(case, catalogue):
        if helps(case, catalogue, dropped=name):
            assert name in named
            count += 1
    for text in moves:
        address, _, value = text.partition("=")
        try:
            move = moved(case, catalogue, Move(address, value))
        except MoveProblem:
            continue
        if helps(move.case, move.catalogue):
            assert address in to
            count += 1
    if count:
        assert DENIED not in conflict_words(found)
    return count


@pytest.mark.slow
@pytest.mark.parametrize("label", EACH)
def test_what_gives_a_build_is_named(label: str) -> None:
    world = variant(label)
    assert isinstance(Question(world.case, world.catalogue).any_build(stop=STOP), Impossible)

    held_against(world.case, world.catalogue, explained(label), MOVES)


@pytest.mark.slow
def test_a_charger_by_all_means_that_no_alternator_feeds() -> None:
    label = "a charger by all means, an alternator none takes"
    found = explained(label)

    reasons = {reason.name for reason in found.reasons}
    assert reasons == {"charge.asked_for[alternator_charger]", "string.system_voltage"}
    assert {move.address for change in found.changes for move in change.moves} == {
        "case.alternator_charger",
        "alternator.system_v",
    }
    assert held_against(variant(label).case, variant(label).catalogue, found, MOVES) > 1


@pytest.mark.slow
def test_an_inlet_that_no_cable_stands() -> None:
    """The core is of the rule set and the cables, and what feeds it is the inlet."""
    label = "an inlet of 32 A, a cable for 23"
    found, world = explained(label), variant(label)

    assert found.core is not None
    assert found.core.names == ("run.ampacity[mains_inlet]",)
    assert found.core.minimal
    assert [(change.moves[0].address, change.moves[0].after) for change in found.changes] == [("inlet.rating_a", "16")]
    text = sheet(world.case, world.catalogue, found)
    assert "mains_inlet carries 32 A, its cable is rated" in text
    assert "Set by makers and rules: not yours to give up, but another part or rule set would change it." in text
    assert DENIED not in text
    assert "an inlet of 16 A (inlet.rating_a: 32 to 16)" in text


@pytest.mark.parametrize("label", EACH)
def test_each_place_of_a_core_decides_when_dropped_there(label: str) -> None:
    core, world = explained(label).core, variant(label)
    if core is None:
        assert explained(label).reasons
        return
    core_decides(world.case, world.catalogue, core)


def core_decides(case: Case, catalogue: Catalogue, core: Core) -> None:
    """All of it fails, and holds without any one of its places; each is one that the model posts."""
    given = set(negotiable(case, catalogue, requirements_of(case, catalogue)))
    case, catalogue = eased(case, catalogue, given)  # as far as the survey has room

    def holds(names: set[str]) -> bool:
        return isinstance(Question(case, catalogue, active=names.__contains__).any_build(stop=STOP), Solved)

    assert core.minimal
    assert set(core.names) <= set(requirements_of(case, catalogue))
    assert not holds(set(core.names))
    for name, missed in zip(core.names, core.missed, strict=True):
        assert holds(set(core.names) - {name})
        assert missed is not None
        assert name in (missed.requirement, missed.name)


@pytest.mark.slow
def test_that_nothing_helps_is_said_only_when_all_was_tried() -> None:
    label = "a box for one circuit of two"
    found, world = explained(label), variant(label)

    assert found.core is not None
    assert found.core.names == ("protect.mains_box",)
    assert not found.changes
    assert not found.tried.undecided
    assert {move.partition("=")[0] for move in MOVES if "alternator.system_v" not in move} <= {
        *found.tried.addresses,
        "case.alternator_charger",
    }
    text = sheet(world.case, world.catalogue, found)
    assert f"{DENIED} {len(found.tried.addresses)} values help" in text
    assert "the mains box takes 1 circuits" in text
    assert held_against(world.case, world.catalogue, found, MOVES) == 0


def test_that_nothing_helps_is_not_said_without_time_to_try() -> None:
    world = variant("a box for one circuit of two")
    solver = Solving()
    names = negotiable(world.case, world.catalogue, requirements_of(world.case, world.catalogue))
    budget = Budget(time.monotonic() + 600, halted=lambda: len(solver.asked) > 30)

    found = why_impossible(world.case, world.catalogue, names, solver, budget)

    assert found.tried.undecided
    assert DENIED not in conflict_words(found)


@pytest.mark.slow
def test_conflicts_beneath_the_named_one_are_told() -> None:
    found = explained("a mains charger by all means, no inlet")
    world = variant("a mains charger by all means, no inlet")

    assert found.beneath == "some"
    named = {reason.name for reason in found.reasons}
    for conflict in found.further:
        assert named.isdisjoint(conflict)
        assert isinstance(only(world, conflict).any_build(stop=STOP), Impossible)
    assert "mended this, these cannot be met together either (proven)" in sheet(world.case, world.catalogue, found)


@pytest.mark.parametrize("label", EACH)
def test_what_a_build_is_is_never_given_up(label: str) -> None:
    found = explained(label)

    for reason in found.reasons:
        if REGISTER[reason.name.partition("[")[0]].is_definition:
            assert reason.set_by == "definition"
            assert not reason.places
    text = sheet(variant(label).case, variant(label).catalogue, found)
    assert "giving up" not in text


def test_a_deeper_board_is_named_as_room_not_as_a_limit_to_give_up() -> None:
    label = "no board as deep as the bank"
    found, world = explained(label), variant(label)

    assert [(reason.name, reason.alone, reason.set_by) for reason in found.reasons] == [
        ("bay.depth", True, "definition")
    ]
    # 210 mm of bank, 60 mm of holder on its terminal, 20 mm clear
    assert [(c.moves[0].address, c.moves[0].after) for c in found.changes] == [("board.box.floor.depth_mm", "290")]
    assert "What a build is: never given up" in sheet(world.case, world.catalogue, found)


# --- shipped -----------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(
    ("folder", "sets"),
    [
        ("grey-month-van", ("alternator.system_v=24", "case.alternator_charger=must")),
        ("tiny-trailer", ("alternator.system_v=24", "case.alternator_charger=must")),
        ("grey-month-van", ("inlet.rating_a=32",)),
        ("grey-month-van", ("vehicle.payload_kg=1",)),
    ],
)
def test_what_gives_a_build_of_a_shipped_case_is_named(folder: str, sets: tuple[str, ...]) -> None:
    catalogue = read_catalogue(shipped_catalogue())
    case = read_case(shipped_cases() / folder, catalogue)
    for text in sets:
        address, _, value = text.partition("=")
        case = moved(case, catalogue, Move(address, value)).case
    assert isinstance(Question(case, catalogue).any_build(stop=STOP), Impossible)

    found = why(case, catalogue, seconds=240)

    # That each of a core is needed takes the van with its larger inlet longer: it is then not said to be.
    if found.core is not None and found.core.minimal:
        core_decides(case, catalogue, found.core)
    assert held_against(case, catalogue, found, MOVES) > 0
