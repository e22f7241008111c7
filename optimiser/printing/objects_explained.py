"""Objects of explanations, trials and sweeps."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.builds import Build
from optimiser.explaining import Beneath
from optimiser.pipeline import Status, SweepState
from optimiser.pipeline.explaining import Verdict
from optimiser.printing.objects_built import Caution, DifferenceObject, FindingObject, Number, Seconds, Wanted
from optimiser.requirements import SetBy
from optimiser.solve import Want


class ReasonObject(TypedDict):
    """A requirement of a conflict."""

    requirement: str
    set_by: SetBy
    setter: str
    asked_for: bool
    in_every_conflict: bool
    enough_at: list[str]
    missed_by: FindingObject | None


class MissedObject(TypedDict):
    """A requirement of a core."""

    requirement: str
    missed_by: FindingObject | None


class CoreObject(TypedDict):
    """What makers and rules set that cannot hold together."""

    requirements: list[MissedObject]
    minimal: bool


class ProvenObject(TypedDict):
    """What is proven of a set of requirements."""

    minimal: bool
    smallest: bool


class ConflictObject(TypedDict):
    """Requirements that cannot hold together."""

    requirements: list[ReasonObject]
    undecided: list[str]
    proven: ProvenObject
    negotiable: int
    together: list[list[str]]
    further: list[list[str]]
    others_beneath: Beneath
    core: CoreObject | None
    tried_in_vain: list[str]
    not_tried: list[str]


class NearestObject(TypedDict):
    """How near to what was asked a limit can stay."""

    requirement: str
    address: str
    works: Number
    bound: float
    proven: bool


class AlsoObject(TypedDict):
    """A value that followed another."""

    address: str
    before: str
    after: str


class MoveObject(AlsoObject):
    """A value moved, and what followed."""

    also: list[AlsoObject]


class StepsObject(MoveObject):
    """A value moved by so many steps."""

    steps: int


class ChangeObject(TypedDict):
    """A least change."""

    moves: list[StepsObject]
    least_proven: bool
    build: Build
    findings: list[FindingObject]


class DeciderObject(TypedDict):
    """A requirement that decides a best build."""

    requirement: str
    set_by: SetBy
    setter: str
    asked_for: bool
    alone: bool
    enough_at: list[str]
    better_by_at_least: Number
    better_by_at_most: Number
    finding: FindingObject | None


class PriceObject(MoveObject):
    """What a step of a limit changes."""

    requirement: str
    easing: bool
    status: Literal["proven", "impossible", "undecided"]
    cost: Number
    mass: Number


class DecidingObject(TypedDict):
    """What decides one best build."""

    want: Want
    cost: float
    mass: float
    margin: float
    requirements: list[DeciderObject]
    together: list[list[str]]
    undecided: list[str]
    proven: ProvenObject
    prices: list[PriceObject]
    room: list[FindingObject]


class UndecidedObject(TypedDict):
    """A best build that was not proven in time."""

    want: Want
    why: str


class ExplanationObject(TypedDict):
    """``optimiser explain --json``."""

    status: Annotated[Verdict, Field(description="impossible, possible, don't know or breach")]
    conflict: Annotated[
        ConflictObject | None,
        Field(
            description="of an impossible case: requirements (each with requirement, set_by, in_every_conflict, "
            "enough_at those of its places that are enough to give up together, missed_by the finding of a build that "
            "holds the others), undecided requirements that may be part of it, proven (minimal, smallest), "
            "negotiable, how many could have been named, sets that are enough to give up only together, further "
            "conflicts and others_beneath (none, some, unknown), the core of makers and rules where nothing else "
            "matters, tried_in_vain and not_tried, values that feed their limits"
        ),
    ]
    nearest: Annotated[
        list[NearestObject],
        Field(
            description="how near to what was asked some limits can stay with all else met, solved for, and by whom "
            "each is set"
        ),
    ]
    changes: Annotated[
        list[ChangeObject],
        Field(
            description="least changes: moves (address, before, after, steps, and also what followed), least_proven, "
            "build and findings"
        ),
    ]
    deciding: Annotated[
        list[DecidingObject],
        Field(
            description="of a possible case, for each build wanted: want, cost, mass, margin that counts as better, "
            "requirements (each with set_by, alone, enough_at, better_by_at_least, better_by_at_most, finding), sets "
            "that decide only together, undecided, proven, prices (requirement, the move, easing, status, cost, mass) "
            "and room, findings"
        ),
    ]
    undecided: Annotated[list[UndecidedObject], Field(description="builds not proven in time, and why")]
    seconds: Seconds
    caution: Caution


class CameToObject(TypedDict):
    """What a solve of a trial or a sweep came to."""

    status: Status
    cost: Number
    mass: Number
    bound: Number
    gap: Number
    findings: list[FindingObject]
    seconds: float


class BesideObject(TypedDict):
    """A line of two builds side by side."""

    what: str
    before: str
    after: str
    differs: bool


class SweptObject(CameToObject):
    """A value of a sweep."""

    value: float
    as_asked: bool
    changes: bool
    since: Number
    line: str
    difference: DifferenceObject | None


class TrialObject(TypedDict):
    """``optimiser explain --set`` or ``--drop`` with ``--json``. It holds no build: that would be of a changed case."""

    status: Annotated[Status, Field(description="as of a build, the worse of both")]
    want: Wanted
    sets: Annotated[list[MoveObject], Field(description="values moved: address, before, after, and also what followed")]
    drops: Annotated[list[str], Field(description="requirements dropped")]
    as_asked: Annotated[CameToObject, Field(description="status, cost, mass, bound, gap and seconds")]
    changed: Annotated[CameToObject, Field(description="likewise")]
    given_up: Annotated[list[FindingObject], Field(description="findings on what was dropped")]
    held_anyway: Annotated[list[str], Field(description="dropped, and met all the same")]
    only_to_compare: Annotated[
        bool,
        Field(
            description="whether the changed build gives up what protects, or rests on a rule or maker's figure that "
            "was moved"
        ),
    ]
    rows: Annotated[list[BesideObject], Field(description="both builds side by side: what, before, after, differs")]
    line: Annotated[str, Field(description="what changes, in a line")]
    difference: Annotated[DifferenceObject | None, Field(description="cost and mass")]
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
        Field(
            description="one a value: value, as_asked whether it is the case's own, status, cost, mass, bound, gap, "
            "seconds, whether the build changes, since which value, line and difference"
        ),
    ]
    caution: Caution
