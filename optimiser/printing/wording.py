"""Figures in words, tables of one look, and the cautions that go with every sheet."""

from collections import Counter
from math import ceil

from rich import box
from rich.console import JustifyMethod
from rich.table import Table

from optimiser.case import RuleSet
from optimiser.cautions import CAUTIONS
from optimiser.pipeline import Answer
from optimiser.solve import Confirmed, Want
from optimiser.units import CENTS, GRAMS

_TENTHS_OF_A_PERCENT = 1000


def money(cents: int, currency: str) -> str:
    """An amount."""
    return f"{cents / CENTS:.2f} {currency}"


def kg(grams: int) -> str:
    """A mass."""
    return f"{grams / GRAMS:.3f} kg"


def amount(value: int | None, want: Want, currency: str) -> str:
    """A value of the wanted objective, in its unit."""
    if value is None:
        return "none yet"
    return money(value, currency) if want == "cheapest" else kg(value)


def percent(share: float) -> str:
    """A gap, rounded up: no gap may look closed that is not."""
    return f"{ceil(share * _TENTHS_OF_A_PERCENT - 1e-9) / 10:.1f} %"


def status(answer: Answer) -> str:
    """What may be said of a build, in a word where it is proven."""
    if answer.status == "best found" and answer.gap is not None:
        return f"best found, gap {percent(answer.gap)}"
    return answer.status


CONFIRMED: dict[Confirmed | None, str] = {
    "by its rows": "confirmed: its requirements, added up in whole numbers, contradict each other",
    "by a second search": "confirmed by a second search",
    "not confirmed": "not confirmed by a second look, which came to no end in its time",
    None: "no second look was taken",
}
"""What else says that a case is impossible."""


def yes(value: bool) -> str:
    """``rotated`` and the like, empty where they are not."""
    return "yes" if value else ""


def table(title: str, *columns: str) -> Table:
    """A table; a column that starts with ``>`` holds figures."""
    made = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0))
    for column in columns:
        justify: JustifyMethod = "right" if column.startswith(">") else "left"
        # Fold, since a name cut short is a name unknown.
        made.add_column(column.removeprefix(">"), justify=justify, overflow="fold")
    return made


# --- the cautions, and how surely the figures of the rule set are known -------------------------------


def caution_lines(rules: RuleSet) -> list[str]:
    """The cautions, with what the rule set stands on."""
    return [*CAUTIONS, known_line(rules)]


def known_line(rules: RuleSet) -> str:
    """How many of its figures are how sure."""
    counts = ", ".join(f"{count} {state}" for state, count in states_of(rules).items())
    return f"Rule set {rules.name}: of {len(rules.figures)} figures {counts}. Only those marked read were seen."


def states_of(rules: RuleSet) -> dict[str, int]:
    """How sure figures of a rule set are, and how many are so."""
    return dict(sorted(Counter(figure.state for figure in rules.figures.values()).items()))


def rule_table(rules: RuleSet) -> Table:
    """Each figure of the rule set with its source and state."""
    made = table(f"Figures of rule set {rules.name}", "figure", ">value", "unit", "state", "source")
    for name, figure in rules.figures.items():
        made.add_row(name, f"{figure.value:g}", figure.unit, figure.state, figure.source)
    return made
