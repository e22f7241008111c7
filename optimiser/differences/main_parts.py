"""What builds are told apart by first: panels, bank, inverter, regulators and chargers, in a few words each."""

from collections import Counter
from collections.abc import Sequence

from optimiser.builds import Build
from optimiser.connections import slot_of
from optimiser.differences.change import Order
from optimiser.differences.slots import UNNAMED, order_of


def main_parts(build: Build) -> tuple[str, ...]:
    """``2 x panel-175-rigid``, ``1 x module-12-200``, ``inverter-1500``: in the order that changes are told in."""
    panels = Counter(panel.panel for panel in build.panels)
    bank = (Order.BANK, f"{build.bank.series * build.bank.parallel} x {build.bank.module}")
    told = [bank, *((Order.PANELS, f"{count} x {panel}") for panel, count in sorted(panels.items()))]
    for fitted in build.fitted:
        if fitted.slot not in UNNAMED and slot_of(fitted.slot).converts:
            told.append((order_of(fitted.slot), f"{fitted.part}{' (existing)' * fitted.existing}"))
    return tuple(text for _, text in sorted(told))


def shared_and_own(builds: Sequence[Build]) -> tuple[list[str], list[list[str]]]:
    """The main parts that all builds have, and what each has beside them."""
    counted = [Counter(main_parts(build)) for build in builds]
    shared = counted[0].copy()
    for parts in counted:
        shared &= parts
    return list(shared.elements()), [list((parts - shared).elements()) for parts in counted]
