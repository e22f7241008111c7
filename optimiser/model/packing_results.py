"""What can be said of a packing, and when to stop looking for one."""

from dataclasses import dataclass
from math import inf

from optimiser.model.packing_bounds import Placed


class PackingError(AssertionError):
    """A packing failed its own check: a fault in this program or in the solver, never in the input."""


@dataclass(frozen=True, kw_only=True)
class Stop:
    """When one solve gives up: solver work (repeatable, about seconds), and seconds by the clock (not repeatable)."""

    work: float = 30.0
    seconds: float = inf


@dataclass(frozen=True, kw_only=True)
class PackResult:
    """The best packing found; none is better than ``bound``."""

    placed: tuple[Placed, ...]
    value: int
    bound: int

    @property
    def proven(self) -> bool:
        return self.value == self.bound


@dataclass(frozen=True, kw_only=True)
class Fits:
    """There is such a packing: this one."""

    placed: tuple[Placed, ...]


@dataclass(frozen=True)
class DoesNotFit:
    """Proven: there is no such packing."""


@dataclass(frozen=True)
class NotDecided:
    """Neither a packing nor a proof that there is none was found before the stop."""
