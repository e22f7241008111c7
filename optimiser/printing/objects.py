"""The JSON that commands print, key by key: its types are what the code is checked against and its schemas are made of.

Money is in the currency of the case, masses are in kg. What there is none of is null.
"""

from typing import Annotated, Any, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.case import Existing, OldPart, Way
from optimiser.checking import BayRoom, Oddity, ScenarioTotals, ZoneArea
from optimiser.commissioning import Cause, Expected, JudgedReading, Verdict
from optimiser.printing.objects_built import (
    AnswerObject,
    AuditObject,
    Caution,
    ComparisonObject,
    FindingObject,
    Number,
    PackObject,
)
from optimiser.printing.objects_explained import ExplanationObject, PartObject, SweepObject, TrialObject
from optimiser.printing.objects_many import ManySweptObject
from optimiser.printing.objects_rules import RuleSetsObject
from optimiser.printing.objects_year import YearObject


class ExpectationObject(TypedDict):
    """``optimiser expect --json``."""

    status: Annotated[Literal["expected", "breach"], Field(description="expected, or breach")]
    at: Annotated[str | None, Field(description="on the clock of the case")]
    sky: Annotated[str | None, Field(description="its name; null where light was metered")]
    scenario: Annotated[str | None, Field(description="the nearest in the calendar")]
    air_c: Annotated[Number, Field(description="air outside")]
    bank_v: Annotated[Number, Field(description="voltage of the bank")]
    light_w_m2: Annotated[dict[str, float], Field(description="by zone")]
    strings: Annotated[tuple[Expected, ...], Field(description="rows: open, at work, at the regulator")]
    arrays: Annotated[tuple[Expected, ...], Field(description="rows: where strings meet")]
    sources: Annotated[tuple[Expected, ...], Field(description="rows: current of each into the bank")]
    loads: Annotated[tuple[Expected, ...], Field(description="rows: current of each at the bank, own draw last")]
    measured: Annotated[
        tuple[Expected, ...],
        Field(description="rows: sums that the build measures as one, part of the rows before"),
    ]
    total: Annotated[Expected | None, Field(description="a row: the bank, as sources less loads")]
    assumed: Annotated[list[str], Field(description="what is taken for granted")]
    breaches: Annotated[list[FindingObject], Field(description="findings that are not met, if it was refused")]
    caution: Caution


class CheckRowObject(TypedDict):
    """A line of the test sheet."""

    group: Annotated[str, Field(description="of the sheet")]
    id: Annotated[str, Field(description="of the reading")]
    what: Annotated[str, Field(description="is measured or looked at")]
    how: Annotated[str, Field(description="it is done")]
    unit: Annotated[str, Field(description="of the reading")]
    design: Annotated[Number, Field(description="what it should be")]
    low: Annotated[Number, Field(description="of its band")]
    high: Annotated[Number, Field(description="likewise")]
    basis: Annotated[str, Field(description="what the design rests on")]
    source: Annotated[str, Field(description="of the band")]
    licensed: Annotated[bool, Field(description="whether it is for a licensed electrician")]
    table_of: Annotated[str, Field(description="what the table's first column is")]
    table: Annotated[tuple[tuple[float, float], ...], Field(description="the design on other days")]


class ReadingsObject(TypedDict):
    """``optimiser commission --json``."""

    status: Annotated[
        str, Field(description="in band (all that was tested), out of band, blank (a sheet was written) or breach")
    ]
    kind: Annotated[str, Field(description="test sheet or log")]
    counts: Annotated[dict[Verdict, int], Field(description="of readings in band, out of band, not tested")]
    readings: Annotated[
        tuple[JudgedReading, ...],
        Field(description="each of them"),
    ]
    causes: Annotated[tuple[Cause, ...], Field(description="of readings out of band")]
    checks: Annotated[
        list[CheckRowObject],
        Field(description="of a blank sheet, its lines"),
    ]
    breaches: Annotated[list[FindingObject], Field(description="findings that are not met, if the build was refused")]
    caution: Caution


class CheckObject(TypedDict):
    """``optimiser check --json``."""

    status: Annotated[Literal["read", "odd"], Field(description="read, or odd if there are warnings")]
    title: Annotated[str, Field(description="of the case")]
    scenarios: Annotated[tuple[ScenarioTotals, ...], Field(description="what the loads take in each")]
    zones: Annotated[tuple[ZoneArea, ...], Field(description="of the roof")]
    bays: Annotated[tuple[BayRoom, ...], Field(description="each of them")]
    ways: Annotated[tuple[Way, ...], Field(description="as in ways.csv")]
    existing: Annotated[tuple[Existing, ...], Field(description="as in existing.csv")]
    old_parts: Annotated[tuple[OldPart, ...], Field(description="as in old_parts.csv")]
    built: Annotated[
        str, Field(description="whether the rule set serves when it is fitted out; empty where the brief says no month")
    ]
    driven: Annotated[
        str, Field(description="what charging by the engine rests on, in words; empty where no scenario drives")
    ]
    oddities: Annotated[tuple[Oddity, ...], Field(description="warnings")]
    notes: Annotated[tuple[str, ...], Field(description="how files of an earlier version were read")]


class NewObject(TypedDict):
    """``optimiser new --json``."""

    status: Annotated[Literal["written"], Field(description="that it was")]
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
    "explain --with": PartObject,
    "sweep": ManySweptObject,
    "audit": AuditObject,
    "pack": PackObject,
    "expect": ExpectationObject,
    "commission": ReadingsObject,
    "year": YearObject,
    "rules": RuleSetsObject,
}
"""Command, with the option that changes what it prints -> its object."""
