"""Objects of explanations, trials and sweeps."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.builds import Build
from optimiser.explaining import Beneath
from optimiser.pipeline import Status, SweepState
from optimiser.pipeline.explaining import Verdict
from optimiser.printing.objects_asked import AskedObject
from optimiser.printing.objects_built import Caution, DifferenceObject, FindingObject, Number, Seconds, Wanted
from optimiser.printing.objects_moved import LeastBudgetObject, MoveObject, NearestObject, StepsObject, WeighedObject
from optimiser.requirements import SetBy
from optimiser.solve import Confirmed, Want


class ReasonObject(TypedDict):
    """A requirement of a conflict."""

    requirement: Annotated[str, Field(description="its name, with a place if it has one")]
    set_by: Annotated[SetBy, Field(description="who could give it up")]
    setter: Annotated[str, Field(description="whose it is, in words")]
    asked_for: Annotated[bool, Field(description="whether it is a wish rather than a limit")]
    in_every_conflict: Annotated[bool, Field(description="whether giving up no more than this is enough (proven)")]
    enough_at: Annotated[list[str], Field(description="places of it that are enough to give up together")]
    missed_by: Annotated[FindingObject | None, Field(description="the finding of a build that meets the others")]


class MissedObject(TypedDict):
    """A requirement of a core."""

    requirement: Annotated[str, Field(description="its name, with a place if it has one")]
    missed_by: Annotated[FindingObject | None, Field(description="the finding of a build that meets the others")]


class CoreObject(TypedDict):
    """What makers and rules set that cannot all be met."""

    requirements: Annotated[list[MissedObject], Field(description="of makers and rules")]
    minimal: Annotated[bool, Field(description="whether none is proven to be too many")]


class ProvenObject(TypedDict):
    """What is proven of a set of requirements."""

    minimal: Annotated[bool, Field(description="that none of the set is too many")]
    smallest: Annotated[bool, Field(description="that no other set has fewer")]


class ConflictObject(TypedDict):
    """Requirements that cannot all be met."""

    requirements: Annotated[list[ReasonObject], Field(description="those that cannot be met together")]
    undecided: Annotated[list[str], Field(description="requirements that may be part of it")]
    proven: Annotated[ProvenObject, Field(description="what is proven of the set")]
    negotiable: Annotated[int, Field(description="how many requirements could have been named")]
    together: Annotated[list[list[str]], Field(description="sets that are enough to give up, if all of one is")]
    further: Annotated[list[list[str]], Field(description="conflicts that share nothing with this one")]
    others_beneath: Annotated[Beneath, Field(description="whether others are left when this one is mended")]
    core: Annotated[CoreObject | None, Field(description="of makers and rules, where nothing else matters")]
    tried_in_vain: Annotated[list[str], Field(description="addresses of values that feed their limits and do not help")]
    not_tried: Annotated[list[str], Field(description="those that were not tried in time")]


class CauseObject(TypedDict):
    """A value of the nearest brief, and the conflict left with all its other values moved and this one as asked."""

    address: Annotated[str, Field(description="of the value that mends it")]
    requirements: Annotated[list[ReasonObject], Field(description="those that cannot be met together then")]
    undecided: Annotated[list[str], Field(description="requirements that may be part of it")]
    proven: Annotated[ProvenObject, Field(description="what is proven of the set")]
    needed: Annotated[bool, Field(description="whether the other values alone are proven not to be enough")]
    least_proven: Annotated[bool, Field(description="whether a step less of it is proven not to be enough")]


class ChangeObject(TypedDict):
    """A least change."""

    moves: Annotated[list[StepsObject], Field(description="values to move")]
    least_proven: Annotated[bool, Field(description="whether fewer steps are proven not to be enough")]
    build: Annotated[Build, Field(description="the object of the build file, of the case so changed")]
    findings: Annotated[list[FindingObject], Field(description="on that build")]


class NearestBriefObject(WeighedObject):
    """The brief nearest to what was asked that has a build."""

    missed: Annotated[list[FindingObject], Field(description="what its build misses of the case as asked")]
    build: Annotated[Build, Field(description="the object of the build file, of the case so changed")]
    findings: Annotated[list[FindingObject], Field(description="on that build")]


class DeciderObject(TypedDict):
    """A requirement that decides a best build."""

    requirement: Annotated[str, Field(description="its name, with a place if it has one")]
    set_by: Annotated[SetBy, Field(description="who could give it up")]
    setter: Annotated[str, Field(description="whose it is, in words")]
    asked_for: Annotated[bool, Field(description="whether it is a wish rather than a limit")]
    enough_at: Annotated[list[str], Field(description="places of it that are enough to give up together")]
    better_by_at_least: Annotated[Number, Field(description="without it, in the measure wanted: a build was found")]
    better_by_at_most: Annotated[Number, Field(description="likewise, by the solver's bound")]
    finding: Annotated[FindingObject | None, Field(description="what the best build makes of it")]


class LimitObject(TypedDict):
    """A requirement that does not decide, or of which that is not known."""

    requirement: Annotated[str, Field(description="its name, with a place if it has one")]
    better_by_at_most: Annotated[float, Field(description="without it, in the measure wanted (proven)")]
    finding: Annotated[FindingObject | None, Field(description="what the best build makes of it")]


class PriceObject(MoveObject):
    """What a step of a limit changes."""

    requirement: Annotated[str, Field(description="whose limit is moved")]
    easing: Annotated[bool, Field(description="whether the step eases it")]
    status: Annotated[Literal["proven", "impossible", "undecided"], Field(description="of what the step changes")]
    cost: Annotated[Number, Field(description="difference to the best build")]
    mass: Annotated[Number, Field(description="likewise, in kg")]
    no_less_than: Annotated[
        Number, Field(description="of an undecided one: the least that the measure wanted changes by")
    ]


class DecidingObject(TypedDict):
    """What decides one best build."""

    want: Annotated[Want, Field(description="which best build")]
    cost: Annotated[float, Field(description="in the currency of the case")]
    mass: Annotated[float, Field(description="in kg")]
    margin: Annotated[float, Field(description="that a build must be better by to count")]
    requirements: Annotated[list[DeciderObject], Field(description="those that decide it")]
    together: Annotated[list[list[str]], Field(description="sets that decide only together")]
    all_together: Annotated[bool, Field(description="whether it is proven that there are no more such sets")]
    undecided: Annotated[list[str], Field(description="requirements that may decide it too")]
    limits: Annotated[
        list[LimitObject],
        Field(
            description="all others, with the most that giving each up saves; below the margin if proven not to decide"
        ),
    ]
    no_room: Annotated[list[FindingObject], Field(description="findings on limits met with nothing to spare")]
    proven: Annotated[ProvenObject, Field(description="what is proven of the set")]
    prices: Annotated[list[PriceObject], Field(description="what a step of each limit changes")]
    room: Annotated[list[FindingObject], Field(description="findings on limits that do not decide, the tightest first")]


class UndecidedObject(TypedDict):
    """A best build that was not proven in time."""

    want: Annotated[Want, Field(description="which best build")]
    why: Annotated[str, Field(description="what stopped it")]


class ExplanationObject(TypedDict):
    """``optimiser explain --json``."""

    status: Annotated[Verdict, Field(description="impossible, possible, don't know or breach")]
    confirmed: Annotated[Confirmed | None, Field(description="of an impossible case: what else says so")]
    conflict: Annotated[
        ConflictObject | None,
        Field(description="of an impossible case, null where its causes are reported one after the other"),
    ]
    causes: Annotated[
        list[CauseObject],
        Field(description="of an impossible case with several: one for each move of the nearest brief"),
    ]
    nearest_brief: Annotated[
        NearestBriefObject | None,
        Field(description="of an impossible case: the least to move of all limits together"),
    ]
    asked: Annotated[
        AskedObject | None,
        Field(description="of an impossible case: what each scenario and place asks, and what can be had"),
    ]
    least_budget: Annotated[
        LeastBudgetObject | None,
        Field(description="that works, of a case whose budget is in the way; null where that is not known"),
    ]
    nearest: Annotated[
        list[NearestObject],
        Field(description="how near to what was asked limits can stay with all else met"),
    ]
    changes: Annotated[
        list[ChangeObject],
        Field(description="least changes that make it possible"),
    ]
    deciding: Annotated[
        list[DecidingObject],
        Field(description="of a possible case, for each build wanted"),
    ]
    undecided: Annotated[list[UndecidedObject], Field(description="builds not proven in time, and why")]
    earlier: Annotated[int, Field(description="proofs of what a limit saves that an earlier run kept")]
    seconds: Seconds
    caution: Caution


class CameToObject(TypedDict):
    """What a solve of a trial or a sweep came to."""

    status: Annotated[Status, Field(description="what may be said of the build")]
    cost: Annotated[Number, Field(description="in the currency of the case")]
    mass: Annotated[Number, Field(description="in kg")]
    bound: Annotated[Number, Field(description="no valid build is below it: cost or mass, as wanted")]
    gap: Annotated[Number, Field(description="share of the best that is not proven, 0 when proven")]
    findings: Annotated[list[FindingObject], Field(description="every requirement with its limit, actual and margin")]
    seconds: Annotated[float, Field(description="it took")]


class BesideObject(TypedDict):
    """A line of two builds side by side."""

    what: Annotated[str, Field(description="the line is about")]
    before: Annotated[str, Field(description="as asked")]
    after: Annotated[str, Field(description="as changed")]
    differs: Annotated[bool, Field(description="whether they do")]


class SweptObject(CameToObject):
    """A value of a sweep."""

    value: Annotated[float, Field(description="of the address")]
    as_asked: Annotated[bool, Field(description="whether it is the case's own")]
    changes: Annotated[bool, Field(description="whether the build is another than that of ``since``")]
    since: Annotated[Number, Field(description="the last value before it with a build")]
    line: Annotated[str, Field(description="what changes since then")]
    difference: Annotated[DifferenceObject | None, Field(description="likewise, in cost and mass")]


class TrialObject(TypedDict):
    """``optimiser explain --set`` or ``--drop`` with ``--json``. It holds no build: that would be of a changed case."""

    status: Annotated[Status, Field(description="as of a build, the worse of both")]
    want: Wanted
    sets: Annotated[list[MoveObject], Field(description="values moved")]
    drops: Annotated[list[str], Field(description="requirements dropped")]
    as_asked: Annotated[CameToObject, Field(description="the case as it is")]
    changed: Annotated[CameToObject, Field(description="the case as changed")]
    given_up: Annotated[list[FindingObject], Field(description="findings on what was dropped")]
    held_anyway: Annotated[list[str], Field(description="dropped, and met all the same")]
    only_to_compare: Annotated[
        bool,
        Field(
            description="whether the changed build gives up what protects, or rests on a rule or maker's figure that "
            "was moved"
        ),
    ]
    rows: Annotated[list[BesideObject], Field(description="both builds side by side")]
    line: Annotated[str, Field(description="what changes, in a line")]
    difference: Annotated[DifferenceObject | None, Field(description="cost and mass")]
    caution: Caution


class KeptOutObject(TypedDict):
    """What cannot be met together with a part, or without it."""

    requirements: Annotated[list[ReasonObject], Field(description="of brief, survey and shop, and what they ease")]
    undecided: Annotated[list[str], Field(description="requirements that may be part of it")]
    proven: Annotated[ProvenObject, Field(description="what is proven of the set")]
    core: Annotated[CoreObject | None, Field(description="of makers and rules, where nothing else matters")]
    facts: Annotated[
        list[str], Field(description="what of the vehicle leaves no room for it, where no requirement does")
    ]


class PartObject(TypedDict):
    """``optimiser explain --with`` or ``--without`` with ``--json``. It holds no build, as of any trial."""

    status: Annotated[Status, Field(description="as of a build, the worse of both")]
    want: Wanted
    wanted: Annotated[list[str], Field(description="parts or kinds of part to have")]
    banned: Annotated[list[str], Field(description="parts or kinds of part to do without")]
    as_asked: Annotated[CameToObject, Field(description="the case as it is")]
    changed: Annotated[CameToObject, Field(description="the case with them, or without them")]
    already: Annotated[bool, Field(description="whether the build as asked is so by itself")]
    rows: Annotated[list[BesideObject], Field(description="both builds side by side")]
    line: Annotated[str, Field(description="what changes, in a line")]
    difference: Annotated[DifferenceObject | None, Field(description="cost and mass")]
    kept_out: Annotated[KeptOutObject | None, Field(description="what leaves no such build, if there is none")]
    caution: Caution


class SweepObject(TypedDict):
    """``optimiser explain --sweep`` with ``--json``."""

    status: Annotated[SweepState, Field(description="part if it was stopped")]
    want: Wanted
    address: Annotated[str, Field(description="of the value")]
    unit: Annotated[str, Field(description="of it, where its name says so")]
    before: Annotated[str, Field(description="its value in the case")]
    values: Annotated[int, Field(description="how many were asked for")]
    only_to_compare: Annotated[bool, Field(description="as of a trial")]
    rows: Annotated[
        list[SweptObject],
        Field(description="one a value"),
    ]
    caution: Caution
