"""Conflicts and corrections against published lists and an independent library.

The published sets with all their conflicts and correction sets are read from the shared benchmark folder, which names
the source of each. The library is CPMpy's explanation tools, in their naive forms: these use no assumption literals.
"""

import json
import operator
import random
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import cpmpy as cp  # type: ignore[import-untyped]
import pytest
from cpmpy.tools import explain as reference  # type: ignore[import-untyped]
from ortools.sat.python import cp_model

from optimiser.explaining.asker import Answer, Ask, Asker, Fails, Holds
from optimiser.explaining.conflict import Conflict, climbed, correction_sets, minimal_conflict, smallest_conflict

SETS = Path(__file__).resolve().parents[2] / "shared" / "benchmarks" / "explanations.json"
INSTANCES: list[dict[str, Any]] = json.loads(SETS.read_text(encoding="utf-8"))["instances"] if SETS.exists() else []
OPS: dict[str, Callable[[Any, int], Any]] = {
    "<=": operator.le,
    ">=": operator.ge,
    "<": operator.lt,
    ">": operator.gt,
    "==": operator.eq,
    "=": operator.eq,
    "!=": operator.ne,
}

Names = frozenset[str]


def always() -> bool:
    return True


# --- the published sets


def name_of(number: int) -> str:
    return f"c{number:02}"


def named(numbers: Iterable[int]) -> Names:
    return frozenset(map(name_of, numbers))


def cnf_model(instance: dict[str, Any]) -> tuple[cp_model.CpModel, list[Any], Callable[[Any], None]]:
    model = cp_model.CpModel()
    variables = [model.new_bool_var(f"x{k + 1}") for k in range(instance["n_vars"])]

    def add(clauses: list[list[int]]) -> None:
        for clause in clauses:
            model.add_bool_or([variables[v - 1] if v > 0 else ~variables[-v - 1] for v in clause])

    return model, instance["hard"], lambda soft: add([soft] if soft and isinstance(soft[0], int) else soft)


def linear_model(instance: dict[str, Any]) -> tuple[cp_model.CpModel, list[Any], Callable[[Any], None]]:
    model = cp_model.CpModel()
    variables = {name: model.new_int_var(low, high, name) for name, (low, high) in instance["variables"].items()}

    def add(rule: Any) -> None:
        if "all" in rule:
            for part in rule["all"]:
                add(part)
        else:
            terms = sum(factor * variables[name] for factor, name in rule["terms"])
            model.add(OPS[rule["op"]](terms, rule["rhs"]))

    return model, instance["hard"], add


def solver_for(instance: dict[str, Any]) -> Ask:
    """Builds and solves the instance anew for each question."""

    def ask(names: Names) -> Answer:
        model, hard, add = {"cnf": cnf_model, "linear": linear_model}[instance["format"]](instance)
        for rule in hard:
            add(rule)
        for number, soft in enumerate(instance["soft"]):
            if name_of(number) in names:
                add(soft)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        status = solver.solve(model)
        assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
        return Fails(names) if status == cp_model.INFEASIBLE else Holds(names)

    return ask


def as_list(entry: Any) -> list[Any]:
    return entry if isinstance(entry, list) else [entry]


if not INSTANCES:

    def test_published_sets_are_at_hand() -> None:
        pytest.skip(f"the benchmark file {SETS.name} is not beside this checkout")


@pytest.mark.parametrize("instance", INSTANCES, ids=lambda instance: instance["name"])
def test_published_sets(instance: dict[str, Any]) -> None:
    ask = solver_for(instance)
    numbers = range(len(instance["soft"]))
    names = [name_of(number) for number in numbers]
    conflicts = {named(some) for some in instance["muses"]}

    asker = Asker(ask)
    first = minimal_conflict(names, asker)
    assert isinstance(first, Conflict) and first.minimal and not first.undecided
    assert frozenset(first.names) in conflicts

    smallest = smallest_conflict(names, asker, known=first, go_on=always)
    assert frozenset(smallest.names) in conflicts
    assert smallest.smallest and len(smallest.names) == min(map(len, conflicts))

    corrections = list(correction_sets(names, asker, at_most=10**6, go_on=always))
    assert all(correction.enough and correction.minimal for correction in corrections)
    assert sorted(sorted(c.names) for c in corrections) == sorted(sorted(named(some)) for some in instance["mcses"])
    assert [len(c.names) for c in corrections] == sorted(map(len, instance["mcses"]))
    kept = climbed(names, Asker(ask), go_on=always)
    assert any(conflict <= kept for conflict in conflicts) and isinstance(ask(kept), Fails)

    for preferred in as_list(instance.get("preferred", [])):
        found = minimal_conflict([name_of(number) for number in preferred["order"]], Asker(ask))
        assert isinstance(found, Conflict) and frozenset(found.names) == named(preferred["mus"])

    for optimal in as_list(instance.get("optimal", [])):
        weights = dict(zip(names, optimal["weights"], strict=True))
        lightest = smallest_conflict(names, Asker(ask), known=first, go_on=always, weigh=weights.__getitem__)
        assert lightest.smallest and frozenset(lightest.names) in conflicts
        assert sum(weights[name] for name in lightest.names) == sum(weights[name] for name in named(optimal["mus"]))


# --- an independent library


@pytest.mark.parametrize("seed", range(12))
def test_cpmpy_finds_the_same(seed: int) -> None:
    """Random sums over small integers, too tight to hold together."""
    chance = random.Random(seed)
    while True:
        variables = cp.intvar(0, 4, shape=4)
        soft = [
            cp.sum(variables[chance.sample(range(4), 2)]) * chance.choice([-1, 1]) >= chance.randint(-4, 7)
            for _ in range(7)
        ]
        if not cp.Model(soft).solve(solver="ortools", num_workers=1):
            break
    by_name = {name_of(number): rule for number, rule in enumerate(soft)}
    name_by_rule = {id(rule): name for name, rule in by_name.items()}

    def ask(names: Names) -> Answer:
        chosen = [by_name[name] for name in sorted(names)]
        return Holds(names) if not chosen or cp.Model(chosen).solve(solver="ortools", num_workers=1) else Fails(names)

    asker = Asker(ask)
    first = minimal_conflict(list(by_name), asker)
    assert isinstance(first, Conflict)
    assert set(first.names) == {name_by_rule[id(rule)] for rule in reference.quickxplain_naive(soft)}
    assert len(reference.mus_naive([by_name[name] for name in first.names])) == len(first.names)
    smallest = smallest_conflict(list(by_name), asker, known=first, go_on=always)
    assert smallest.smallest
    assert len(smallest.names) == len(reference.optimal_mus_naive(soft))
    assert len(reference.mus_naive([by_name[name] for name in smallest.names])) == len(smallest.names)
    least = next(correction_sets(list(by_name), asker, at_most=1, go_on=always))
    assert len(least.names) == len(reference.mcs(soft))
