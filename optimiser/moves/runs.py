"""Levers of runs: which figure of the rule set, and whose terminals, a run is held to."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.moves.lever_makers import Ask, files, rule
from optimiser.moves.move import Lever
from optimiser.moves.slots import circuit_at, files_at_ends

_DROPS = {
    "drop_share_inverter": "the battery path and the inverter's run",
    "drop_share_solar": "solar runs",
    "drop_share_feed": "the alternator's feed",
    "drop_share_mains": "mains runs",
    "drop_share": "other runs",
}


def sections(ask: Ask) -> Iterator[Lever]:
    """The least section of low voltage or of mains runs."""
    kind = circuit_at(ask.place).kind if ask.place else ""
    if kind == "data":
        return
    if kind != "mains":
        yield from rule("dc_section_min_mm2", -1, "least section of low voltage runs")(ask)
    if kind in ("", "mains"):
        yield from rule("main_section_min_mm2", -1, "least section of mains runs")(ask)


def drops(ask: Ask) -> Iterator[Lever]:
    """The drop allowed of such a run, or of each kind of run."""
    circuit = circuit_at(ask.place) if ask.place else None
    if circuit and circuit.kind == "data":
        return
    for figure, what in _DROPS.items():
        if circuit is None or figure == circuit.drop:
            yield from rule(figure, +1, f"share of their voltage that {what} may lose")(ask)


def terminals(ask: Ask) -> Iterator[Lever]:
    """The terminals of what the run goes to."""
    keys = files_at_ends(ask.catalogue, ask.place)
    yield from files(*keys, column="terminal_mm2", sign=+1, words="terminals of {}")(ask)
