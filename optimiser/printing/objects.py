"""The JSON that commands print, key by key: its types are what the code is checked against and its schemas are made of.

Money is in the currency of the case, masses are in kg. What there is none of is null.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.pipeline import Status
from optimiser.pipeline.comparing import State
from optimiser.pipeline.explaining import Verdict
from optimiser.solve import Want

Number = float | None
BuildObject = Annotated[dict[str, Any] | None, Field(description="the object of the build file")]
Caution = Annotated[str, Field(description="the cautions that go with every result")]
Wanted = Annotated[Want, Field(description="which best build")]
Cost = Annotated[Number, Field(description="in the currency of the case")]
Mass = Annotated[Number, Field(description="in kg")]
Seconds = Annotated[float, Field(description="it took")]


Objects = list[dict[str, Any]]


class FindingObject(TypedDict):
    """One requirement held against one build."""

    requirement: Annotated[str, Field(description="its name, with the place: bay.heat[left_seat]")]
    limit: Annotated[Number, Field(description="null where it has no end")]
    actual: Annotated[Number, Field(description="likewise")]
    unit: str
    margin: Annotated[Number, Field(description="room left, below 0 where it does not hold; null where it has no end")]
    ok: bool
    sentence: str


Findings = Annotated[list[FindingObject], Field(description="every requirement with its limit, actual and margin")]
Breaches = Annotated[list[FindingObject], Field(description="findings that do not hold, if the build was refused")]


class AnswerObject(TypedDict):
    """``optimiser build --json``, for exit codes 0, 1, 3 and 4."""

    status: Annotated[Status, Field(description="what may be said of the build")]
    want: Wanted
    cost: Cost
    mass: Mass
    bound: Annotated[Number, Field(description="no valid build is below it: cost or mass, as wanted")]
    gap: Annotated[Number, Field(description="share of the best that is not proven, 0 when proven")]
    build: BuildObject
    findings: Findings
    seconds: Seconds
    caution: Caution


class AuditObject(TypedDict):
    """``optimiser audit --json``."""

    status: Literal["pass", "breach"]
    cost: Annotated[Number, Field(description="as the audit calculates it, whatever the build claims")]
    mass: Annotated[Number, Field(description="likewise")]
    findings: Findings
    caution: Caution


class PackObject(TypedDict):
    """``optimiser pack --json``; a build with a breach is told on stderr."""

    status: Annotated[str, Field(description="as of a comparison, or: this build alone")]
    why: Annotated[str | None, Field(description="what stopped the search for options, if anything did")]
    folder: Annotated[str, Field(description="where the pack is")]
    files: Annotated[list[str], Field(description="its files, by name")]
    options: Annotated[int, Field(description="how many builds it compares")]
    readings: Annotated[str | None, Field(description="in band or out of band, if there were any")]
    inputs: Annotated[str, Field(description="hash of case and catalogue, its first 12 places")]
    build: Annotated[str, Field(description="likewise of the build")]
    caution: Caution


class ComparisonObject(TypedDict):
    """``optimiser compare --json``."""

    status: Annotated[State, Field(description="as above, or breach")]
    measures: Annotated[list[str], Field(description="the two")]
    why: Annotated[str, Field(description="what stopped it, if anything did")]
    points: Annotated[
        Objects,
        Field(
            description="a list, from the best in the first measure: cost, mass and the measures asked for (days, kg, "
            ""
            "kWh), proven, build and findings as above"
        ),
    ]
    steps: Annotated[
        Objects,
        Field(description="a list, from each point to the next: line, what changes; cost and mass, the difference"),
    ]
    caution: Caution


class ExplanationObject(TypedDict):
    """``optimiser explain --json``."""

    status: Annotated[Verdict, Field(description="impossible, possible, don't know or breach")]
    conflict: Annotated[
        dict[str, Any] | None,
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
        Objects,
        Field(
            description="how near to what was asked some limits can stay with all else held, solved for, and by whom "
            "each is set"
        ),
    ]
    changes: Annotated[
        Objects,
        Field(
            description="least changes: moves (address, before, after, steps, and also what followed), least_proven, "
            "build and findings"
        ),
    ]
    deciding: Annotated[
        Objects,
        Field(
            description="of a possible case, for each build wanted: want, cost, mass, margin that counts as better, "
            "requirements (each with set_by, alone, enough_at, better_by_at_least, better_by_at_most, finding), sets "
            "that decide only together, undecided, proven, prices (requirement, the move, easing, status, cost, mass) "
            "and room, findings"
        ),
    ]
    undecided: Annotated[list[dict[str, str]], Field(description="builds not proven in time, and why")]
    seconds: Seconds
    caution: Caution


class TrialObject(TypedDict):
    """``optimiser explain --set`` or ``--drop`` with ``--json``. It holds no build: that would be of a changed case."""

    status: Annotated[Status, Field(description="as of a build, the worse of both")]
    want: Wanted
    sets: Annotated[Objects, Field(description="values moved: address, before, after, and also what followed")]
    drops: Annotated[list[str], Field(description="requirements dropped")]
    as_asked: Annotated[dict[str, Any], Field(description="status, cost, mass, bound, gap and seconds")]
    changed: Annotated[dict[str, Any], Field(description="likewise")]
    given_up: Annotated[list[FindingObject], Field(description="findings on what was dropped")]
    held_anyway: Annotated[list[str], Field(description="dropped, and held all the same")]
    only_to_compare: Annotated[
        bool,
        Field(
            description="whether the changed build gives up what protects, or rests on a rule or maker's figure that "
            "was moved"
        ),
    ]
    rows: Annotated[Objects, Field(description="both builds side by side: what, before, after, differs")]
    line: Annotated[str, Field(description="what changes, in a line")]
    difference: Annotated[dict[str, float] | None, Field(description="cost and mass")]
    caution: Caution


class SweepObject(TypedDict):
    """``optimiser explain --sweep`` with ``--json``."""

    status: Annotated[str, Field(description="whole, part (stopped) or breach")]
    want: Wanted
    address: Annotated[str, Field(description="of the value")]
    unit: Annotated[str, Field(description="of it, where its name says so")]
    before: Annotated[str, Field(description="its value in the case")]
    values: Annotated[int, Field(description="how many were asked for")]
    only_to_compare: Annotated[bool, Field(description="as of a trial")]
    rows: Annotated[
        Objects,
        Field(
            description="one a value: value, as_asked whether it is the case's own, status, cost, mass, bound, gap, "
            "seconds, whether the build changes, since which value, line and difference"
        ),
    ]
    caution: Caution


class ExpectationObject(TypedDict):
    """``optimiser expect --json``. A row has id (its channel in a log), what, value, low, high, unit, note, spreads.

    A row that ``pauses`` is of a load that may be on or off.
    """

    status: Annotated[Literal["expected", "breach"], Field(description="expected, or breach")]
    at: Annotated[str | None, Field(description="on the clock of the case")]
    sky: Annotated[str | None, Field(description="its name; null where light was metered")]
    scenario: Annotated[str | None, Field(description="the nearest in the calendar")]
    air_c: Annotated[Number, Field(description="air outside")]
    bank_v: Annotated[Number, Field(description="voltage of the bank")]
    light_w_m2: Annotated[dict[str, float], Field(description="by zone")]
    strings: Annotated[Objects, Field(description="rows: open, at work, at the regulator")]
    arrays: Annotated[Objects, Field(description="rows: where strings meet")]
    sources: Annotated[Objects, Field(description="rows: current of each into the bank")]
    loads: Annotated[Objects, Field(description="rows: current of each at the bank, own draw last")]
    measured: Annotated[
        Objects, Field(description="rows: sums that the build measures as one current, part of the rows before")
    ]
    total: Annotated[dict[str, Any] | None, Field(description="a row: the bank, as sources less loads")]
    assumed: Annotated[list[str], Field(description="what is taken for granted")]
    breaches: Annotated[list[FindingObject], Field(description="findings that do not hold, if it was refused")]
    caution: Caution


class ReadingsObject(TypedDict):
    """``optimiser commission --json``."""

    status: Annotated[
        str, Field(description="in band (all that was tested), out of band, blank (a sheet was written) or breach")
    ]
    kind: Annotated[str, Field(description="test sheet or log")]
    counts: Annotated[dict[str, int], Field(description="of readings in band, out of band, not tested")]
    readings: Annotated[
        Objects,
        Field(
            description="a list: id, what, line of the file, at, unit, measured, design, low, high, verdict and why "
            "it was not tested"
        ),
    ]
    causes: Annotated[Objects, Field(description="a list: id of the reading, text, mark")]
    checks: Annotated[
        Objects,
        Field(
            description="of a blank sheet, a list: group, id, what, how, unit, design, low, high, basis of the "
            "design, source of the band, licensed, table of the design on other days and table_of what"
        ),
    ]
    breaches: Annotated[list[FindingObject], Field(description="findings that do not hold, if the build was refused")]
    caution: Caution


class CheckObject(TypedDict):
    """``optimiser check --json``."""

    status: Annotated[Literal["read", "odd"], Field(description="read, or odd if something looks odd")]
    title: Annotated[str, Field(description="of the case")]
    scenarios: Annotated[Objects, Field(description="name, hours and what the loads take of each")]
    zones: Annotated[Objects, Field(description="name, light and areas of each")]
    bays: Annotated[Objects, Field(description="name, volume and boards of each")]
    ways: Annotated[Objects, Field(description="as in ways.csv")]
    kept: Annotated[Objects, Field(description="as in keep.csv")]
    driven: Annotated[
        str, Field(description="what charging by the engine rests on, in words; empty where no scenario drives")
    ]
    oddities: Annotated[list[dict[str, str]], Field(description="place and text of each")]
    notes: Annotated[list[str], Field(description="how files of an earlier version were read")]


class NewObject(TypedDict):
    """``optimiser new --json``."""

    status: Literal["written"]
    folder: Annotated[str, Field(description="where the case is")]
    files: Annotated[list[str], Field(description="its files, by name")]


OBJECTS: dict[str, Any] = {
    "new": NewObject,
    "check": CheckObject,
    "build": AnswerObject,
    "compare": ComparisonObject,
    "explain": ExplanationObject,
    "explain --set": TrialObject,
    "explain --sweep": SweepObject,
    "audit": AuditObject,
    "pack": PackObject,
    "expect": ExpectationObject,
    "commission": ReadingsObject,
}
"""Command, with the option that changes what it prints -> its object."""
