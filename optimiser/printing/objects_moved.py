"""Objects of values moved, and of how near to what was asked a limit can stay."""

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict


class AlsoObject(TypedDict):
    """A value that followed another."""

    address: Annotated[str, Field(description="of the value")]
    before: Annotated[str, Field(description="as it was")]
    after: Annotated[str, Field(description="as it is then")]


class MoveObject(AlsoObject):
    """A value moved, and what followed."""

    also: Annotated[list[AlsoObject], Field(description="values that followed it")]


class StepsObject(MoveObject):
    """A value moved by so many steps."""

    steps: Annotated[int, Field(description="of its requirement, that it was moved by")]


class EasedObject(StepsObject):
    """A value that gives way in the nearest brief."""

    weight: Annotated[int, Field(description="of its steps: a step weighs 1, a word of the brief 10")]


class NearestObject(TypedDict):
    """How near to what was asked a limit can stay."""

    requirement: Annotated[str, Field(description="its name, with a place if it has one")]
    address: Annotated[str, Field(description="of the limit")]
    works: Annotated[
        float | None, Field(description="the nearest to what was asked that a build was found for, if any was")
    ]
    bound: Annotated[float, Field(description="nothing nearer works")]
    proven: Annotated[bool, Field(description="whether what works is the nearest that does")]


class LeastBudgetObject(NearestObject):
    """The least budget that works."""

    others_moved: Annotated[int, Field(description="values moved beside it, as in the nearest brief; 0: all else met")]


class WeighedObject(TypedDict):
    """The brief nearest to what was asked that has a build, without the build."""

    moves: Annotated[list[EasedObject], Field(description="values to move, all of them")]
    weight: Annotated[int, Field(description="of all moves")]
    bound: Annotated[int | None, Field(description="no brief with a build weighs less, null where that is not known")]
