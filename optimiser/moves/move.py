"""A move: one value changed, how it is written, and the levers that moves are made of.

A sign in front makes a change relative: ``+40``, ``-0.5``. Anything else is absolute: ``2.5``, ``yes``; a
second ``=`` makes a signed number absolute too, ``place.record_low_c==-15``, which temperatures need.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

SWEEP_MOST = 200  # values: each is a solve or more

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)")
_DIGITS = 15  # what a float holds


class MoveProblem(ValueError):
    """A move that cannot be made: what is wrong, and what was expected."""


@dataclass(frozen=True)
class Move:
    """One value changed."""

    address: str
    change: str

    @property
    def relative(self) -> bool:
        """Whether the change is added to the value rather than put in its place."""
        return self.change.startswith(("+", "-"))

    @property
    def value(self) -> str:
        """What an absolute change puts there."""
        return self.change.removeprefix("=").strip()

    def __str__(self) -> str:
        return f"{self.address}={self.change}"


def number(text: str) -> Decimal | None:
    """A plain number, or None: no exponents, and no more digits than a float keeps."""
    whole = NUMBER.fullmatch(text) and len(text.strip("+-0").replace(".", "")) <= _DIGITS
    return Decimal(text) if whole else None


def parse_set(text: str) -> Move:
    """``ADDRESS=CHANGE`` as a move. Whether there is such a value, only a case can tell.

    Raises
    ------
    MoveProblem
        If it does not read like one.
    """
    address, change = _halves(text, "bay.left_seat.width_mm=+40")
    return Move(address, change)


def set_to(address: str, value: Decimal) -> Move:
    """The move that puts a number there, whatever its sign."""
    return Move(address, f"={value:f}")


def parse_sweep(text: str) -> tuple[str, tuple[Decimal, ...]]:
    """``ADDRESS=FROM:TO:STEP``, both ends included where the steps meet them.

    Raises
    ------
    MoveProblem
        If it does not read like one, leads nowhere or has too many values.
    """
    example = "autonomy_days=1:3:0.25"
    address, span = _halves(text, example)
    parts = [number(part.strip()) for part in span.split(":")]
    if len(parts) != 3 or None in parts:
        raise MoveProblem(f"{text}: {span!r} is not a sweep; expected from:to:step in plain numbers, as {example}")
    start, end, step = (part for part in parts if part is not None)
    if step == 0 or (end - start) * step < 0:
        wanted = "a step other than 0" if start == end else f"a step {'above' if end > start else 'below'} 0"
        raise MoveProblem(f"{text}: steps of {step} never lead from {start} to {end}; expected {wanted}")
    count = int((end - start) / step) + 1
    if count > SWEEP_MOST:
        raise MoveProblem(f"{text}: {count} values; expected at most {SWEEP_MOST}, so a longer step or a shorter span")
    return address, tuple(start + step * k for k in range(count))


def _halves(text: str, example: str) -> tuple[str, str]:
    address, _, change = (part.strip() for part in text.partition("="))
    if not address or not change.removeprefix("=").strip():
        what = "no address before" if not address else "nothing after" if "=" in text else "no"
        raise MoveProblem(f"{text!r}: {what} '='; expected address=change, as {example}")
    return address, change


# --- a lever: a value that eases a requirement, and which way it goes ---------------------------------


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
