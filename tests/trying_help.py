"""Helpers of the tests of what if: try a change out on a case, and print what it came to."""

from collections.abc import Callable, Sequence

import pytest
from rich.console import RenderableType

from optimiser.pipeline import Inputs, Unusable
from optimiser.pipeline.trying import Trial, try_out
from optimiser.printing import show
from optimiser.solve import Stop

STOP = Stop(30, seed=1, workers=1)
UNREACHED = "board.locker.wall.reach=no"  # of the handmade trailer, where nothing else is within reach


def tried(
    inputs: Inputs, *sets: str, drops: tuple[str, ...] = (), begin: Callable[[str], None] = lambda _: None
) -> Trial:
    """The trial for the cheapest."""
    return try_out(inputs, sets=sets, drops=drops, want="cheapest", stop=STOP, watch=lambda _: None, begin=begin)


def refused(ask: Callable[[], object]) -> tuple[str, ...]:
    """The lines it is refused with."""
    with pytest.raises(Unusable) as problem:
        ask()
    return problem.value.lines


def printed(capsys: pytest.CaptureFixture[str], sheet: Sequence[RenderableType]) -> str:
    """The sheet as it is printed, none of it too wide."""
    capsys.readouterr()
    show(*sheet)
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 100
    return text
