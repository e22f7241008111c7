"""What decides each option: the two ends as they are, those between with no more mass allowed than they have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from optimiser import pipeline
from optimiser.basis.money import Worth
from optimiser.explaining import Deciding
from optimiser.moves import moved, set_to
from optimiser.pipeline import Comparison, Inputs
from optimiser.solve import Stop, Want, Watch
from optimiser.units import GRAMS

BY_PERCENT = 1.0  # that a build must be better to count, as `explain` has it
CAPPED = "Asked with no more mass allowed than the option has: mass.payload stands for that."


@dataclass(frozen=True)
class Decided:
    """What decides an option. ``capped``: its own mass was the payload allowed.

    ``of``: another option that was asked about in its place, since no build counts as better that is so near.
    """

    deciding: Deciding
    capped: bool
    of: Worth | None = None


def what_decides(
    inputs: Inputs,
    found: Comparison,
    stop: Stop,
    watch: Watch,
    begin: Callable[[str], None],
    turn: Callable[[str], None],
) -> dict[Worth, Decided]:
    """Cost and mass of an option -> what decides it; those that stayed undecided are left out.

    ``begin`` hears which option is asked about, ``turn`` which question of it.
    """
    known: dict[Worth, Decided] = {}

    def ask(about: str, of: Inputs, wants: tuple[Want, ...], *, capped: bool) -> None:
        begin(about)
        why = pipeline.explain(of, wants, BY_PERCENT, stop, watch, lambda words: turn(f"{about}, {words}"))
        known.update({_worth(deciding): Decided(deciding, capped) for deciding in why.deciding})

    ask("both ends", inputs, ("cheapest", "lightest"), capped=False)
    for number, choice in enumerate(found.choices, start=1):
        its = Worth(choice.figures["cost"], choice.figures["mass"])
        near = next((of for of, decided in known.items() if decided.of is None and _near(its, of)), None)
        if its in known or not choice.proven:
            continue
        if near:
            known[its] = replace(known[near], of=near)
        else:
            payload = set_to("vehicle.payload_kg", Decimal(its.grams) / GRAMS)
            between = replace(inputs, case=moved(inputs.case, inputs.catalogue, payload).case)
            ask(f"option {number}", between, ("cheapest",), capped=True)
    return known


def _near(its: Worth, of: Worth) -> bool:
    """Whether two builds are less apart, in both measures, than a better one must be to count."""
    return all(abs(a - b) < b * BY_PERCENT / 100 for a, b in zip(its, of, strict=True))


def _worth(deciding: Deciding) -> Worth:
    return Worth(deciding.best.cost_cents, deciding.best.mass_g)
