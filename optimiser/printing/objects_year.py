"""The JSON of a year run."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.printing.objects_built import Caution, FindingObject, Number
from optimiser.yearly import MonthOfYear


class YearObject(TypedDict):
    """``optimiser year --json``."""

    status: Annotated[Literal["run", "breach"], Field(description="run, or breach")]
    weather: Annotated[str | None, Field(description="where it is from")]
    measured: Annotated[bool | None, Field(description="whether it is of a file; no: made of monthly means")]
    years: Annotated[Number, Field(description="of weather")]
    good_days_pct: Annotated[Number, Field(description="days on which nothing is short")]
    short_h: Annotated[Number, Field(description="hours a year in which something is")]
    spilled_kwh: Annotated[Number, Field(description="a year, offered to a full bank")]
    longest_bad_days: Annotated[Number, Field(description="days in a row on which something is short")]
    months: Annotated[tuple[MonthOfYear, ...], Field(description="each of them, from January")]
    breaches: Annotated[list[FindingObject], Field(description="findings that are not met, if it was refused")]
    caution: Caution
