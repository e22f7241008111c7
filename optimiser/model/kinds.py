"""What makes two builds of one kind: the same bank, converters, and arrays on the same regulators.

Builds of a kind differ in boards, paths, cables, fuses, vents and the like, which a solve settles in a second.
"""

from collections.abc import Iterator

from optimiser.connections import slot_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool


def marks(ctx: FitOut) -> list[Bool]:
    """The flags that all builds of a kind share, the same ones in the same order for every model of a case."""
    slots = [slot for name, slot in ctx.d.slots.items() if slot_of(name).converts]
    parts = [flag for slot in slots for flag in slot.pick.values()]
    return parts + [flag for strings in ctx.d.strings.values() for flag in strings.options.values()]


def groups(ctx: FitOut) -> list[Bool]:
    """The flags that builds of several kinds share: which regulators they have is left open."""
    slots = [slot for name, slot in ctx.d.slots.items() if slot_of(name).converts and slot_of(name).name != "regulator"]
    parts = [flag for slot in slots for flag in slot.pick.values()]
    return parts + [flag for strings in ctx.d.strings.values() for flag in strings.options.values()]


def settled(ctx: FitOut) -> Iterator[Bool]:
    """What a build costs and weighs by. Left is how bodies stand where, and how much cable that takes."""
    d = ctx.d
    yield from d.voltage.values()
    yield from d.panels.values()
    for slot in d.slots.values():
        yield from (*slot.pick.values(), *slot.at.values())
    for row in d.rows.values():
        yield from row.at.values()
    for strings in d.strings.values():
        yield from strings.options.values()
    for run in d.runs.values():
        yield from (route.var for route in run.routes)
        yield from (chosen for _, chosen, _ in run.cables.values())
        yield from (chosen for _, chosen in run.fuses.values())
    yield from (chosen for _, chosen in d.module_fuses.values())
    yield from (chosen for _, chosen in d.dc_panels.values())
    yield from (chosen for devices in d.breakers.values() for _, chosen in devices.values())
    yield from (*d.vents.values(), *d.shunts.values(), *d.entries.values())
