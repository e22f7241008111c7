"""Rule sets: the figures that differ by country, each with its source and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class RuleFigure:
    """One figure of a rule set, with where it comes from and how sure that is."""

    value: float
    unit: str
    source: str
    state: Literal["read", "second hand", "memory", "common practice"]


@dataclass(frozen=True)
class RuleSet:
    """The figures that differ by country. They help to check; local codes and licensed practice decide."""

    name: str
    figures: dict[str, RuleFigure]

    def __getitem__(self, figure: str) -> float:
        return self.figures[figure].value
