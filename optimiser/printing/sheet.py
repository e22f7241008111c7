"""The sheet of a solve: what it came to, what is fitted where, how much room is left, and the cautions."""

from collections.abc import Iterator

from rich.console import RenderableType

from optimiser.auditing import Finding, breaches
from optimiser.builds import Build
from optimiser.case import Trailer
from optimiser.checking import oddities
from optimiser.explaining import Glance, NearestBrief
from optimiser.pipeline import Answer, Inputs, called
from optimiser.printing.briefs import budget_words, command_words, short_words
from optimiser.printing.findings import apart, least_room, overloads
from optimiser.printing.fitted import (
    PARTS_NOTE,
    ROOF_NOTE,
    RUNS_NOTE,
    array_table,
    bank_line,
    parts_table,
    roof_table,
    run_table,
    small_table,
    tightest_hours,
)
from optimiser.printing.wording import CONFIRMED, amount, caution_lines, kg, money, rule_table, status
from optimiser.solve import Impossible, Undecided

_TELLING = 2  # values of a nearest brief


def answer_sheet(inputs: Inputs, answer: Answer, glance: Glance | None = None) -> list[RenderableType]:
    """All of it, or why there is none of it."""
    head = _head(inputs, answer)
    if answer.status == "breach":
        return [*head, "What was found did not pass the audit: it is neither shown nor written."]
    if answer.build is None:
        return [*head, *_no_build(inputs, answer, glance)]
    return [*head, *_totals(inputs, answer, answer.build), *_body(inputs, answer, answer.build)]


def fault_lines(findings: tuple[Finding, ...]) -> list[str]:
    """What to say, loudly, of findings on a build that the program found; nothing if they all hold."""
    broken = breaches(findings)
    if not broken:
        return []
    return [
        "FAULT OF THE PROGRAM: the build it found does not pass the audit. Please report it with the case and this:",
        *(f"  breach: {finding.requirement}: {finding.sentence}" for finding in broken),
    ]


def _head(inputs: Inputs, answer: Answer) -> list[str]:
    return [
        f"{inputs.case.brief.title} ({inputs.case.name})",
        f"Want:   {answer.want}",
        f"Status: {status(answer)}",
    ]


def _no_build(inputs: Inputs, answer: Answer, glance: Glance | None) -> list[str]:
    outcome, seconds = answer.outcome, f"{answer.outcome.seconds:.1f} s"
    if isinstance(outcome, Impossible):
        odd = oddities(inputs.case, inputs.catalogue)
        return [
            f"No build of this catalogue meets every requirement of the case; proven in {seconds}, "
            f"{CONFIRMED[outcome.confirmed]}.",
            *(f"Warning, and perhaps why: {found.place}: {found.text}" for found in odd),
            *(_glance_words(inputs, glance) if glance else ()),
            f"`optimiser explain {called(inputs)}` says what conflicts, and the least to change.",
        ]
    assert isinstance(outcome, Undecided)  # what is solved has a build
    bound = amount(outcome.bound, answer.want, inputs.case.brief.currency)
    proven = f" None can be below {bound}." if outcome.bound else ""
    return [f"No build found in {seconds}, and no proof that there is none: {outcome.why}.{proven}"]


def _glance_words(inputs: Inputs, found: Glance) -> Iterator[str]:
    yield from _brief_words(inputs, found.brief) if found.brief else _missed_words(found)
    if found.least_budget:
        yield f"Least budget: {budget_words(found.least_budget)}."


def _brief_words(inputs: Inputs, brief: NearestBrief) -> Iterator[str]:
    """The most telling of what gives way, and the command that tries all of it."""
    told, count = brief.heaviest[:_TELLING], len(brief.eased)
    what = "this value" if count == 1 else "these values" if count == len(told) else f"{count} values"
    least = "nothing the solver can weigh is nearer, proven" if brief.least else "less may be enough"
    more = "" if count == len(told) else f"; what weighs most of {count}"
    yield f"With {what} moved there is a build (found and audited; {least}){more}:"
    yield from (f"  {short_words(eased)}" for eased in told)
    yield f"`{command_words(inputs, brief)}` tries it."


def _missed_words(found: Glance) -> Iterator[str]:
    if len(found.missed) == 1:
        yield "There is one that misses nothing else than this (found and audited; another may come nearer):"
    elif found.missed:
        less = "less than all of it is not enough, proven" if found.minimal else "less may be enough"
        yield f"There is one that misses nothing else than these (found and audited; {less}):"
    yield from (f"  {finding.requirement}: {finding.sentence}" for finding in found.missed)
    if found.missed:
        return
    if alone := [names[0] for names in found.in_vain if len(names) == 1]:
        yield f"Nor would there be one with one of these given up (proven): {', '.join(alone)}."
    for names in found.in_vain:
        if len(names) > 1:
            yield f"Nor would there be one with all of these given up together (proven): {', '.join(names)}."
    yield "What is in the way is not known yet."


def _totals(inputs: Inputs, answer: Answer, build: Build) -> Iterator[str]:
    currency, claim = inputs.case.brief.currency, build.claim
    assert claim.cost_cents is not None and claim.mass_g is not None  # every solved build carries them
    yield f"Cost:   {money(claim.cost_cents, currency)}"
    yield f"Mass:   {kg(claim.mass_g)}"
    if isinstance(answer.outcome, Undecided):
        yield f"Bound:  none can be below {amount(answer.bound, answer.want, currency)}; {answer.outcome.why}"
    yield from _axles(inputs, answer.findings)
    yield f"Search: {answer.outcome.seconds:.1f} s, seed {claim.seed}, {claim.workers} workers"


def _axles(inputs: Inputs, findings: tuple[Finding, ...]) -> Iterator[str]:
    """What the fit-out does to hitch and axles."""
    found, vehicle = {finding.requirement: finding for finding in findings}, inputs.case.brief.vehicle
    if isinstance(vehicle, Trailer):
        low, high = found["mass.hitch_low"], found["mass.hitch_high"]
        yield f"Hitch:  {_change(high.actual, vehicle.base_hitch_kg)}; {low.limit:g} to {high.limit:g} kg allowed"
    for axle in vehicle.axles:
        finding = found[f"mass.axle[{axle.name}]"]
        yield f"{axle.name.capitalize() + ':':7} {_change(finding.actual, axle.base_kg)}; {finding.limit:g} kg allowed"


def _change(after: float, before: float) -> str:
    return f"{after - before:+.1f} kg, to {after:.1f} kg"


def _body(inputs: Inputs, answer: Answer, build: Build) -> Iterator[RenderableType]:
    if build.panels:
        yield roof_table(build)
        yield ROOF_NOTE
    if build.arrays:
        yield array_table(build, answer.findings)
    else:
        yield "\nNo panels."
    yield bank_line(inputs, build)
    yield parts_table(build)
    yield PARTS_NOTE
    yield run_table(inputs, build)
    yield RUNS_NOTE
    yield small_table(inputs, build)
    yield tightest_hours(inputs, build)
    yield least_room(answer.findings)
    yield from apart(inputs.case)
    yield from overloads(inputs.case, answer.findings)
    yield f"{len(answer.findings)} requirements checked by the audit; all are met."
    yield rule_table(inputs.case.rules)
    yield from caution_lines(inputs.case.rules)
