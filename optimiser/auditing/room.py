"""What room findings leave, as a share of their limits."""

from collections.abc import Iterable
from math import isfinite

from optimiser.auditing.finding import Finding
from optimiser.requirements import REGISTER


def tightest(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Each requirement that has a share of its limit left, or lacks one, at its tightest place; tightest first."""
    found: dict[str, Finding] = {}
    for finding in sorted((f for f in findings if not no_share(f)), key=share_pct):
        found.setdefault(finding.name, finding)
    return tuple(found.values())


def share_pct(finding: Finding) -> float:
    """The margin as a share of the limit [%]; the limit must not be 0."""
    return 100 * finding.margin / abs(finding.limit)


def no_share(finding: Finding) -> str:
    """Why a margin is no share of something that can be moved; empty if it is one."""
    if REGISTER[finding.name].step is None:
        return "definitions or things that are there or not"
    if finding.limit == 0:
        return "with a limit of 0"
    return "" if isfinite(finding.limit) and isfinite(finding.actual) else "without end"
