"""Giving a clearance up at one place gives up no other's, and never what a body is."""

from dataclasses import replace

import pytest

from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.pipeline.trying import covers
from optimiser.solve import Impossible, Question, Solved
from tests import conflicting
from tests.asking import Changes, broken, taken, world
from tests.explaining import STOP
from tests.test_explain_proofs import why

# --- an obstacle's clearance, and the obstacle ---------------------------------------------------------

AROUND = ("roof.obstacle", "roof.shadow", "roof.lid")  # the hatch ends at y -200, the panel at y_mm begins


@pytest.mark.parametrize(("y_mm", "holds"), [(-200, True), (-201, False)])
def test_a_panel_never_lies_over_an_obstacle_whatever_is_given_up_around_it(y_mm: int, holds: bool) -> None:
    at = world(("panels.1.y_mm", y_mm))
    wrong = breaches(audit(at.case, at.catalogue, at.build))

    left = {f.requirement for f in wrong if not any(covers(name, f) for name in AROUND)}

    assert left == (set() if holds else {"roof.body[hatch]"})
    assert taken(at, lambda name: name.partition("[")[0] not in AROUND) is holds


# --- clearance between two bodies ----------------------------------------------------------------------

NEAR: Changes = (("fitted.isolator.x_mm", 169),)  # the busbar ends at 150; each of the two wants 20 mm


def clear(busbar_mm: int, isolator_mm: int) -> Changes:
    sides = ("clear_length_mm", "clear_width_mm")  # however they stand
    wanted = (("busbar-250", busbar_mm), ("isolator-300", isolator_mm))
    return tuple((f"parts.{part}.{side}", mm) for part, mm in wanted for side in sides)


@pytest.mark.parametrize(
    ("clearances", "given_up", "holds"),
    [
        ((20, 20), ("isolator",), False),  # the busbar's own stays
        ((20, 20), ("busbar",), False),
        ((20, 20), ("busbar", "isolator"), True),
        ((0, 20), ("isolator",), True),  # nobody else wants it
        ((0, 20), ("busbar",), False),
        ((20, 0), ("busbar",), True),
    ],
)
def test_giving_up_one_bodys_clearance_leaves_its_neighbours(
    clearances: tuple[int, int], given_up: tuple[str, ...], holds: bool
) -> None:
    at = world(*NEAR, *clear(*clearances))
    names = {f"bay.clearance[{slot}]" for slot in given_up}

    assert broken(at) == {
        "bay.clearance[busbar]",
        "bay.clearance[isolator]",
    }
    assert taken(at, lambda name: name not in names) is holds


@pytest.mark.slow
def test_an_explanation_names_only_clearances_that_are_enough_to_give_up() -> None:
    """A wall too short by what its bodies keep between them: at the places named, and at no fewer, it is enough."""
    lamps = c.Load(name="lamps", supply="dc", watt_w=5, from_h=0, to_h=24)
    roomy = conflicting.trailer(loads=(lamps,))
    catalogue, short = conflicting.with_parts(), {"length_mm": 300, "width_mm": 300}
    boards = tuple(b.model_copy(update=short) if b.bay == "locker" else b for b in roomy.boards)
    case = replace(roomy, boards=boards)

    def without(*places: str) -> Solved | Impossible:
        outcome = Question(case, catalogue, active=lambda name: name not in places).any_build(stop=STOP)
        assert isinstance(outcome, Solved | Impossible)
        return outcome

    (reason,) = [r for r in why(case, catalogue).reasons if r.name.startswith("bay.clearance")]

    assert isinstance(without(), Impossible)
    named = reason.places or (reason.name,)
    assert isinstance(without(*named), Solved)
    for place in named:
        assert isinstance(without(*(other for other in named if other != place)), Impossible)
