"""Among values without a ladder nothing nearer is left out, held against every brief of so few steps."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations_with_replacement

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.elastic import nearest_brief
from optimiser.moves import Lever, MoveProblem, has_ladder, levers, moved, steps
from optimiser.solve import Impossible, Question, Solved
from tests import handmade
from tests.conflicting import roof_and_string
from tests.explaining import STOP, Solving, best_of, names_of, soon
from tests.handmade import World
from tests.knobs import altered


def stepped(case: Case, catalogue: Catalogue) -> list[Lever]:
    """Every value of brief and survey that some requirement gives way to step by step."""
    found = [lever for name in names_of(case, catalogue) for lever in levers(case, catalogue, name)]
    return list({(lever.address, lever.step): lever for lever in found if lever.act and lever.step}.values())


def with_steps(case: Case, catalogue: Catalogue, chosen: tuple[Lever, ...]) -> Case | None:
    for lever in chosen:
        try:
            case = moved(case, catalogue, steps(lever, 1)).case
        except MoveProblem:
            return None
    return case


def of_weight(case: Case, catalogue: Catalogue, most: int) -> Iterator[tuple[int, Case]]:
    """All briefs of at most so many steps in all; a word weighs more."""
    for count in range(1, most + 1):
        for chosen in combinations_with_replacement(stepped(case, catalogue), count):
            made = with_steps(case, catalogue, chosen)
            if made is not None:
                yield count, made


def possible(case: Case, catalogue: Catalogue) -> bool:
    outcome = Question(case, catalogue).any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


def test_two_steps_of_a_clearance_are_found_and_no_brief_of_one_step_is_enough() -> None:
    built = roof_and_string()

    found = nearest_brief(built.case, built.catalogue, names_of(built.case, built.catalogue), Solving(), soon(300))

    assert found is not None and found.weight == built.steps
    assert not has_ladder(found.eased[0].move.address)
    assert not any(possible(case, built.catalogue) for _, case in of_weight(built.case, built.catalogue, 1))


@pytest.mark.slow
def test_beside_a_budget_a_step_short_no_brief_of_fewer_steps_has_a_build() -> None:
    """The budget is half a step below the cheapest build there is with the clearance mended."""
    built = roof_and_string()
    mended = replace(
        built.case, obstacles=tuple(o.model_copy(update={"clear_mm": o.clear_mm - 20}) for o in built.case.obstacles)
    )
    cheapest = best_of(mended, built.catalogue, "cheapest").cost_cents / 100
    world = altered(World(built.case, built.catalogue, handmade.build()), ("limits.budget", round(cheapest) - 50))

    found = nearest_brief(world.case, world.catalogue, names_of(world.case, world.catalogue), Solving(), soon(300))

    assert found is not None and possible(found.case, found.catalogue)
    least = next(
        weight for weight, case in of_weight(world.case, world.catalogue, 3) if possible(case, world.catalogue)
    )
    assert found.weight == least == built.steps + 1
