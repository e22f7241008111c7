"""The cutting list, piece by piece: what each core is cut in, from terminal to terminal, and its ends."""

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.basis import money
from optimiser.basis.terminals import LUG_MM
from optimiser.connections import connection_of
from optimiser.fitted import Fit
from optimiser.fitted.drawn import Piece, pieces_of
from optimiser.fitted.links import cable_run
from optimiser.fitted.numbers import run_numbers
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.schedules.ends import ends_of, fuse_place, terminal
from optimiser.schedules.links import RUN, Link, link_list, link_note
from optimiser.schedules.run_lengths import bend_mm
from optimiser.schedules.table import PRACTICE, Column, Row, Schedule
from optimiser.units import at_least

_COLUMNS = (
    Column("piece"),
    Column("run"),
    Column("from"),
    Column("to"),
    Column("ways in order, or the bay it lies in"),
    Column("as drawn", "mm", "whole"),
    Column("for its ends", "mm", "whole"),
    Column("cut", "mm", "whole"),
    Column("spare", "mm", "whole"),
    Column("cable"),
    Column("section", "mm2", "number", None),
    Column("terminal at its start"),
    Column("terminal at its end"),
)
_MM_IN_M = 1000


class Cut(NamedTuple):
    """A piece with its mark, and what it goes from and to."""

    mark: str
    piece: Piece
    laid: RoutedRun
    start: str
    end: str


def cuts(fit: Fit) -> list[Cut]:
    """All pieces of a build, run by run; those of a core in their order from its start."""
    return [cut for laid in routed_runs(fit).values() for core in pieces_of(fit, laid) for cut in _of(fit, laid, core)]


def _of(fit: Fit, laid: RoutedRun, core: list[Piece]) -> Iterator[Cut]:
    start, end = (end.text for end in ends_of(fit, laid))
    if core[0].pole == "+" and connection_of(laid.run.name).guard == "feed":
        start = f"its fuse at {laid.run.start}"
    stops = [start, *(_between(fit, laid, piece.ends[1]) for piece in core[:-1]), end]
    for number, piece in enumerate(core, start=1):
        mark = f"{run_numbers(fit)[laid.run.name]}{piece.pole}{number if len(core) > 1 else ''}"
        yield Cut(mark, piece, laid, stops[number - 1], stops[number])


def _between(fit: Fit, laid: RoutedRun, slot: str) -> str:
    """Where a core is cut: at its holder, the isolator or a shunt."""
    at = fit.node(slot)
    return f"{fuse_place(fit, laid.run.name).partition(':')[0]}, {at}" if slot == "fuse_row" else f"{slot}, {at}"


def pieces(fit: Fit) -> Schedule:
    """A row for every piece, links of the bank last."""
    found, links = cuts(fit), link_list(fit)
    blank = dict.fromkeys((column.title for column in _COLUMNS), None)
    cut_mm = sum(cut.piece.cut_mm for cut in found) + sum(link.cut_mm for link in links)
    return Schedule(
        key="pieces",
        title="Cutting list, piece by piece",
        columns=_COLUMNS,
        rows=(*(_row(fit, cut) for cut in found), *(_link(fit, link) for link in links)),
        totals=tuple((blank | {"piece": "total", "cut": cut_mm}).values()),
        notes=tuple(_notes(fit)),
    )


def _row(fit: Fit, cut: Cut) -> Row:
    piece, cable = cut.piece, cut.laid.cable
    by = ", ".join(way.name for way in cut.laid.ways) if piece.ways_mm else ""
    by += "" if piece.surveyed or not by else "; a hole is not surveyed: measure before you cut"
    inside = next((leg.bay for leg in piece.legs), cut.laid.run.start)
    both = [terminal(fit, cut.laid, slot, piece.pole) for slot in piece.ends]
    return (
        cut.mark, cut.laid.run.name, cut.start, cut.end, by or f"in {inside}", piece.drawn_mm, piece.ends_mm,
        piece.cut_mm, piece.cut_mm - piece.needed_mm, cable.name, cable.section_mm2 or None, *both,
    )  # fmt: skip


def _link(fit: Fit, link: Link) -> Row:
    main = cable_run(fit)
    assert main
    return (
        link.mark, RUN, link.start, link.end, f"in {fit.node('bank')}", link.drawn_mm, link.ends_mm, link.cut_mm, 0,
        main.cable.name, main.cable.section_mm2, *link.terminals,
    )  # fmt: skip


def _warnings(fit: Fit) -> Iterator[str]:
    """Pieces too short and stiff to be made."""
    cores = [(cut.mark, cut.piece.cut_mm, cut.laid.cable) for cut in cuts(fit) if cut.laid.cable.paired]
    cores += [(link.mark, link.cut_mm, main.cable) for main in [cable_run(fit)] if main for link in link_list(fit)]
    stiff = [
        f"{mark} ({cut_mm} mm, least bend radius {at_least(bend_mm(fit, cable))})"
        for mark, cut_mm, cable in cores
        if cut_mm < 2 * (LUG_MM + bend_mm(fit, cable))
    ]
    if stiff:
        yield (
            f"WARNING: short for their bend, so lead them out along the board, or take a bar: {', '.join(stiff)} "
            f"({PRACTICE})."
        )


def _notes(fit: Fit) -> Iterator[str]:
    figure = fit.case.rules.figures["end_mm"]
    yield (
        "Each core is cut where its fuse, the isolator or its shunt stands: + and - are its poles, numbered from the "
        "start of the run. A mains or data run is one piece of cable with all its cores."
    )
    yield (
        "as drawn: ways, and square along the faces from edge to edge of what the piece joins, or to the middle of a "
        f"hole. for its ends: {figure.value:g} mm each, in the lug and round to the terminal ({figure.state}). spare: "
        "what the core has beyond that, shared out alike. Where a hole is not surveyed nothing is drawn to it, and all "
        "that is spare goes there; else none goes to what only the main fuse guards. Lay a string along each before "
        "you cut."
    )
    yield (
        "Each circuit has pieces of its own from the busbars to its fuse and to its shunt: nothing is looped from "
        f"holder to holder ({PRACTICE})."
    )
    yield from _warnings(fit)
    if any(cut.laid.fuse and connection_of(cut.laid.run.name).guard in ("feed", "panel") for cut in cuts(fit)):
        yield "What lies before a fuse at its feed, or in the 12 V panel, is in no length or price: keep it short."
    links = link_list(fit)
    if links:
        yield link_note(fit)
    yield f"Ends to make: {2 * (len(cuts(fit)) + len(links))}, two of each piece."
    total_m = sum(cut.piece.cut_mm for cut in cuts(fit)) / _MM_IN_M
    laid_m = sum(laid.total_steps * money.STEP_MM for laid in routed_runs(fit).values()) / _MM_IN_M
    beside = " beside the links" if links else ""
    yield f"All pieces together{beside}: {total_m:.1f} m of core or cable; the runs are cut to {laid_m:.1f} m."
