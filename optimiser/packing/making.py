"""From an audited build to a dossier: the front, what decides its options, then all that is made of the build."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from optimiser import pipeline
from optimiser.basis.money import Worth
from optimiser.builds import Build
from optimiser.commissioning import Report
from optimiser.packing.deciding import Decided, what_decides
from optimiser.packing.dossier import Dossier, dossier
from optimiser.packing.options import options, proven_as
from optimiser.pipeline import Choice, Comparison, Inputs
from optimiser.solve import Stop, Watch


@dataclass(frozen=True)
class Wanted:
    """What a pack is to hold beside the build. ``points`` None: the whole front."""

    front: bool
    points: int | None
    explain: bool


def make(
    inputs: Inputs,
    build: Build,
    wanted: Wanted,
    stop: Stop,
    watch: Watch,
    tell: Callable[[Choice], None],
    begin: Callable[[str], None],
    turn: Callable[[str], None],
    report: Report | None = None,
) -> tuple[Dossier, Comparison | None]:
    """The dossier of a build that the audit has passed, and the comparison its options are of.

    Ctrl-C ends the front with the points found so far. ``tell`` hears of each option, ``begin`` and
    ``turn`` of what is asked about them.
    """
    found: Comparison | None = None
    decided: dict[Worth, Decided] = {}
    if wanted.front:
        found = pipeline.compare(inputs, ("cost", "mass"), wanted.points, stop, watch, tell)
        if wanted.explain and found.choices:
            decided = what_decides(inputs, found, stop, watch, begin, turn)
    beside = options(inputs, build, found, decided)
    return dossier(inputs, beside, report, proven=proven_as(beside, found)), found
