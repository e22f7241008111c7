"""Which channel of the shunts measures which current: a proposal, as the build only says how many shunts there are."""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from optimiser.fitted.currents import Current, currents
from optimiser.fitted.fit import Fit, once
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Shunt


class Channel(NamedTuple):
    """One channel of a shunt or hub. ``current`` None: spare."""

    number: int
    shunt: Shunt
    current: Current | None


@once
def channels(fit: Fit) -> tuple[Channel, ...]:
    """Every channel of the build, the largest shunts first, each with the current proposed for it."""
    slots = _slots(fit)
    given = _given(fit, slots, currents(fit))
    return tuple(Channel(k + 1, shunt, given.get(k)) for k, shunt in enumerate(slots))


def most_measured(fit: Fit, wanted: Sequence[Current], *, terminals: bool = True) -> int:
    """How many of these can have a channel each at most; without ``terminals`` by ratings alone."""
    return len(_given(fit, _slots(fit), wanted, terminals=terminals))


def through_a(fit: Fit, current: Current) -> float:
    """What its channel must stand: as much as the fuse of its circuit lets through for long [A]."""
    run = routed_runs(fit).get(current.run)
    return run.fuse.rating_a if run and run.fuse else current.amps


def section_mm2(fit: Fit, current: Current) -> float:
    """What its channel's terminal must take: its run's own cable, of which the negative core goes by the shunt."""
    run = routed_runs(fit).get(current.run)
    return run.cable.section_mm2 if run else 0.0


def takes_mm2(shunt: Shunt) -> float:
    """The largest conductor its terminals take; of none that is known any, as at the ends of a run."""
    return shunt.terminal_mm2 or inf


def _slots(fit: Fit) -> list[Shunt]:
    shunts = sorted(fit.shunts, key=lambda pair: (-pair[0].rating_a, pair[0].name))
    return [shunt for shunt, count in shunts for _ in range(count * shunt.channels)]


def _given(
    fit: Fit, slots: Sequence[Shunt], wanted: Sequence[Current], *, terminals: bool = True
) -> dict[int, Current]:
    """As many of these currents as can have a channel each: which they have.

    A channel stands what the current's fuse lets through, and its terminal takes its cable. The currents behind the
    largest fuses choose first, each the smallest terminal that will do: so no choice costs a later one its channel.
    For a channel that stands what came before stands what comes later, and a later cable that goes on the terminal
    taken goes on the larger one left.
    """
    given: dict[int, Current] = {}
    for current in sorted(wanted, key=lambda current: -through_a(fit, current)):
        through, section = through_a(fit, current), section_mm2(fit, current) if terminals else 0.0
        free = [k for k, s in enumerate(slots) if k not in given and s.rating_a >= through and takes_mm2(s) >= section]
        if free:
            given[min(free, key=lambda k: (takes_mm2(slots[k]), slots[k].rating_a, k))] = current
    return given
