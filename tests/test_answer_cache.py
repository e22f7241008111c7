"""What an explanation proved is kept between runs: taken over for the same question only, and its builds audited."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from optimiser.pipeline.answer_cache import Answers
from optimiser.solve import Impossible, Outcome, Solved, Undecided
from tests import handmade
from tests.explaining import best_of
from tests.knobs import changed

pytestmark = pytest.mark.usefixtures("shelf")
NAMES = ("bay.heat", "mass.payload")
WORLD = handmade.world()


def ask(
    outcome: Outcome | None, *, world: handmade.World = WORLD, dropped: str = "", below: int = 1, first: bool = False
) -> Outcome:
    """Ask in a run of its own; None: the solver must not be asked."""

    def solve() -> Outcome:
        assert outcome is not None, "the solver was asked"
        return outcome

    def active(name: str) -> bool:
        return name != dropped

    return Answers("of these inputs", NAMES).ask(
        world.case, world.catalogue, active, ("cost", below), "cheapest", solve, any_will_do=first
    )


def test_a_proof_is_taken_over_for_the_same_question_only() -> None:
    ask(Impossible(1.0))

    assert isinstance(ask(None), Impossible)
    other = Undecided(None, None, None, 0, 1.0, "asked")
    assert ask(other, dropped="bay.heat") is other
    assert ask(other, below=2) is other
    assert ask(other, world=changed(WORLD, "limits.autonomy_days", 0.5)) is other


def test_what_stayed_undecided_is_asked_again() -> None:
    ask(Undecided(None, None, None, 0, 1.0, "the time limit came before any build"))

    assert isinstance(ask(Impossible(1.0)), Impossible)


def test_a_question_left_open_begins_from_the_bound_of_an_earlier_run() -> None:
    ask(_open(200))

    assert ask(_open(100)) == _open(200)
    assert ask(_open(300)) == _open(300)
    assert isinstance(ask(Impossible(1.0)), Impossible)  # a proof takes the place of a bound
    assert isinstance(ask(None), Impossible)


def test_a_build_that_is_not_proven_best_is_taken_over_where_any_will_do(shelf: Path) -> None:
    best = best_of(WORLD.case, WORLD.catalogue, "cheapest")
    found = Undecided(best.build, best.cost_cents, best.mass_g, 100, 1.0, "the first will do", best.figures)
    ask(found, first=True)

    again = ask(None, first=True)
    assert isinstance(again, Undecided)
    assert (again.build, again.figures, again.bound) == (best.build, best.figures, 100)
    assert ask(best) is best
    (file,) = shelf.glob("answers-*")
    file.write_text(_no_cables(file.read_text(encoding="utf-8").splitlines()[0]), encoding="utf-8")
    assert ask(best, first=True) is best  # the audit refuses what is kept


def _open(bound: int) -> Undecided:
    return Undecided(None, None, None, bound, 1.0, "the time limit came before any build")


def test_a_build_comes_back_as_it_was_and_only_if_the_audit_passes_it(shelf: Path) -> None:
    best = best_of(WORLD.case, WORLD.catalogue, "cheapest")
    ask(best)

    again = ask(None)
    assert isinstance(again, Solved)
    assert (again.build, again.cost_cents, again.mass_g) == (best.build, best.cost_cents, best.mass_g)
    assert again.figures == best.figures

    for spoil in (_cheaper, _no_cables, _cut):
        (file,) = shelf.glob("answers-*")
        line = file.read_text(encoding="utf-8").splitlines()[0]
        file.write_text(spoil(line), encoding="utf-8")
        other = Undecided(None, None, None, 0, 1.0, "asked")
        assert ask(other) is other
        file.write_text(line + "\n", encoding="utf-8")


def _cheaper(line: str) -> str:
    found = json.loads(line)
    found["figures"]["cost"] -= 1
    return json.dumps(found)


def _no_cables(line: str) -> str:
    found = json.loads(line)
    found["build"]["runs"] = []
    return json.dumps(found)


def _cut(line: str) -> str:
    return line[: len(line) // 2]
