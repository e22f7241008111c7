"""What a build does not hold, though the vehicle needs it: in no bill, no mass, no price."""

from __future__ import annotations

from collections.abc import Callable

from optimiser.case import Trailer
from optimiser.fitted import Fit

Applies = Callable[[Fit], bool]


def _roof(fit: Fit) -> bool:
    return any(array.light for array in fit.build.arrays)


def _fed_by_tow(fit: Fit) -> bool:
    return bool(isinstance(fit.case.brief.vehicle, Trailer) and fit.case.brief.alternator and fit.alternator_charger)


NOT_IN_THE_BUILD: tuple[tuple[str, Applies], ...] = (
    ("leads and connectors from the panels to the roof glands", _roof),
    (
        "branch connectors that join strings in parallel",
        lambda fit: any(array.light and array.parallel > 1 for array in fit.build.arrays),
    ),
    (
        "cores of its own for each string in parallel: they share one run, so one channel shows their sum",
        lambda fit: any(array.light and array.parallel > 1 for array in fit.build.arrays),
    ),
    ("a disconnector between panels and regulators", lambda fit: bool(fit.build.arrays)),
    ("links between the modules of the bank", lambda fit: fit.modules > 1),
    ("restraint of the bank: straps, brackets, trays", lambda _: True),
    ("lugs and ends where a core is parted for a fuse, the isolator or a shunt", lambda fit: bool(fit.build.runs)),
    ("a link from the busbar to the fuse row, and a bar that feeds its holders", lambda fit: bool(fit.row_runs)),
    ("earthing and bonding conductors", lambda _: True),
    ("the signal wire of the charger fed by the engine", lambda fit: fit.alternator_charger is not None),
    ("the tow connector, and the towing vehicle's own cable to it with its fuse", _fed_by_tow),
    ("the body of the mains inlet, and its hook-up lead", lambda fit: fit.case.brief.inlet is not None),
    ("the body of the socket for the portable panel", lambda fit: fit.case.brief.portable is not None),
    ("mains sockets and their boxes", lambda fit: bool(fit.case.brief.circuits)),
    ("cables of mains final circuits", lambda fit: fit.build.slot("mains_box") is not None),
    ("what protects the mains cable from the inverter", lambda fit: fit.build.run("inverter_out") is not None),
    ("small materials beyond the catalogue's sundries: heat-shrink, ferrules, clips, conduit, labels", lambda _: True),
)
"""Text, and whether it applies to a build (common practice, no source)."""


def not_in_the_build(fit: Fit) -> tuple[str, ...]:
    """The lines that apply to a build, in the order of the list."""
    return tuple(text for text, applies in NOT_IN_THE_BUILD if applies(fit))
