"""The object of a sweep over many vehicles."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.pipeline.many.rows import Row, RowState
from optimiser.printing.objects_built import Caution, Wanted


class ManySweptObject(TypedDict):
    """``optimiser sweep --out DIR --json``."""

    status: Annotated[Literal["whole", "part"], Field(description="part if it was stopped")]
    want: Wanted
    asked: Annotated[int, Field(description="rows: cases times settings")]
    counts: Annotated[dict[RowState, int], Field(description="rows of each status")]
    taken_over: Annotated[int, Field(description="rows that an earlier call had solved")]
    solved_anew: Annotated[
        dict[str, int],
        Field(description="rows of an earlier call that no longer hold, by what has changed: case, catalogue, program, "
        "limits of the search; fault: they had failed"),
    ]  # fmt: skip
    left_aside: Annotated[int, Field(description="rows of an earlier call that this one did not ask for")]
    why: Annotated[str, Field(description="what stopped it, if it is not whole")]
    table: Annotated[str, Field(description="the file with all rows")]
    rows: Annotated[list[Row], Field(description="those that are there, in the order of cases and settings")]
    caution: Caution
