"""Left of the busbars of a single-line diagram: arrays, alternator, chargers, each with its run."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from optimiser.builds import PanelArray
from optimiser.connections import CHARGERS, CONNECTIONS, SLOTS, SlotKind
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
    for slot in CHARGERS:
        yield from _charger(diagram, slot)


def _array(diagram: Diagram, array: PanelArray) -> tuple[Item, Item]:
    source = Part(symbols.photovoltaic, diagram.words.array(array), down=5.0)
    run = diagram.cable(f"solar_{array.name}", measured=True)
    return source, replace(run, under=diagram.words.strings(array))


def _charger(diagram: Diagram, slot: str) -> Iterator[Feeding]:
    """A charger with what feeds it: at low voltage a source of its own, at mains the box below."""
    fit = diagram.fit
    feed, out = (next(c for c in CONNECTIONS.values() if c.serves == slot and c.end == end) for end in (slot, "busbar"))
    arrays = [array for array in fit.build.arrays if array.regulator == slot]
    mains = feed.kind == "mains"
    if not (slot in fit.chargers or arrays or diagram.laid(out.name) or (diagram.laid(feed.name) and not mains)):
        return
    for array in arrays:
        yield Feeding((*_array(diagram, array), None, None), joins=True)
    drawn = symbols.MAINS_CHARGER if mains else symbols.REGULATOR
    body = Part(or_absent(drawn, fitted=slot in fit.chargers), diagram.words.charger(slot), least=_CHARGER_MM)
    source = None if mains else _source(diagram, SLOTS[slot])
    fed = None
    if not mains or diagram.laid(feed.name) or fit.case.brief.inlet:
        fed = diagram.cable(feed.name, dash="dashed" if mains else "solid", fuse_first=feed.fused)
    yield Feeding((source, fed, body, diagram.cable(out.name, measured=True)), solar_port=not mains)


def _source(diagram: Diagram, charger: SlotKind) -> Item:
    table = getattr(diagram.fit.case.brief, charger.source)
    if table is None:
        return None
    rating = f", {table.rating_a:g} A" if charger.source == "alternator" else ""
    return Part(symbols.generator, [charger.fed_by, f"{table.system_v} V{rating}", f"at {table.point}"], down=5.0)


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
