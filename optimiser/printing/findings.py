"""The audit's findings: all of them for the audit command, the tightest for a build's sheet."""

from collections.abc import Iterable, Iterator
from math import isfinite

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import Finding, breaches
from optimiser.auditing.room import share_pct, tightest
from optimiser.basis.loads import too_much_together
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.differences.change import plain
from optimiser.fitted import cost_and_mass
from optimiser.pipeline import Inputs
from optimiser.printing.wording import caution_lines, kg, money, table
from optimiser.requirements import REGISTER

TIGHTEST = 8  # shown


def audit_sheet(inputs: Inputs, build: Build, findings: tuple[Finding, ...]) -> list[RenderableType]:
    """All findings, then a sentence for each breach."""
    brief, broken = inputs.case.brief, breaches(findings)
    total = cost_and_mass(inputs.case, inputs.catalogue, build)
    verdict = f"{len(findings)} findings, {len(broken) or 'no'} breach{'es' * (len(broken) != 1)}"
    return [
        f"{brief.title} ({inputs.case.name}): {money(total.cents, brief.currency)}, {kg(total.grams)}",
        _all(findings),
        f"{verdict}{':' if broken else '.'}",
        *(f"  breach: {finding.requirement}: {finding.sentence}" for finding in broken),
        "",
        *caution_lines(inputs.case.rules),
    ]


def _all(findings: Iterable[Finding]) -> Table:
    made = table("Requirements", "requirement", "unit", ">limit", ">actual", ">margin", "")
    for finding in findings:
        verdict = "pass" if finding.ok else "BREACH"
        made.add_row(finding.requirement, finding.unit, *figures(finding), verdict)
    return made


def least_room(findings: Iterable[Finding]) -> Table:
    """The requirements that come nearest to their limits, as a share of the limit, each at its tightest place."""
    made = table("Least room", "requirement", "unit", ">limit", ">actual", ">margin", ">of limit")
    for finding in tightest(findings)[:TIGHTEST]:
        made.add_row(finding.requirement, finding.unit, *figures(finding), f"{share_pct(finding):.1f} %")
    return made


def overloads(case: Case, findings: Iterable[Finding]) -> Iterator[str]:
    """Which loads would switch the inverter off together, though the brief has them on one after the other."""
    power = next((finding for finding in findings if finding.requirement == "inverter.power"), None)
    pairs = [
        f"{plain(one.name)} with {plain(other.name)} ({one.watt_w + other.watt_w:g} W)"
        for one, other in (too_much_together(case, power.actual) if power else ())
    ]
    if power and pairs:
        words = f"The inverter gives {power.numbers[1]} W on a hot day: not {', nor '.join(pairs)} at the same time"
        yield f"{words}, or it switches off."


def apart(case: Case) -> Iterator[str]:
    """Groups of loads of which only so many run at a time, and what holds them to that."""
    for group in case.brief.together:
        names = ", ".join(map(plain, group.loads))
        held = "an interlock holds" if group.by == "interlock" else "no more than an agreement holds"
        yield f"Of {names} only {group.at_most} at a time: {held} them to it."


def figures(finding: Finding) -> tuple[str, str, str]:
    """Limit, actual and margin as shown; no margin to what is met or not."""
    if REGISTER[finding.name].yes_no:
        return (*finding.numbers, "")
    margin = f"{finding.margin:.3f}".rstrip("0").rstrip(".") if isfinite(finding.margin) else "unlimited"
    return (*finding.numbers, margin)
