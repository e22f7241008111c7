"""Why the charge that a scenario starts with leaves no build."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.case import Case
from optimiser.checking.odd_values import leaves_little, too_high_words, too_low_words
from optimiser.explaining import Why

_RETURNS = "energy.returns"


def start_words(case: Case, why: Why) -> Iterator[str]:
    """Of each scenario whose start moved by itself is enough, and of those whose start the conflict likely turns on."""
    moves = [move for change in why.changes for move in change.moves]
    named = {place for reason in why.reasons for place in (reason.name, *reason.places)}
    for scenario in case.scenarios:
        address = f"scenario.{scenario.name}.start_pct"
        to = [float(move.after) for move in moves if move.address == address]
        if any(after > scenario.start_pct for after in to):
            yield f"  {scenario.name} {too_low_words(case, scenario)}"
        elif to or (leaves_little(scenario) and named & {_RETURNS, f"{_RETURNS}[{scenario.name}]"}):
            yield f"  {scenario.name} {too_high_words(scenario)}"
