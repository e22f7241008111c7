"""What makes two builds of one kind: the same bank, converters, and arrays on the same regulators.

Builds of a kind differ in boards, paths, cables, fuses, vents and the like, which a solve settles in a second.
"""

from optimiser.connections import slot_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool


def marks(ctx: FitOut) -> list[Bool]:
    """The flags that all builds of a kind share, the same ones in the same order for every model of a case."""
    slots = [slot for name, slot in ctx.d.slots.items() if slot_of(name).converts]
    parts = [flag for slot in slots for flag in slot.pick.values()]
    return parts + [flag for strings in ctx.d.strings.values() for flag in strings.options.values()]
