"""How near to what was asked a limit can stay: held against the optimum, and against values just on either side."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Nearest, Why
from optimiser.measures import Measure
from optimiser.moves import Lever, Move, moved
from optimiser.printing.impossible import nearest_words
from optimiser.solve import Impossible, Outcome, Question, Solved, Undecided, optimise
from tests.conflicting import hitch_and_autonomy
from tests.explaining import STOP, Solving
from tests.handmade import World
from tests.test_explain_proofs import explained, sheet, variant, why


def works(world: World, address: str, value: float) -> bool:
    to = moved(world.case, world.catalogue, Move(address, f"={value}"))
    outcome = Question(to.case, to.catalogue).any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


def near(found: Why, address: str) -> Nearest:
    (nearest,) = [n for n in found.nearest if n.lever.address == address]
    return nearest


def held_on_both_sides(world: World, nearest: Nearest) -> None:
    """It works, and one part nearer to what was asked does not."""
    assert nearest.exact
    assert nearest.works is not None
    assert nearest.lever.step is not None
    nearer = nearest.works + (-1 if nearest.lever.step > 0 else 1)
    assert works(world, nearest.lever.address, nearest.works / nearest.scale)
    assert not works(world, nearest.lever.address, nearer / nearest.scale)


@pytest.mark.parametrize(
    ("label", "address", "want"),
    [
        ("a budget of nothing", "limits.budget", "cheapest"),
        pytest.param("1 kg", "vehicle.payload_kg", "lightest", marks=pytest.mark.slow),
    ],
)
def test_the_lowest_budget_and_the_least_payload_are_the_optimum_without_them(
    label: str, address: str, want: str
) -> None:
    world, found = variant(label), explained(label)
    free = moved(world.case, world.catalogue, Move(address, "=5000")).case
    best = optimise(free, world.catalogue, "cheapest" if want == "cheapest" else "lightest", stop=STOP)
    assert isinstance(best, Solved)

    nearest = near(found, address)

    assert nearest.works == (best.cost_cents if want == "cheapest" else best.mass_g)
    held_on_both_sides(world, nearest)
    shown = f"{nearest.value(nearest.works)} {nearest.lever.unit} {nearest.lever.words}"
    text = sheet(world.case, world.catalogue, found)
    assert f"with all else met {shown} is the least that works (proven; {address})" in text


def test_a_change_to_a_solved_value_is_the_least_in_its_steps() -> None:
    world, found = variant("a budget of nothing"), explained("a budget of nothing")
    nearest = near(found, "limits.budget")
    (change,) = [c for c in found.changes if c.moves[0].address == "limits.budget"]

    assert change.least
    assert nearest.works is not None
    assert 0 <= float(change.moves[0].after) - nearest.works / nearest.scale < 100
    assert works(world, "limits.budget", float(change.moves[0].after))
    assert not works(world, "limits.budget", float(change.moves[0].after) - 100)


def test_days_and_hitch_are_found_between_their_steps() -> None:
    built = hitch_and_autonomy()
    world = replace(variant("1 kg"), case=built.case, catalogue=built.catalogue)
    found = why(built.case, built.catalogue)

    for address in ("limits.autonomy_days", "vehicle.hitch_max_kg"):
        nearest = near(found, address)
        held_on_both_sides(world, nearest)
        (change,) = [c for c in found.changes if c.moves[0].address == address]
        assert nearest.works is not None
        assert float(change.moves[0].after) != nearest.works / nearest.scale  # a step goes beyond it
    assert "days without sun is the most that works (proven; limits.autonomy_days)" in sheet(
        built.case, built.catalogue, found
    )


@dataclass
class Slow(Solving):
    """Ends every solve for the best of a measure before its proof."""

    ends: Callable[[Solved], Undecided] = lambda best: Undecided(
        best.build, best.cost_cents, best.mass_g, best.cost_cents - 500, 1.0, "the time limit came", best.figures
    )

    def utmost(
        self, case: Case, catalogue: Catalogue, measure: Measure, *, active: Callable[[str], bool], seconds: float
    ) -> Outcome:
        best = super().utmost(case, catalogue, measure, active=active, seconds=seconds)
        assert isinstance(best, Solved)
        return self.ends(best)


def test_a_bound_is_called_a_bound() -> None:
    world = variant("a budget of nothing")

    nearest = near(why(world.case, world.catalogue, solver=Slow()), "limits.budget")

    assert nearest.works is not None
    assert nearest.bound == nearest.works - 500
    words = nearest_words(nearest)
    assert "a build was found; no build is possible with less than" in words
    assert "the solver's bound" in words
    assert "proven" not in words


def test_a_bound_says_no_less_than_that_what_was_asked_does_not_work() -> None:
    lever = Lever("limits.budget", 100, "cu", "budget", act=True)

    words = nearest_words(Nearest("money.budget", lever, None, 1250001, 100))

    assert words.startswith("no value that works with all else met was found in time: ")
    assert "with less than 12500.01 cu (the solver's bound; limits.budget)" in words
