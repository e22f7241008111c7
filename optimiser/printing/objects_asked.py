"""Objects of what an impossible case asks for and what can be had."""

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.printing.objects_built import FindingObject, Number


class EnergyObject(TypedDict):
    """What gives energy in a scenario [Wh]; null where that is not known."""

    sun: Annotated[Number, Field(description="from the panels, behind their regulators")]
    chargers: Annotated[Number, Field(description="from alternator and hook-up")]
    bank: Annotated[Number, Field(description="from what it starts with down to its floor")]
    missing: Annotated[Number, Field(description="from the bank")]


class AskedEnergyObject(TypedDict):
    """A scenario, or the days without sun."""

    scenario: Annotated[str | None, Field(description="its name, null for the days without sun")]
    hours: Annotated[float, Field(description="of the scenario, or of the days without sun")]
    loads: Annotated[float, Field(description="what they draw themselves in all of it [Wh]")]
    nearest_brief: Annotated[EnergyObject | None, Field(description="of the build of the nearest brief")]
    at_best: Annotated[
        EnergyObject | None,
        Field(description="bounds: sun, chargers and bank give no more, and no less is missing (proven)"),
    ]


class AskedPlaceObject(TypedDict):
    """A limit on a place, as asked or allowed."""

    finding: Annotated[FindingObject, Field(description="what the build of the nearest brief makes of it as asked")]
    missing: Annotated[float, Field(description="in that build")]
    missing_at_least: Annotated[Number, Field(description="in any build that misses nothing else than that one")]


class AskedObject(TypedDict):
    """What an impossible case asks for, beside what can be had."""

    energy: Annotated[list[AskedEnergyObject], Field(description="scenario by scenario")]
    places: Annotated[list[AskedPlaceObject], Field(description="zones, bays, axles, feeds, and what else is missed")]
