"""The sheet of a comparison: the front as a table, and what changes from each build to the next."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import breaches
from optimiser.differences import shared_and_own
from optimiser.measures import MEASURES, Measure
from optimiser.pipeline import Choice, Comparison, Inputs
from optimiser.printing.wording import CONFIRMED, caution_lines, table

_BAR = 24  # characters of the longest bar


def comparison_sheet(inputs: Inputs, found: Comparison) -> list[RenderableType]:
    """All of it, or why there is none of it."""
    head = [f"{inputs.case.brief.title} ({inputs.case.name})", f"Status: {state_words(found)}"]
    if found.state == "breach":
        return [*head, "What was found did not pass the audit: it is neither shown nor kept."]
    if not found.choices:
        why = f": {found.why}" if found.why else ""
        nothing = (
            f"No build of this catalogue meets every requirement of the case; proven, {CONFIRMED[found.confirmed]}."
        )
        return [*head, nothing if found.state == "impossible" else f"No build found, and no proof of none{why}."]
    return [*head, _front(inputs, found), *_main_parts(found), *_steps(found), *_tail(inputs, found)]


def state_words(found: Comparison) -> str:
    """What may be said of it."""
    count = f"{len(found.choices)} point{'s' * (len(found.choices) != 1)}"
    between = " and ".join(MEASURES[name].words for name in found.measures)
    if found.state == "front to a tolerance":
        return f"proven: {_to_a_tolerance(found)}"
    unproven = sum(not choice.proven for choice in found.choices)
    proven = f"{unproven} of them best found, not proven" if unproven else "each proven"
    words = {
        "whole front": f"proven: the whole front of {between}, {count}",
        "points of the front": f"proven: {count} of the front of {between}, both ends among them",
        "part of the front": f"part of the front of {between}: {count}, {proven}; {found.why}",
    }
    return words.get(found.state, found.state)


def _to_a_tolerance(found: Comparison) -> str:
    """What the choices are proven to stand for."""
    assert found.apart
    within = " and ".join(
        f"{percent:g} % {'worse ' * (not k)}in {MEASURES[name].words}"
        for k, (name, percent) in enumerate(zip(found.measures, found.apart, strict=True))
    )
    if len(found.choices) == 1:
        return f"1 option; beside whatever else can be built, it is at most {within}"
    return f"{len(found.choices)} options; beside whatever else can be built, one of them is at most {within}"


def choice_line(inputs: Inputs, choice: Choice, measures: tuple[Measure, Measure]) -> str:
    """A point as it is found."""
    figures = ", ".join(_figure(inputs, choice, name) for name in _columns(measures))
    return f"{figures}{'' if choice.proven else ' (best found)'}{' (of an earlier run)' if choice.kept else ''}"


def _columns(measures: tuple[Measure, Measure]) -> tuple[Measure, ...]:
    """Cost and mass always, then what else was asked for."""
    return tuple(dict.fromkeys(("cost", "mass", *measures)))


def _figure(inputs: Inputs, choice: Choice, name: Measure) -> str:
    return MEASURES[name].shown(choice.figures[name], inputs.case.brief.currency)


def _front(inputs: Inputs, found: Comparison) -> Table:
    """A row a point; the bar tells how far the second measure has come from its worst to its best."""
    first, second = found.measures
    columns = _columns(found.measures)
    made = table(
        f"Front of {MEASURES[first].words} and {MEASURES[second].words}",
        ">no.", *(f">{MEASURES[name].words}" for name in columns), f"{MEASURES[second].words} gained", "",
    )  # fmt: skip
    worst, best = (found.choices[k].figures[second] for k in (0, -1))
    for number, choice in enumerate(found.choices, start=1):
        share = (choice.figures[second] - worst) / (best - worst) if best != worst else 1.0
        bar = "#" * round(share * _BAR)
        figures = [_figure(inputs, choice, name) for name in columns]
        made.add_row(str(number), *figures, bar, "" if choice.proven else "best found")
    return made


def _main_parts(found: Comparison) -> Iterator[str]:
    shared, own = shared_and_own([choice.build for choice in found.choices])
    if len(own) == 1:
        yield f"\nMain parts: {', '.join(shared)}"
        return
    yield f"\nMain parts, in all of them: {', '.join(shared) or 'none'}; besides:"
    for number, parts in enumerate(own, start=1):
        yield f"{number:3}: {', '.join(parts) or 'none'}"


def _steps(found: Comparison) -> Iterator[str]:
    if found.steps:
        yield "\nFrom each to the next:"
    for number, step in enumerate(found.steps, start=1):
        yield f"{number:3} to {number + 1}: {step.line}"


def _tail(inputs: Inputs, found: Comparison) -> Iterator[RenderableType]:
    findings = sum(len(choice.findings) for choice in found.choices)
    assert not any(breaches(choice.findings) for choice in found.choices)
    yield f"\n{findings} requirements checked by the audit over all points; all are met."
    yield from caution_lines(inputs.case.rules)
