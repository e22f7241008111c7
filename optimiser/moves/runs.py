"""Levers of runs: which figure of the rule set, and whose terminals, a run is held to."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.moves.lever import Lever
from optimiser.moves.lever_makers import Ask, files, rule
from optimiser.moves.slots import DATA_RUNS, MAINS_RUNS, files_at_ends

_DROPS = {
    "drop_share_inverter": "the battery path and the inverter's run",
    "drop_share_solar": "solar runs",
    "drop_share_feed": "the alternator's feed",
    "drop_share_mains": "mains runs",
    "drop_share": "other runs",
}


def sections(ask: Ask) -> Iterator[Lever]:
    """The least section of low voltage or of mains runs."""
    run = ask.place
    if run in DATA_RUNS:
        return
    if not run or run not in MAINS_RUNS:
        yield from rule("dc_section_min_mm2", -1, "least section of low voltage runs")(ask)
    if not run or run in MAINS_RUNS:
        yield from rule("main_section_min_mm2", -1, "least section of mains runs")(ask)


def drops(ask: Ask) -> Iterator[Lever]:
    """The drop allowed of such a run, or of each kind of run."""
    if ask.place in DATA_RUNS:
        return
    for figure, what in _DROPS.items():
        if not ask.place or figure == _drop_figure(ask.place):
            yield from rule(figure, +1, f"share of their voltage that {what} may lose")(ask)


def _drop_figure(run: str) -> str:
    if run in ("main", "inverter"):
        return "drop_share_inverter"
    if run in MAINS_RUNS:
        return "drop_share_mains"
    if run.startswith("solar_"):
        return "drop_share_solar"
    return "drop_share_feed" if run == "alternator_feed" else "drop_share"


def terminals(ask: Ask) -> Iterator[Lever]:
    """The terminals of what the run goes to."""
    keys = files_at_ends(ask.catalogue, ask.place)
    yield from files(*keys, column="terminal_mm2", sign=+1, words="terminals of {}")(ask)
