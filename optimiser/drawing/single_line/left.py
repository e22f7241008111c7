"""Left of the busbars of a single-line diagram: arrays, alternator, chargers, each with its run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from optimiser.builds import PanelArray
from optimiser.drawing.shapes import Point
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.mains import inlet_width
from optimiser.drawing.single_line.rows import Cable, Diagram, Item, Part, or_absent
from optimiser.drawing.single_line.symbols import Symbol

_JOIN_MM = 10.0  # left of a charger's middle: where arrays in rows above come down
_CHARGER_MM = 26.0  # of a charger's column, at least


@dataclass(frozen=True)
class Feeding:
    """A row on the left: source, its run, charger, its run. ``joins``: the array comes down to the next charger."""

    items: tuple[Item, Item, Item, Item]
    joins: bool = False
    solar_port: bool = False  # arrays come down to an input of their own


def feeding(diagram: Diagram) -> Iterator[Feeding]:
    fit, words = diagram.fit, diagram.words
    arrays = fit.build.arrays
    slots = dict.fromkeys([*fit.regulators, *(a.regulator for a in arrays)])
    for slot in (slot for slot in slots if slot != "alternator_charger"):
        ours = [array for array in arrays if array.regulator == slot]
        for array in ours[:-1]:
            yield Feeding((*_array(diagram, array), None, None), joins=True)
        source = _array(diagram, ours[-1]) if ours else (None, None)
        body = Part(
            or_absent(symbols.REGULATOR, fitted=slot in fit.regulators), words.regulator(slot), least=_CHARGER_MM
        )
        yield Feeding((*source, body, diagram.cable(slot)))
    yield from _alternator(diagram)
    if fit.mains_charger or diagram.laid("mains_charger"):
        body = Part(
            or_absent(symbols.MAINS_CHARGER, fitted=bool(fit.mains_charger)), words.mains_charger(), least=_CHARGER_MM
        )
        fed = diagram.cable("mains_feed", dash="dashed") if diagram.laid("mains_feed") or fit.case.brief.inlet else None
        yield Feeding((None, fed, body, diagram.cable("mains_charger", measured=True)))


def _array(diagram: Diagram, array: PanelArray) -> tuple[Item, Item]:
    source = Part(symbols.photovoltaic, diagram.words.array(array), down=5.0)
    run = diagram.cable(f"solar_{array.name}", measured=True)
    return source, replace(run, under=diagram.words.strings(array))


def _alternator(diagram: Diagram) -> Iterator[Feeding]:
    fit, alternator = diagram.fit, diagram.fit.case.brief.alternator
    arrays = [array for array in fit.build.arrays if array.regulator == "alternator_charger"]
    there = fit.alternator_charger or arrays
    if not (there or diagram.laid("alternator") or diagram.laid("alternator_feed")):
        return
    for array in arrays:
        yield Feeding((*_array(diagram, array), None, None), joins=True)
    source = None
    if alternator:
        lines = ["alternator", f"{alternator.system_v} V, {alternator.rating_a:g} A", f"at {alternator.point}"]
        source = Part(symbols.generator, lines, down=5.0)
    body = Part(
        or_absent(symbols.REGULATOR, fitted=bool(fit.alternator_charger)),
        diagram.words.alternator_charger(), least=_CHARGER_MM,
    )  # fmt: skip
    feed = diagram.cable("alternator_feed", fuse_first=True)
    yield Feeding((source, feed, body, diagram.cable("alternator", measured=True)), solar_port=True)


def columns(diagram: Diagram, rows: Sequence[Feeding]) -> list[float]:
    """Width of each column on the left [mm]."""
    found = [max((item.width for row in rows if (item := row.items[k])), default=0.0) for k in range(4)]
    if diagram.laid("mains_feed"):  # leads down into the box, which begins right of the inlet
        found[0] = max(found[0], inlet_width(diagram) + 6)
    return found


def draw_feeding(
    diagram: Diagram, rows: Sequence[Feeding], columns: Sequence[float], levels: Sequence[float], bus_x: float
) -> Point | None:
    """Draw the left; gives where the mains charger's feed starts down."""
    coming: list[Point] = []  # wires of arrays on their way down to the next charger
    feed = None
    for row, y in zip(rows, levels, strict=True):
        start = None
        if isinstance(row.items[1], Cable) and row.items[1].dash == "dashed" and row.items[1].laid:
            start = feed = (columns[0], y)
        drawn = diagram.row(row.items, columns, 0.0, y, start)
        if row.joins and drawn.end:
            coming.append(drawn.end)
        elif not row.joins:
            charger = drawn.placed[2]
            if charger and coming:
                _join(diagram, coming, charger, port=row.solar_port)
            coming = []
            if drawn.end and isinstance(row.items[3], Cable) and row.items[3].laid:
                diagram.wire(drawn.end, (bus_x, y))
                diagram.dot((bus_x, y))
    return feed


def _join(diagram: Diagram, coming: Sequence[Point], charger: Symbol, *, port: bool) -> None:
    """Bring arrays' wires down to a charger: to its solar input, or onto the wire of its own array."""
    x = charger.box.middle[0] - _JOIN_MM
    end = charger["left_upper"] if port else (x, charger["left"][1])
    first, *others = coming
    diagram.wire(first, (x, first[1]), (x, end[1]), *([end] if port else []))
    for other in others:
        diagram.wire(other, (x, other[1]))
        diagram.dot((x, other[1]))
    if not port:
        diagram.dot(end)
