"""What one round of a solve has proven stands in the next, which only knows more of the roof."""

from typing import Any

import pytest
from ortools.sat.python import cp_model

from optimiser.model import layout
from optimiser.model.context import Learned
from optimiser.solve import Solved, Stop, fitout, optimise
from optimiser.solve.search import search
from tests import handmade


def test_a_round_begins_at_the_figure_that_the_one_before_has_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first layout is said not to fit, by a fact that is true anyhow: a hundred panels are too many."""
    models = list[Any]()
    lay_out = layout.lay_out

    def searched(model: cp_model.CpModel, *given: Any, **also: Any) -> Any:
        models.append(model.clone())
        return search(model, *given, **also)

    def laid(ctx: Any, value: Any) -> Any:
        if len(models) > 1:
            return lay_out(ctx, value)
        [(zone, panel), *_] = ctx.d.at_least
        return [Learned(zone, ((panel, len(ctx.d.at_least[zone, panel])),))]

    monkeypatch.setattr(fitout, "search", searched)
    monkeypatch.setattr(layout, "lay_out", laid)
    found = optimise(handmade.case(), handmade.catalogue(), "cheapest", stop=Stop(60))

    assert isinstance(found, Solved)
    assert found.rounds == 2
    first, second = (list(model.proto.constraints) for model in models)
    assert len(second) == len(first) + 2  # what was learned, and what was proven
    least, _ = second[-1].linear.domain
    assert least == 10_000_000 * found.cost_cents + found.mass_g  # the width of mass in a tie
