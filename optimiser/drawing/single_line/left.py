"""Left of the busbars of a single-line diagram: arrays, alternator, chargers, each with its run."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimiser.builds import PanelArray
from optimiser.connections import CHARGERS, CONNECTIONS, SLOTS, SlotKind
from optimiser.drawing.shapes import Point
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.rows import Cable, Diagram, Inside, Item, Part, or_absent
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
    words = diagram.words
    source = Part(symbols.photovoltaic, words.array(array), down=5.0)
    inside = [_way_in(diagram, array)]
    if array.roof_plane:
        inside.append(Inside(symbols.gland, words.gland(array), down=3.0))
    if array.fuse:
        inside.insert(1, Inside(symbols.fuse, words.string_fuse(array), down=3.0))
    inside.append(Inside(fills.disconnector, words.disconnector(array), 16.0, fills.HALF_MM))
    diagram.to_fill(fills.DISCONNECTOR)
    return source, diagram.cable(f"solar_{array.name}", before=inside)


def _way_in(diagram: Diagram, array: PanelArray) -> Inside:
    """What joins panels to the run: leads on the roof, a socket for what is carried out."""
    if not array.roof_plane:
        diagram.to_fill(fills.SOCKET)
        return _box(fills.plug, "socket")
    diagram.to_fill(fills.LEADS)
    if array.parallel == 1:
        return _box(fills.plug, "leads, plugs")
    diagram.to_fill(fills.BRANCHES)
    return _box(fills.plug, "leads, plugs,", "branches")


def _box(draw: symbols.Draw, *words: str) -> Inside:
    return Inside(draw, [*words, "to be filled in"], 12.0, fills.HALF_MM)


def _charger(diagram: Diagram, slot: str) -> Iterator[Feeding]:
    """A charger with what feeds it: at low voltage a source of its own, at mains the sheet of the mains."""
    fit = diagram.fit
    feed, out = (next(c for c in CONNECTIONS.values() if c.serves == slot and c.end == end) for end in (slot, "busbar"))
    arrays = [array for array in fit.build.arrays if array.regulator == slot]
    mains = feed.kind == "mains"
    if not (slot in fit.chargers or arrays or diagram.laid(out.name) or (diagram.laid(feed.name) and not mains)):
        return
    for array in arrays:
        yield Feeding((*_array(diagram, array), None, None), joins=True)
    words = diagram.words.charger(slot)
    if not mains and slot in fit.chargers:
        diagram.to_fill(fills.SIGNAL)
        words = [*words, f"signal wire: {fills.BLANK}"]
    body = Part(
        or_absent(symbols.MAINS_CHARGER if mains else symbols.REGULATOR, fitted=slot in fit.chargers),
        words, least=_CHARGER_MM,
    )  # fmt: skip
    source: tuple[Item, Item] = (None, Part(symbols.terminal, ["mains", "on its own sheet"], down=1.0, dash="dashed"))
    if not mains:
        source = _source(diagram, SLOTS[slot], feed.name, feed.fused)
    yield Feeding((*source, body, diagram.cable(out.name)), solar_port=not mains)


def _source(diagram: Diagram, charger: SlotKind, feed: str, fused: bool) -> tuple[Item, Item]:
    """The starter battery and the run from there; of what is towed also all of the towing vehicle up to its plug."""
    table = getattr(diagram.fit.case.brief, charger.source)
    run = diagram.cable(feed, fuse_first=fused)
    if table is None:
        return None, run
    starter = ["starter battery", f"{table.system_v} V", f"alternator {table.rating_a:g} A"]
    if not (diagram.fit.case.towed and charger.name in diagram.fit.chargers):
        return Part(symbols.battery, [*starter, f"at {table.point}"], down=4.0), run
    diagram.to_fill(fills.TOW)
    plug = fills.BLANK if table.plug_a is None else f"{table.plug_a:g}"
    inside = (
        Inside(symbols.battery, starter, down=4.0),
        Inside(fills.fuse, ["source fuse", f"{fills.BLANK} A", "at battery"], 14.0, fills.HALF_MM),
        Inside(fills.empty, ["its cable", f"{fills.BLANK} mm2", f"{fills.BLANK} m"], 14.0, fills.HALF_MM),
        Inside(fills.plug, ["tow plug", f"at {table.point}", f"type {fills.BLANK}", f"{plug} A"], 12.0, fills.HALF_MM),
    )
    return Cable(["towing vehicle, to be filled in"], inside), run


def columns(rows: Sequence[Feeding]) -> list[float]:
    """Width of each column on the left [mm]; a source with its run may divide the first two otherwise."""
    found = [max((item.width for row in rows if (item := row.items[k])), default=0.0) for k in range(4)]
    found[0] = max((item.width for row in rows if isinstance(item := row.items[0], Part)), default=0.0)
    both = [sum(item.width for item in row.items[:2] if item) for row in rows if isinstance(row.items[0], Cable)]
    found[1] = max([found[1], *(wide - found[0] for wide in both)])
    return found


def draw_feeding(
    diagram: Diagram, rows: Sequence[Feeding], columns: Sequence[float], levels: Sequence[float], bus_x: float
) -> None:
    """Draw the left."""
    coming: list[Point] = []  # wires of arrays on their way down to the next charger
    for row, y in zip(rows, levels, strict=True):
        widths = list(columns)
        if isinstance(row.items[0], Cable):
            widths[:2] = row.items[0].width, columns[0] + columns[1] - row.items[0].width
        drawn = diagram.row(row.items, widths, 0.0, y, None)
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
