"""Which channel of the shunts measures which current: a proposal, as the build only says that there are enough."""

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
    """Every channel of the build, the largest shunts first, each with the current proposed for it.

    The currents behind the largest fuses choose first, each the smallest channel that stands what its fuse lets
    through: so all get one wherever there are enough, as a channel for a large current would do for any smaller.
    """
    shunts = sorted(fit.shunts, key=lambda pair: (-pair[0].rating_a, pair[0].name))
    slots = [shunt for shunt, count in shunts for _ in range(count * shunt.channels)]
    given: dict[int, Current] = {}
    for current in sorted(currents(fit), key=lambda current: -through_a(fit, current)):
        free = [k for k, s in enumerate(slots) if k not in given and s.rating_a >= through_a(fit, current)]
        if free:
            given[min(free, key=lambda k: (slots[k].rating_a, k))] = current
    return tuple(Channel(k + 1, shunt, given.get(k)) for k, shunt in enumerate(slots))


def through_a(fit: Fit, current: Current) -> float:
    """What its channel must stand: as much as the fuse of its circuit lets through for long [A]."""
    run = routed_runs(fit).get(current.run)
    return run.fuse.rating_a if run and run.fuse else current.amps
