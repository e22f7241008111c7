"""The cautions, and how surely the figures of the rule set are known."""

from __future__ import annotations

from rich.table import Table

from optimiser.case import RuleSet
from optimiser.cautions import CAUTIONS
from optimiser.printing.wording import table


def caution_lines(rules: RuleSet) -> list[str]:
    """The cautions, with what the rule set stands on."""
    states = [figure.state for figure in rules.figures.values()]
    counts = ", ".join(f"{states.count(state)} {state}" for state in dict.fromkeys(sorted(states)))
    return [*CAUTIONS, f"Rule set {rules.name}: of {len(states)} figures {counts}. Only those marked read were seen."]


def rule_table(rules: RuleSet) -> Table:
    """Each figure of the rule set with its source and state."""
    made = table(f"Figures of rule set {rules.name}", "figure", ">value", "unit", "state", "source")
    for name, figure in rules.figures.items():
        made.add_row(name, f"{figure.value:g}", figure.unit, figure.state, figure.source)
    return made
