"""Sheets of what if: the two builds of a trial side by side, and the curve of a sweep."""

from collections.abc import Iterator
from decimal import Decimal

from rich.console import RenderableType
from rich.table import Table

from optimiser.pipeline import Answer, Inputs
from optimiser.pipeline.sweeping import Sweep, Swept
from optimiser.pipeline.trying import Trial
from optimiser.printing.wording import CONFIRMED, amount, caution_lines, kg, money, status, table
from optimiser.requirements import REGISTER
from optimiser.solve import Impossible, Undecided

_BAR = 20  # characters of the longest bar
REFUSED = "What was found did not pass the audit: it is not shown."
GIVES_UP = "NOT TO BE BUILT: the changed build gives up what was dropped. It is for comparison only."
MOVED_RULES = (
    "NOT TO BE BUILT: a figure of the rule set or a maker was moved, which changes no part and no rule. "
    "For comparison only."
)
FOR_NOW = "What was set holds for this run only: put it into case or catalogue and run build before anything is built."


def trial_sheet(inputs: Inputs, trial: Trial) -> list[RenderableType]:
    """All of it, or why there is none of it."""
    head = [f"{inputs.case.brief.title} ({inputs.case.name})", *_changed(trial)]
    before, after = trial.before, trial.after
    head += [f"As asked: {came_to_words(inputs, before)}", f"Changed:  {came_to_words(inputs, after)}"]
    if trial.status == "breach":
        return [*head, REFUSED]
    head += [f"Change:   {trial.line}"] * bool(trial.line)
    rows = [_beside(trial)] if trial.rows else []
    return [*head, *rows, *_given_up(trial), *_checked(trial), *_caution(trial), *caution_lines(inputs.case.rules)]


def sweep_sheet(inputs: Inputs, found: Sweep) -> list[RenderableType]:
    """The curve, then what changes along it."""
    unit = f" {found.unit}" if found.unit else ""
    return [
        f"{inputs.case.brief.title} ({inputs.case.name})",
        f"Want:   {found.want}",
        f"Sweep:  {found.address}, {found.before}{unit} in the case",
        f"Status: {sweep_words(found)}",
        *([REFUSED] if found.state == "breach" else []),
        *([_curve(inputs, found)] if found.rows else []),
        *_steps(found),
        *_swept_caution(found),
        *caution_lines(inputs.case.rules),
    ]


def sweep_words(found: Sweep) -> str:
    """What may be said of it."""
    statuses = [row.answer.status for row in found.rows]
    counts = ", ".join(f"{statuses.count(status)} {status}" for status in dict.fromkeys(statuses))
    words = {
        "whole": f"whole sweep of {found.asked} values",
        "part": f"part of the sweep, {len(statuses)} of {found.asked} values",
        "breach": "breach",
    }
    return f"{words[found.state]}{': ' * bool(counts)}{counts}"


def swept_line(inputs: Inputs, found: Swept) -> str:
    """A value as it is solved."""
    return ", ".join(part for part in (status(found.answer), *_worth(inputs, found.answer)) if part)


# --- a trial -----------------------------------------------------------------------------------------


def _changed(trial: Trial) -> Iterator[str]:
    yield f"Want:     {trial.before.want}"
    for move in trial.moves:
        yield f"Set:      {move.address}: {move.before} -> {move.after}"
        yield from (f"          with it {address}: {before} -> {after}" for address, before, after in move.also)
    for drop in trial.drops:
        yield f"Drop:     {drop} ({REGISTER[drop.partition('[')[0]].source})"


def came_to_words(inputs: Inputs, answer: Answer) -> str:
    """Status and what the build costs and weighs, or why there is none."""
    if answer.status == "breach":
        return "breach"
    if answer.build is not None:
        return f"{status(answer)}: {', '.join(_worth(inputs, answer))}{_bound(inputs, answer)}"
    if isinstance(answer.outcome, Undecided):
        return f"don't know: no build found, and no proof that there is none; {answer.outcome.why}"
    confirmed = answer.outcome.confirmed if isinstance(answer.outcome, Impossible) else None
    return f"impossible: no build of this catalogue meets every requirement; proven, {CONFIRMED[confirmed]}"


