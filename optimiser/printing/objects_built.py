"""Objects of builds: solved, audited, compared, packed; and what those of other commands are made of."""

from typing import Annotated, Literal, NotRequired

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.builds import Build
from optimiser.pipeline import Status
from optimiser.pipeline.comparing import State
from optimiser.printing.objects_moved import LeastBudgetObject, WeighedObject
from optimiser.solve import Confirmed, Want

Number = float | None
BuildObject = Annotated[Build | None, Field(description="the object of the build file")]
Caution = Annotated[str, Field(description="the cautions that go with every result")]
Wanted = Annotated[Want, Field(description="which best build")]
Cost = Annotated[Number, Field(description="in the currency of the case")]
Mass = Annotated[Number, Field(description="in kg")]
Seconds = Annotated[float, Field(description="it took")]


class FindingObject(TypedDict):
    """One requirement checked on one build."""

    requirement: Annotated[str, Field(description="its name, with the place: bay.heat[left_seat]")]
    limit: Annotated[Number, Field(description="null where it is unlimited")]
    actual: Annotated[Number, Field(description="likewise")]
    unit: Annotated[str, Field(description="of limit, actual and margin")]
    margin: Annotated[Number, Field(description="room left, below 0 where it is not met; null where it is unlimited")]
    ok: Annotated[bool, Field(description="whether it is met")]
    sentence: Annotated[str, Field(description="both sides in words")]


Findings = Annotated[list[FindingObject], Field(description="every requirement with its limit, actual and margin")]


class GlanceObject(TypedDict):
    """What an impossible case has to give up, as far as a moment shows it."""

    missed: Annotated[list[FindingObject], Field(description="all that a build misses which was found and audited")]
    minimal: Annotated[bool, Field(description="whether it is proven that giving up less of these is not enough")]
    in_vain: Annotated[
        list[list[str]], Field(description="sets proven not to be enough to give up, even all of one together")
    ]
    nearest_brief: Annotated[
        WeighedObject | None, Field(description="the least to move of all limits together; the rest is empty then")
    ]
    least_budget: Annotated[
        LeastBudgetObject | None,
        Field(description="that works, of a case whose budget is in the way; null where that is not known"),
    ]


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
    glance: Annotated[GlanceObject | None, Field(description="of an impossible case: what it has to give up")]
    confirmed: Annotated[
        Confirmed | None,
        Field(
            description="of an impossible case: what else says so; its rows contradict each other in whole numbers, "
            "a second search finds nothing either, or nothing else, as neither came to an end in its time"
        ),
    ]
    seconds: Seconds
    caution: Caution


class AuditObject(TypedDict):
    """``optimiser audit --json``."""

    status: Annotated[Literal["pass", "breach"], Field(description="whether every requirement is met")]
    cost: Annotated[Number, Field(description="as the audit calculates it, whatever the build claims")]
    mass: Annotated[Number, Field(description="likewise")]
    findings: Findings
    caution: Caution


class PackObject(TypedDict):
    """``optimiser pack --json``; a build with a breach is reported on stderr."""

    status: Annotated[str, Field(description="as of a comparison, or: this build alone")]
    why: Annotated[str | None, Field(description="what stopped the search for options, if anything did")]
    folder: Annotated[str, Field(description="where the pack is")]
    files: Annotated[list[str], Field(description="its files, by name")]
    options: Annotated[int, Field(description="how many builds it compares")]
    readings: Annotated[str | None, Field(description="in band or out of band, if there were any")]
    inputs: Annotated[str, Field(description="hash of case and catalogue, its first 12 places")]
    build: Annotated[str, Field(description="likewise of the build")]
    caution: Caution


class DifferenceObject(TypedDict):
    """What another build costs and weighs more."""

    cost: Annotated[float, Field(description="in the currency of the case")]
    mass: Annotated[float, Field(description="in kg")]


class StepObject(DifferenceObject):
    """What changes from one point to the next."""

    line: Annotated[str, Field(description="what changes, in a line")]


class PointObject(TypedDict):
    """A build of a front, with the measures asked for."""

    cost: Annotated[float, Field(description="in the currency of the case")]
    mass: Annotated[float, Field(description="in kg")]
    days_without_sun: NotRequired[Annotated[float, Field(description="if it was asked for")]]
    spare_payload: NotRequired[Annotated[float, Field(description="in kg, if it was asked for")]]
    annual_surplus: NotRequired[Annotated[float, Field(description="in kWh, if it was asked for")]]
    proven: Annotated[bool, Field(description="that none is better in one measure and as good in the other")]
    best_in: Annotated[list[str], Field(description="measures in which it is proven that no other build is better")]
    main_parts: Annotated[list[str], Field(description="panels, bank, inverter, regulators and chargers, a text each")]
    build: Annotated[Build, Field(description="the object of the build file")]
    findings: Annotated[list[FindingObject], Field(description="every requirement with its limit, actual and margin")]


class ComparisonObject(TypedDict):
    """``optimiser compare --json``."""

    status: Annotated[State, Field(description="as above, or breach")]
    measures: Annotated[list[str], Field(description="the two")]
    why: Annotated[str, Field(description="what stopped it, if anything did")]
    confirmed: Annotated[Confirmed | None, Field(description="of an impossible case: what else says so")]
    apart: Annotated[
        dict[str, float] | None,
        Field(
            description="percent of each measure: proven at the status front to a tolerance that whatever else can be "
            "built, one of the points is no worse in one measure, and in the other worse by at most so much of its own "
            "figure; null where no tolerance was asked for"
        ),
    ]
    points: Annotated[
        list[PointObject],
        Field(description="from the best in the first measure on"),
    ]
    steps: Annotated[
        list[StepObject],
        Field(description="from each point to the next"),
    ]
    caution: Caution
