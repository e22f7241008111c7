"""A lever: a value that eases a requirement, and which way it goes."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from optimiser.moves.move import Move, MoveProblem


@dataclass(frozen=True)
class Lever:
    """A value that a requirement gives way to. Either ``step`` or ``to`` says how far.

    ``words`` go on after the step and its unit: "+40 mm free depth of board left_seat.floor". Where there is
    no step they say all of it: "a bank allowed in bay left_seat".
    """

    address: str
    step: float | None  # in the easing direction; against it tightens
    unit: str
    words: str
    act: bool  # the fitter or customer can act on it; otherwise a maker's figure or a rule
    to: str | None = None


def steps(lever: Lever, count: int) -> Move:
    """So many steps of a lever as one move; below 0 it tightens. Whether its range allows them, `moved` tells.

    Raises
    ------
    MoveProblem
        If the lever has no such steps.
    """
    if lever.step is None or lever.to is not None:
        if count != 1:
            raise MoveProblem(f"{lever.address}: goes to {lever.to} and no further; expected 1 step, not {count}")
        return Move(lever.address, f"={lever.to}")
    if count == 0:
        raise MoveProblem(f"{lever.address}: 0 steps are no move; expected some, below 0 to tighten")
    return Move(lever.address, f"{Decimal(str(lever.step)) * count:+f}")
