"""What one round of a solve has proven stands in the next, which only knows more of the roof."""

from typing import Any

import pytest

from optimiser.auditing import audit, breaches
from optimiser.model import layout
from optimiser.model.context import Learned
from optimiser.solve import WANTS, Halt, Impossible, Question, Solved, Stop, optimise, standing
from optimiser.solve.search import Open
from tests import handmade


@pytest.fixture
def models(monkeypatch: pytest.MonkeyPatch) -> list[standing.Models]:
    """The models solved. The first layout is said not to fit, by a fact that is true anyhow: a hundred panels are too
    many."""
    found = list[standing.Models]()
    solve, lay_out = standing.solve, layout.lay_out

    def solved(models: standing.Models, **given: Any) -> Any:
        found.append(models)
        return solve(models, **given)

    told = list[Learned]()

    def laid(ctx: Any, value: Any) -> Any:
        if told:
            return lay_out(ctx, value)
        [(zone, panel), *_] = ctx.d.at_least
        told.append(Learned(zone, ((panel, len(ctx.d.at_least[zone, panel])),)))
        return list(told)

    monkeypatch.setattr(standing, "solve", solved)
    monkeypatch.setattr(layout, "lay_out", laid)
    return found


def test_another_of_the_kind_that_is_as_good_is_the_best(models: list[standing.Models]) -> None:
    """Nothing else is searched once more."""
    found = optimise(handmade.case(), handmade.catalogue(), "cheapest", stop=Stop(60))

    assert isinstance(found, Solved)
    assert (found.rounds, len(models)) == (2, 1)
    again = optimise(handmade.case(), handmade.catalogue(), "cheapest", stop=Stop(60))  # all can be laid out now
    assert isinstance(again, Solved)
    assert (found.cost_cents, found.mass_g, again.rounds) == (again.cost_cents, again.mass_g, 1)


def test_a_round_begins_at_the_figure_that_the_one_before_has_proven(
    models: list[standing.Models], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where its group shows nothing in time."""
    monkeypatch.setattr(standing, "in_group", lambda *_, **__: Open(0))
    found = optimise(handmade.case(), handmade.catalogue(), "cheapest", stop=Stop(60))

    assert isinstance(found, Solved)
    assert (found.rounds, len(models)) == (2, 2)
    first, second = (list(each.loose.proto.constraints) for each in models)
    assert len(second) == len(first) + 2  # what was learned, and what was proven
    least = 10_000_000 * found.cost_cents + found.mass_g  # the width of mass in a tie
    assert [least in each.linear.domain for each in first].count(True) == 0
    assert [least in each.linear.domain for each in second].count(True) == 1
    assert models[1].goal.low == found.cost_cents


def test_a_halt_gives_a_build_where_the_best_by_then_cannot_be_laid_out(
    models: list[standing.Models], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first layout ends in a halt: what it learned is used for one build more."""
    halt, lay_out = Halt(), layout.lay_out

    def halted(ctx: Any, value: Any) -> Any:
        halt.ask()
        return lay_out(ctx, value)

    monkeypatch.setattr(layout, "lay_out", halted)
    found = Question(handmade.case(), handmade.catalogue()).best(WANTS["cheapest"], stop=Stop(60), halt=halt)

    assert not isinstance(found, Impossible) and found.build is not None
    assert not breaches(audit(handmade.case(), handmade.catalogue(), found.build))