def _bound(inputs: Inputs, answer: Answer) -> str:
    if not isinstance(answer.outcome, Undecided):
        return ""
    return f"; none can be below {amount(answer.bound, answer.want, inputs.case.brief.currency)}; {answer.outcome.why}"


def _worth(inputs: Inputs, answer: Answer) -> tuple[str, str]:
    """Cost and mass, empty where there is no build to show."""
    claim = answer.build.claim if answer.build and answer.status != "breach" else None
    if claim is None or claim.cost_cents is None or claim.mass_g is None:
        return "", ""
    return money(claim.cost_cents, inputs.case.brief.currency), kg(claim.mass_g)


def _beside(trial: Trial) -> Table:
    made = table("Side by side", "what", "as asked", "changed", "")
    for row in trial.rows:
        made.add_row(row.what, row.before, row.after, "*" if row.differs else "")
    return made


def _given_up(trial: Trial) -> Iterator[str]:
    for finding in trial.given_up:
        yield f"Given up: {finding.requirement}: {finding.sentence}"
    for drop in trial.held_anyway:
        yield f"Dropped:  {drop} is met all the same"


def _checked(trial: Trial) -> Iterator[str]:
    found = {"as asked": trial.before.findings, "changed": (*trial.after.findings, *trial.given_up)}
    counts = [f"{len(findings)} {name}" for name, findings in found.items() if findings]
    if counts:
        but = f" but the {len(trial.given_up)} given up" if trial.given_up else ""
        yield f"\nFindings checked by the audit: {', '.join(counts)}; all are met{but}."


def _caution(trial: Trial) -> Iterator[str]:
    if trial.after.build is None:
        return
    if trial.given_up:
        yield GIVES_UP
    elif trial.only_to_compare:
        yield MOVED_RULES
    elif trial.moves:
        yield FOR_NOW


# --- a sweep -----------------------------------------------------------------------------------------


def _curve(inputs: Inputs, found: Sweep) -> Table:
    """A row a value; the bar tells how far the wanted measure is from its least to its most."""
    unit = f" {found.unit}" if found.unit else ""
    made = table(
        f"Sweep of {found.address}", f">value{unit}", "status", ">cost", ">mass",
        "cost" if found.want == "cheapest" else "mass", "",
    )  # fmt: skip
    figures = [row.answer.best for row in found.rows if row.answer.status != "breach" and row.answer.best is not None]
    for row in found.rows:
        notes = ", ".join(["changes"] * row.changes + ["as in the case"] * row.as_asked)
        made.add_row(_value(row.value), status(row.answer), *_worth(inputs, row.answer), _bar(row, figures), notes)
    return made


def _bar(row: Swept, figures: list[int]) -> str:
    best = row.answer.best
    if best is None or row.answer.status == "breach":
        return ""
    least, most = min(figures), max(figures)
    return "#" * (1 + round((_BAR - 1) * (best - least) / (most - least)) if most > least else 1)


def _steps(found: Sweep) -> Iterator[str]:
    unit = f" {found.unit}" if found.unit else ""
    told = [(row.since, row.value, row.line) for row in found.rows if row.since is not None and row.changes]
    if told:
        yield "\nWhat changes:"
    elif sum(row.answer.build is not None for row in found.rows) > 1:
        yield "\nThe build is the same throughout."
    for since, value, line in told:
        yield f"  {_value(since)} to {_value(value)}{unit}: {line}"


def _swept_caution(found: Sweep) -> Iterator[str]:
    holding = [row for row in found.rows if row.answer.build is not None]
    if found.state != "breach" and holding:
        count = sum(len(row.answer.findings) for row in holding)
        yield f"\n{count} requirements checked by the audit over all values; all are met."
        yield MOVED_RULES if found.only_to_compare else FOR_NOW


def _value(value: Decimal) -> str:
    return f"{value.normalize():f}"
