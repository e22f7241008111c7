"""What decides each option: the two ends as they are, those between with no more mass allowed than they have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from optimiser import pipeline
from optimiser.basis.money import Worth
from optimiser.explain import Deciding
from optimiser.moves import moved, set_to
from optimiser.pipeline import Comparison, Inputs
from optimiser.solve import Stop, Watch
from optimiser.units import GRAMS

_BY_PERCENT = 1.0  # that a build must be better to count, as `explain` has it
CAPPED = "Asked with no more mass allowed than this option has: mass.payload stands for that."


@dataclass(frozen=True)
class Decided:
    """What decides an option. ``capped``: its own mass was the payload allowed."""

    deciding: Deciding
    capped: bool


def what_decides(
    inputs: Inputs, found: Comparison, stop: Stop, watch: Watch, tell: Callable[[str], None]
) -> dict[Worth, Decided]:
    """Cost and mass of an option -> what decides it; those that stayed undecided are left out."""
    known: dict[Worth, Decided] = {}
    ends = pipeline.explain(inputs, ("cheapest", "lightest"), _BY_PERCENT, stop, watch, tell)
    for deciding in ends.deciding:
        known[_worth(deciding)] = Decided(deciding, capped=False)
    for choice in found.choices:
        its = Worth(choice.figures["cost"], choice.figures["mass"])
        if its not in known and choice.proven:
            payload = set_to("vehicle.payload_kg", Decimal(its.grams) / GRAMS)
            capped = replace(inputs, case=moved(inputs.case, inputs.catalogue, payload).case)
            between = pipeline.explain(capped, ("cheapest",), _BY_PERCENT, stop, watch, tell)
            known |= {_worth(deciding): Decided(deciding, capped=True) for deciding in between.deciding}
    return known


def _worth(deciding: Deciding) -> Worth:
    return Worth(deciding.best.cost_cents, deciding.best.mass_g)
