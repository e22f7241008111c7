"""Which bodies each core of a run goes by, from its start to its end: so many pieces it is cut in."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from optimiser.fitted.currents import currents
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs

_DATA = {"display": ("shunt_row", "display"), "switch": ("inverter", "switch")}


class Core(NamedTuple):
    """A core, or a cable of several: its pole, and the slots it goes by; "" for a point outside the bays."""

    pole: str
    by: tuple[str, ...]

    @property
    def pieces(self) -> list[tuple[str, str]]:
        """From where to where each is."""
        return list(pairwise(self.by))

    @property
    def ends(self) -> int:
        """Ends to make."""
        return 2 * len(self.pieces)


def cores_of(fit: Fit, laid: RoutedRun) -> list[Core]:
    """Of a run there must be, by the bodies that stand on boards; of another, or of no such cable, one piece each."""
    wanted = required_runs(fit).get(laid.run.name)
    bodies = bodies_of(fit)
    poles = ("+", "-") if laid.cable.paired else ("",)
    meant = wanted and laid.cable.paired == (wanted.kind in ("dc", "solar"))
    found = list(_cores(fit, laid, wanted)) if wanted and meant else [Core(pole, ()) for pole in poles]
    standing = [Core(core.pole, tuple(slot for slot in core.by if not slot or slot in bodies)) for core in found]
    return [core if core.pieces else Core(core.pole, ("", "")) for core in standing]


def ends_to_make(fit: Fit, laid: RoutedRun) -> int:
    """Of all its cores."""
    return sum(core.ends for core in cores_of(fit, laid))


def bodies_of(fit: Fit) -> dict[str, Standing]:
    """Slot -> what fills it. A fuse on the bank takes no board, and a fixture of that name is not it."""
    return {slot: body for slot, body in standing_in(fit).items() if not body.fixture}


def _cores(fit: Fit, laid: RoutedRun, wanted: RequiredRun) -> Iterator[Core]:
    """Fuses and the isolator part the positive core, shunts the negative one; a guard at a feed is at its start."""
    if wanted.kind == "data":
        yield Core("", _DATA.get(wanted.name, ()))
    elif wanted.name == "main":
        yield Core("+", ("bank", "main_fuse", "isolator", "busbar"))
        yield Core("-", ("bank", *(["shunt_row"] if wanted.name in dict(currents(fit)) else []), "busbar"))
    elif wanted.kind == "mains":
        yield Core("", _between(fit, wanted, ""))
    else:
        yield Core("+", _between(fit, wanted, "fuse_row" if laid.run in fit.row_runs else ""))
        yield Core("-", _between(fit, wanted, "shunt_row" if wanted.name in dict(currents(fit)) else ""))


def _between(fit: Fit, wanted: RequiredRun, row: str) -> tuple[str, ...]:
    """From the body at its start to that at its end, by a row; "" for an end outside."""
    by = (row,) if row else ()
    if not wanted.ends:
        return ("", *by, "")
    *start, end = wanted.ends
    if start:
        return (*start, *by, end)
    return ("", *by, end) if fit.node(end) == wanted.end else (end, *by, "")
