"""Explanations of small vehicles, held against the construction of the vehicle, naive twins and their own sentences."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

import pytest

from optimiser.auditing import audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Budget, Refused, Why, negotiable, what_decides, why_impossible
from optimiser.explaining.asker import Answer, Asker, Fails, Holds
from optimiser.explaining.easing import base_of
from optimiser.explaining.impossible import conflict_in
from optimiser.explaining.least import least_changes
from optimiser.explaining.subject import Asking, by_name
from optimiser.moves import levers, moved, parse_set, steps
from optimiser.pipeline import Explanation, Inputs, explain
from optimiser.printing.explaining import change_words, explanation_sheet
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.requirements import REGISTER
from optimiser.solve import (
    Halt,
    Impossible,
    Outcome,
    Question,
    Solved,
    Stop,
    Undecided,
    Want,
    optimise,
    requirements_of,
)
from tests import handmade
from tests.conflicting import WORLDS, Built
from tests.explaining import STOP, Solving
from tests.knobs import changed


def soon(seconds: float = 60) -> Budget:
    return Budget(time.monotonic() + seconds)


def names_of(case: Case, catalogue: Catalogue) -> tuple[str, ...]:
    return negotiable(case, catalogue, requirements_of(case, catalogue))


def explained(built: Built, solver: Solving | None = None) -> Why:
    names = names_of(built.case, built.catalogue)
    return why_impossible(built.case, built.catalogue, names, solver or Solving(), soon())


def sheet(tmp_case: Inputs, found: Explanation) -> str:
    """The lines of a sheet that are text."""
    return "\n".join(part for part in explanation_sheet(tmp_case, found) if isinstance(part, str))


def inputs_of(case: Case, catalogue: Catalogue) -> Inputs:
    return Inputs(shipped_cases(), case, catalogue)  # the folder is not read for a sheet


@pytest.fixture(params=WORLDS, ids=lambda make: make.__name__)
def built(request: pytest.FixtureRequest) -> Built:
    made = request.param()
    assert isinstance(made, Built)
    return made


# --- impossible --------------------------------------------------------------------------------------


def test_the_conflict_is_named_exactly_and_the_least_change_makes_it_solve(built: Built) -> None:
    why = explained(built)

    assert {reason.name for reason in why.reasons} == built.conflict
    assert (why.minimal, why.smallest, why.doubtful) == (True, True, ())
    assert all(reason.alone for reason in why.reasons)  # by construction any one given up is enough
    known = [change for change in why.changes if [move.address for move in change.moves] == [built.lever]]
    assert [change.counts for change in known] == [(built.steps,)]
    for change in why.changes:
        assert change.least or change.levers[0].step is None  # a value in words has no least step
        case, catalogue = built.case, built.catalogue
        for move in change.moves:
            to = moved(case, catalogue, parse_set(f"{move.address}={move.after}"))
            case, catalogue = to.case, to.catalogue
        outcome = optimise(case, catalogue, "cheapest", stop=STOP)
        assert isinstance(outcome, Solved)
        assert not breaches(audit(case, catalogue, outcome.build))


def test_one_step_less_of_each_change_is_not_enough(built: Built) -> None:
    for change in explained(built).changes:
        (lever,), (count,) = change.levers, change.counts
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


def test_sentences_of_a_conflict_carry_the_numbers(built: Built) -> None:
    why = explained(built)
    text = sheet(inputs_of(built.case, built.catalogue), Explanation("impossible", why))

    assert f"{len(built.conflict)} of {why.negotiable} requirements" in text
    assert "a smallest conflict (proven)" in text
    for reason in why.reasons:
        assert reason.missed is not None
        if REGISTER[base_of(reason.name)].asked_for:
            assert f"  asked for by the brief: {reason.name}; with any one of these given up there is a build" in text
            continue
        limit, actual = reason.missed.numbers
        line = next(line for line in text.splitlines() if line.strip().startswith(f"{reason.name}: "))
        assert {limit, actual} <= set(re.findall(r"-?\d+(?:\.\d+)?", line.split(": ", 1)[1]))
        assert not reason.missed.ok
        assert reason.missed.unit in {"W", "V", "mm", "%", "days", "kg", "inverters"}
    for change in why.changes:
        words = change_words(change)
        assert words in text
        (move,), (lever,), (count,) = change.moves, change.levers, change.counts
        if lever.step is None:
            assert words == f"{lever.words} ({move.address}: {move.before} to {move.after})"
            continue
        assert float(move.after) - float(move.before) == pytest.approx(lever.step * count)
        assert words.startswith(f"{lever.step * count:+g} ")
        assert f"({move.address}: {move.before} to {move.after})" in words
        assert "least in such steps (proven)" in words


def test_what_makers_and_rules_demand_is_never_offered(built: Built) -> None:
    why = explained(built)

    for reason in why.reasons:
        assert any(lever.act for lever in levers(built.case, built.catalogue, reason.name))
    assert all(lever.act for change in why.changes for lever in change.levers)


def test_an_open_question_stays_marked(built: Built) -> None:
    """The proof that the conflict alone fails stays open: it may not be called smallest, nor minimal."""
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
    assert f"undecided in time ({len(why.doubtful)})" in text
    assert "smallest conflict (proven)" not in text


def test_a_change_whose_least_stayed_open_says_so() -> None:
    built = WORLDS[2]()
    names = names_of(built.case, built.catalogue)
    solver = Solving()
    why = why_impossible(built.case, built.catalogue, names, solver, soon())
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


def test_the_shipped_impossible_case() -> None:
    catalogue = read_catalogue(shipped_catalogue())
    case = read_case(shipped_cases() / "impossible-teardrop", catalogue)

    why = why_impossible(case, catalogue, names_of(case, catalogue), Solving(), soon(120))

    assert {reason.name for reason in why.reasons} == {"energy.autonomy", "mass.hitch_high", "inverter.present"}
    assert why.smallest
    stepped = [change for change in why.changes if change.levers[0].step is not None]
    assert {move.address for change in stepped for move in change.moves} == {
        "limits.autonomy_days",
        "vehicle.hitch_max_kg",
    }
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


# --- possible ----------------------------------------------------------------------------------------


def best_of(case: Case, catalogue: Catalogue, want: Want) -> Solved:
    outcome = optimise(case, catalogue, want, stop=STOP)
    assert isinstance(outcome, Solved)
    return outcome


def without(world: handmade.World, name: str, want: Want) -> Solved:
    """The best build with one requirement given up."""
    outcome = optimise(
        world.case, world.catalogue, want, stop=STOP, active=lambda other: name not in (other, other.partition("[")[0])
    )
    assert isinstance(outcome, Solved)
    return outcome


@pytest.mark.parametrize("want", ["cheapest", pytest.param("lightest", marks=pytest.mark.slow)])
def test_what_decides_against_giving_up_each_by_itself(want: Want) -> None:
    """Naive twin: with each negotiable requirement given up by itself, is the optimum better?"""
    world = handmade.world()
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, want)

    def figure(found: Solved) -> int:
        return found.cost_cents if want == "cheapest" else found.mass_g

    found = what_decides(world.case, world.catalogue, names, want, best, Solving(), soon())

    better = {}
    for name in {base_of(name) for name in names}:
        gained = figure(best) - figure(without(world, name, want))
        if gained > 0:
            better[name] = gained
    assert better  # something decides
    assert {base_of(decider.name) for decider in found.deciders if decider.alone} == set(better)
    for decider in found.deciders:
        assert decider.better_by is not None
        assert 0 < decider.better_by <= better[base_of(decider.name)]
        assert decider.exact  # each eased case was solved
    assert found.smallest


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
def test_places_named_decide_when_dropped_there(want: Want) -> None:
    """Exactly the places that are named, by themselves; and by exactly as much as is said."""
    world = handmade.world()
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, want)

    found = what_decides(world.case, world.catalogue, names, want, best, Solving(), soon())

    for decider in found.deciders:
        dropped = decider.places or by_name(names).get(decider.name, (decider.name,))
        outcome = optimise(world.case, world.catalogue, want, stop=STOP, active=lambda name: name not in dropped)  # noqa: B023 (used at once)
        assert isinstance(outcome, Solved)
        saved = best.cost_cents - outcome.cost_cents if want == "cheapest" else best.mass_g - outcome.mass_g
        assert saved > 0
        assert saved == decider.better_by == decider.at_most


def test_prices_are_differences_of_two_proven_optima() -> None:
    world = changed(handmade.world(), "limits.autonomy_days", 1.0)
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, "cheapest")

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())

    assert {price.easing for price in found.prices} == {True, False}
    for price in found.prices:
        to = moved(world.case, world.catalogue, steps(price.lever, 1 if price.easing else -1))
        outcome = optimise(to.case, to.catalogue, "cheapest", stop=STOP)
        if isinstance(outcome, Impossible):
            assert (price.outcome, price.wanted) == ("impossible", None)
            continue
        assert isinstance(outcome, Solved)
        assert price.wanted == outcome.cost_cents - best.cost_cents
        assert price.other in (None, outcome.mass_g - best.mass_g)
        assert price.other is not None or not price.wanted


@pytest.mark.slow
def test_a_requirement_left_open_decides_if_a_step_of_its_value_is_proven_to() -> None:
    world = handmade.world()
    less = without(world, "energy.autonomy", "cheapest").build
    (days,) = [f.actual for f in audit(world.case, world.catalogue, less) if f.name == "energy.autonomy"]
    world = changed(world, "limits.autonomy_days", round(days + 0.05, 2))  # a step less, and the cheaper bank is enough
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, "cheapest")
    known = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())
    worth = {price.name: -(price.wanted or 0) for price in known.prices if price.easing and price.wanted}
    name = next(iter(worth))

    def open_without_it(active: Callable[[str], bool]) -> Outcome | None:
        return None if active(name) else Undecided(None, None, None, 0, 1.0, "the time limit came before any build")

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(open_without_it), soon())

    (decider,) = [decider for decider in found.deciders if decider.name == name]
    assert (decider.alone, decider.better_by) == (True, worth[name])
    assert name not in found.doubtful
    assert [price for price in found.prices if price.name == name and price.easing and price.wanted == -worth[name]]
    some = Solving(open_without_it)
    dear = what_decides(world.case, world.catalogue, names, "cheapest", best, some, soon(), margin=worth[name] + 1)
    assert name not in {decider.name for decider in dear.deciders}  # a step is worth less than what counts


@pytest.mark.parametrize("workers", [1, 2])
def test_no_more_searches_at_once_than_workers(workers: int, monkeypatch: pytest.MonkeyPatch) -> None:
    world, lock = handmade.world(), threading.Lock()
    running, most = 0, 0

    class Counted(Question):
        def any_build(self, *, stop: Stop | None = None, halt: Halt | None = None) -> Outcome:
            nonlocal running, most
            assert stop is not None
            with lock:
                running += stop.workers
                most = max(most, running)
            try:
                return super().any_build(stop=stop, halt=halt)
            finally:
                with lock:
                    running -= stop.workers

    monkeypatch.setattr("optimiser.pipeline.explaining.Question", Counted)
    stop = replace(STOP, seconds=60, workers=workers)

    found = explain(
        inputs_of(world.case, world.catalogue), ("cheapest", "lightest"), 0, stop, lambda _: None, lambda _: None
    )

    assert [deciding.want for deciding in found.deciding] == ["cheapest", "lightest"]
    assert most == workers


def test_room_is_what_the_audit_leaves_and_never_what_decides() -> None:
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())

    findings = {f.requirement: f for f in audit(world.case, world.catalogue, best.build)}
    assert found.room
    shares = [finding.margin / abs(finding.limit) for finding in found.room]
    assert shares == sorted(shares)
    for finding in found.room:
        assert finding == findings[finding.requirement]
        assert finding.margin > 0
        assert finding.requirement not in {decider.name for decider in found.deciders}
        assert REGISTER[finding.name].step is not None


def test_sentences_of_what_decides_carry_the_numbers() -> None:
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)
    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon(), margin=100)

    text = sheet(inputs_of(world.case, world.catalogue), Explanation("possible", None, (found,)))

    assert f"The cheapest build: {best.cost_cents / 100:.2f} cu, {best.mass_g / 1000:.3f} kg (proven)" in text
    assert "Nothing is 1.00 cu or more cheaper because of these, a smallest set (proven):" in text
    for decider in found.deciders:
        assert decider.finding is not None
        assert decider.better_by is not None
        saved = f"{decider.better_by / 100:.2f} cu less"
        if REGISTER[base_of(decider.name)].asked_for:
            assert re.search(rf"{re.escape(decider.name)}( \([^,]*\))? \(without it {saved}, proven\)", text)
            continue
        assert re.search(rf"  {re.escape(decider.name)}( \(at .*\))?: {re.escape(decider.finding.sentence)}", text)
        assert f"without it exactly {saved} (proven)" in text


@pytest.mark.slow
def test_a_better_build_must_be_better_by_the_margin() -> None:
    """What a requirement is worth less than the margin does not decide."""
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)

    def deciders(margin: int) -> set[str]:
        found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon(), margin=margin)
        return {decider.name for decider in found.deciders if decider.alone}

    worth = {name: best.cost_cents - without(world, name, "cheapest").cost_cents for name in deciders(1)}
    most = max(worth.values())
    assert deciders(most) == {name for name, cents in worth.items() if cents == most}
    assert not deciders(most + 1)


def test_what_decides_refuses_a_best_build_that_the_audit_refuses() -> None:
    world = handmade.world()
    wrong: Build = replace(world.build, panels=())

    with pytest.raises(Refused):
        what_decides(world.case, world.catalogue, (), "cheapest", Solved(wrong, 1, 1, 0.1), Solving(), soon())


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

    assert why.changes
    for change in why.changes:
        assert {move.address for move in change.moves} & {"limits.budget"}
        assert len(change.moves) == 2
        outcome = optimise(change.case, built.catalogue, "cheapest", stop=STOP)
        assert isinstance(outcome, Solved)


def test_what_is_not_negotiable_may_fail_by_itself() -> None:
    built = WORLDS[0]()

    why = explained(built, Solving(lambda active: Impossible(0.1)))

    assert (why.reasons, why.smallest, why.changes) == ((), True, ())
    text = sheet(inputs_of(built.case, built.catalogue), Explanation("impossible", why))
    assert "No build meets what makers and rules set, even with all given up that brief and survey ask for" in text
    assert f"nor does any of {len(why.tried.addresses)} values help" in text


def test_a_build_that_only_has_to_be_there_claims_nothing() -> None:
    world = handmade.world()

    found = Question(world.case, world.catalogue).any_build(stop=STOP)

    assert isinstance(found, Solved)
    assert (found.build.claim.status, found.build.claim.bound) == ("found", None)


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
