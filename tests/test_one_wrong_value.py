"""Where only one value of brief or survey is wrong, the whole explanation says so, with a move that works."""

import shlex

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Why
from optimiser.moves import Moved, moved, parse_set
from optimiser.printing.briefs import set_words
from optimiser.solve import Impossible, Question, Solved
from tests import handmade
from tests.explaining import STOP
from tests.handmade import World
from tests.knobs import Change, altered
from tests.test_attempts import DARK, SUMMER
from tests.test_explain_proofs import why

SUNNY: tuple[Change, ...] = (*DARK, (f"{SUMMER}.clearness", 0.9), (f"{SUMMER}.month", 6))
"""Only the sun charges."""


def world(*changes: Change) -> World:
    return altered(handmade.world(), *changes)


ONE: dict[str, tuple[World, str]] = {
    "an inlet too small for the heater": (world(("inlet.rating_a", 2)), "inlet.rating_a"),
    "an alternator too small for its charger": (world(("alternator.rating_a", 30)), "alternator.rating_a"),
    "a plug too small for the charger": (world(("alternator.plug_a", 20)), "alternator.plug_a"),
    "an alternator that no charger takes": (world(("alternator.system_v", 24)), "alternator.system_v"),
    "full too soon": (world(("limits.recharge_h", 0.5)), "limits.recharge_h"),
    "a board not as deep as the bank": (world(("boards.floor.depth_mm", 200)), "board.box.floor.depth_mm"),
    "a board too short for the bank": (world(("boards.floor.length_mm", 200)), "board.box.floor.length_mm"),
    "begun too full to come back": (
        world(*SUNNY, (f"{SUMMER}.start_pct", 100)),
        "scenario.summer.start_pct",
    ),
    "two days in the dark without hook-up": (
        world(*DARK, (f"{SUMMER}.returns", False)),
        "scenario.summer.hook_up_from_h",
    ),
}


def ways(found: Why) -> list[tuple[Moved, ...]]:
    """All that is suggested: each change, and all of the nearest brief."""
    brief = [tuple(eased.move for eased in found.brief.eased)] if found.brief else []
    return [*brief, *(change.moves for change in found.changes)]


def works(case: Case, catalogue: Catalogue, moves: tuple[Moved, ...]) -> bool:
    """Whether there is a build, the values set as the command line takes them."""
    for move in moves:
        _, text = shlex.split(set_words(move))
        to = moved(case, catalogue, parse_set(text))
        case, catalogue = to.case, to.catalogue
    return isinstance(Question(case, catalogue).any_build(stop=STOP), Solved)


@pytest.mark.parametrize(("world", "address"), ONE.values(), ids=ONE)
@pytest.mark.slow
def test_the_wrong_value_is_told_with_a_move_that_works(world: World, address: str) -> None:
    assert isinstance(Question(world.case, world.catalogue).any_build(stop=STOP), Impossible)

    found = why(world.case, world.catalogue)

    told = [moves for moves in ways(found) if address in {move.address for move in moves}]
    assert told, [[move.address for move in moves] for moves in ways(found)]
    assert all(works(world.case, world.catalogue, moves) for moves in told)
