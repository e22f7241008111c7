"""Why small vehicles cannot be fitted out, held against how they are made and what the solver says of each change."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache

import pytest

from optimiser.auditing import audit, breaches
from optimiser.explaining import Budget, Refused, Why, why_impossible
from optimiser.explaining.asker import Answer, Asker, Fails, Holds
from optimiser.explaining.case_conflict import conflict_in
from optimiser.explaining.least import least_changes
from optimiser.explaining.subject import Asking, by_name
from optimiser.moves import levers, moved, parse_set, steps
from optimiser.pipeline import Explanation, Inputs
from optimiser.printing import explanation_sheet
from optimiser.printing.impossible import change_words
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.solve import (
    Impossible,
    Outcome,
    Question,
    Solved,
    Undecided,
    optimise,
)
from tests import handmade
from tests.conflicting import WORLDS, Built
from tests.explaining import STOP, Solving, inputs_of, names_of, soon, without
from tests.knobs import changed


def explained(built: Built, solver: Solving | None = None) -> Why:
    names = names_of(built.case, built.catalogue)
    return why_impossible(built.case, built.catalogue, names, solver or Solving(), soon(300))


@cache
def explained_once(make: Callable[[], Built]) -> tuple[Built, Why]:
    built = make()
    return built, explained(built)


def sheet(tmp_case: Inputs, found: Explanation) -> str:
    """The lines of a sheet that are text."""
    return "\n".join(part for part in explanation_sheet(tmp_case, found) if isinstance(part, str))


@pytest.fixture(params=WORLDS, ids=lambda make: make.__name__)
def known(request: pytest.FixtureRequest) -> tuple[Built, Why]:
    """Each of the vehicles, and why there is no build of it."""
    return explained_once(request.param)


# --- impossible --------------------------------------------------------------------------------------


def test_the_conflict_is_named_exactly_and_the_least_change_makes_it_solve(known: tuple[Built, Why]) -> None:
    built, why = known

    assert {reason.name for reason in why.reasons} == built.conflict
    assert (why.minimal, why.smallest, why.doubtful) == (True, True, ())
    assert all(reason.alone for reason in why.reasons)  # by construction any one given up is enough
    named = [change for change in why.changes if [move.address for move in change.moves] == [built.lever]]
    assert [change.counts for change in named] == [(built.steps,)]
    for change in why.changes:
        assert change.least or change.levers[0].step is None  # a value in words has no least step
        case, catalogue = built.case, built.catalogue
        for move in change.moves:
            to = moved(case, catalogue, parse_set(f"{move.address}={move.after}"))
            case, catalogue = to.case, to.catalogue
        outcome = optimise(case, catalogue, "cheapest", stop=STOP)
        assert isinstance(outcome, Solved)
        assert not breaches(audit(case, catalogue, outcome.build))


def test_one_step_less_of_each_change_is_not_enough(known: tuple[Built, Why]) -> None:
    built, why = known
    for change in why.changes:
        lever, count = change.levers[0], change.counts[0]
        if count == 1 or lever.step is None:
            continue
        less = moved(built.case, built.catalogue, steps(lever, count - 1))
        assert isinstance(Question(less.case, less.catalogue).any_build(stop=STOP), Impossible)


def test_a_value_that_need_not_move_is_no_part_of_a_change() -> None:
    """The floor holds as it is, and the days without sun give way alone."""
    at = changed(handmade.world(), "limits.autonomy_days", 1.4)  # 1.2 are there
    both = (("energy.floor[summer]", "energy.autonomy"), at.build)
    change = next(iter(least_changes(at.case, at.catalogue, [both], Solving(), soon())))

    assert [lever.address for lever in change.levers] == ["limits.autonomy_days"]
    assert [move.address for move in change.moves] == ["limits.autonomy_days"]
    assert change.counts == (1,)


def test_what_makers_and_rules_demand_is_never_offered(known: tuple[Built, Why]) -> None:
    built, why = known

    for reason in why.reasons:
        assert any(lever.act for lever in levers(built.case, built.catalogue, reason.name))
    assert all(lever.act for change in why.changes for lever in change.levers)


@pytest.mark.parametrize(
    "known", [*(pytest.param(make, marks=pytest.mark.slow) for make in WORLDS[:-1]), WORLDS[-1]], indirect=True
)
def test_an_open_question_stays_marked(known: tuple[Built, Why]) -> None:
    """The proof that the conflict alone fails stays open: it may not be called smallest, nor minimal."""
    built, _ = known
    names = names_of(built.case, built.catalogue)

    def only_few(active: Callable[[str], bool]) -> Outcome | None:
        few = sum(map(active, names)) <= len(names) // 2
        return Undecided(None, None, None, 0, 1.0, "the time limit came before any build") if few else None

    why = explained(built, Solving(only_few))

    assert not why.smallest
    assert not why.minimal
    assert why.doubtful
    told = {place for reason in why.reasons for place in reason.places or (reason.name,)}
    assert told
    assert told <= built.conflict
    assert built.conflict <= told | set(why.doubtful)
    text = sheet(inputs_of(built.case, built.catalogue), Explanation("impossible", why))
    assert "may not be smallest" in text
    # what may be part of it is a long list, and of less help than the nearest brief
    assert (f"undecided in time ({len(why.doubtful)})" in text) == (why.brief is None)
    assert "smallest conflict (proven)" not in text


def test_a_change_whose_least_stayed_open_says_so() -> None:
    _, why = explained_once(WORLDS[2])
    change = why.changes[0]

    assert "whether less is enough is undecided" in change_words(replace(change, least=False))


def test_without_time_nothing_is_claimed() -> None:
    built = WORLDS[0]()
    names = names_of(built.case, built.catalogue)

    why = why_impossible(built.case, built.catalogue, names, Solving(), Budget(time.monotonic() - 1))

    assert (why.minimal, why.smallest, why.changes) == (False, False, ())
    assert why.doubtful == tuple(by_name(names))


def test_a_build_that_breaches_what_it_was_asked_to_hold_is_a_fault() -> None:
    built = WORLDS[1]()
    free = Question(built.case, built.catalogue, active=lambda name: name not in built.conflict).any_build(stop=STOP)
    assert isinstance(free, Solved)

    with pytest.raises(Refused):
        explained(built, Solving(lambda active: free if all(map(active, built.conflict)) else None))


@pytest.mark.slow
def test_the_shipped_impossible_case() -> None:
    catalogue = read_catalogue(shipped_catalogue())
    case = read_case(shipped_cases() / "impossible-teardrop", catalogue)

    why = why_impossible(case, catalogue, names_of(case, catalogue), Solving(), soon(600))

    assert {reason.name for reason in why.reasons} == {"energy.autonomy", "mass.hitch_high", "inverter.present"}
    assert why.smallest
    stepped = [change for change in why.changes if change.levers[0].step is not None]
    moved = [{move.address for move in change.moves} for change in stepped]
    assert all(addresses & {"limits.autonomy_days", "vehicle.hitch_max_kg"} for addresses in moved) and len(moved) > 1
    assert all(len(addresses) > 1 for addresses in moved)  # neither is enough by itself
    for change in why.changes:
        assert not breaches(f for f in audit(change.case, catalogue, change.build) if not f.name.startswith("claim."))


@dataclass
class Told(Asking):
    """Answers from conflicts that are told it, of requirements with their places."""

    units: Mapping[str, tuple[str, ...]]
    conflict: frozenset[str]

    def __post_init__(self) -> None:
        self.names, self.plain = tuple(self.units), False

    def asker(self) -> Asker:
        return Asker(self.answer)

    def answer(self, names: frozenset[str]) -> Answer:
        places = {place for name in names for place in self.units[name]}
        return Fails(names) if self.conflict <= places else Holds(names)

    def missed_places(self, name: str) -> tuple[str, ...]:
        return ("x[1]",) if name == "x" else ()

    def split(self, units: Iterable[str]) -> Told:
        return Told({place: (place,) for place in ("x[1]", "x[2]", "y", "z")}, self.conflict)


@pytest.mark.parametrize(
    ("conflict", "names"),
    [({"x[1]", "y"}, {"x[1]", "y"}), ({"x[1]", "x[2]", "y"}, {"x", "y"})],
    ids=["one place is enough", "a place stands for the other"],
)
def test_a_place_is_named_only_if_it_conflicts_without_the_others(conflict: set[str], names: set[str]) -> None:
    asking = Told({"x": ("x[1]", "x[2]"), "y": ("y",), "z": ("z",)}, frozenset(conflict))

    found = conflict_in(asking, soon())

    assert set(found.conflict.names) == names
    assert found.conflict.smallest
    if "x" in names:
        assert found.places("x") == ("x[1]",)  # to give it up is enough all the same


def test_two_conflicts_that_share_nothing_want_a_change_of_each() -> None:
    built = WORLDS[2]()
    costs = []
    for given_up in built.conflict:
        eased = without(handmade.World(built.case, built.catalogue, handmade.build()), given_up, "cheapest")
        costs.append(eased.cost_cents / 100)
    budget = min(costs) - 150
    poor = changed(handmade.World(built.case, built.catalogue, handmade.build()), "limits.budget", budget).case
    two = replace(built, case=poor)

    why = explained(two)

    assert why.brief is not None and all(cause.needed for cause in why.causes)
    assert {"limits.budget"} < {cause.eased.move.address for cause in why.causes}
    assert isinstance(optimise(why.brief.case, built.catalogue, "cheapest", stop=STOP), Solved)


def test_what_is_not_negotiable_may_fail_by_itself() -> None:
    built, solver = WORLDS[0](), Solving(lambda active: Impossible(0.1))
    solver.nearest = lambda *_, **__: Impossible(0.1)  # type: ignore[method-assign]

    why = explained(built, solver)

    assert (why.reasons, why.smallest, why.changes) == ((), True, ())
    text = sheet(inputs_of(built.case, built.catalogue), Explanation("impossible", why))
    assert "No build meets what makers and rules set, even with all given up that brief and survey ask for" in text
    assert f"nor does any of {len(why.tried.addresses)} values help" in text


def test_an_answer_that_the_audit_and_the_model_see_otherwise_is_no_crash() -> None:
    """The audit lets a build pass that the model, rounding to the safe side, refuses: it answers for less then."""
    built = WORLDS[2]()
    second = max(built.conflict)
    names = names_of(built.case, built.catalogue)

    def strict(active: Callable[[str], bool]) -> Outcome | None:
        # the model refuses whatever holds the second with one more requirement, which a witness will be seen to hold
        return Impossible(0.1) if active(second) and active(names[0]) else None

    assert names[0] not in built.conflict
    why = explained(built, Solving(strict))

    assert isinstance(why, Why)
