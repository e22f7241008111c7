"""Right of the busbars of a single-line diagram: bank, loads, inverter, and what is not joined to them."""

from collections.abc import Iterable, Iterator, Sequence

from optimiser.drawing.shapes import Dash, Point
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.rows import Cable, Diagram, Gap, Item, Part, Row, high, or_absent, widest

_FIRST_ROWS = 2  # bank and loads
_SIDE_MM = 6.0  # beside the inverter, for its mains
_TRANSFER_DOWN_MM = 14.0  # of an inverter-charger below its wire
_INVERTERS = ("inverter", "inverter_out", "inverter_in", "switch")
_DASHES: dict[str, Dash] = {"dc": "solid", "solar": "solid", "mains": "dashed", "data": "dotted"}


def fed(diagram: Diagram) -> Iterator[list[Item]]:
    """Rows of the right; the inverter's, if any, is last."""
    fit, words, slot = diagram.fit, diagram.words, diagram.fit.build.slot
    yield [
        Part(or_absent(symbols.isolator, fitted=bool(slot("isolator"))), words.isolator(), down=1.6),
        diagram.cable("main", fused=False),
        Part(or_absent(symbols.fuse, fitted=diagram.has_fuse("main")), words.main_fuse(), down=1.5),
        Part(symbols.fused_battery if fit.build.bank.fuse else symbols.battery, words.bank(), down=4.0),
    ]
    panel = ["12 V loads", f"panel at {fit.case.brief.dc_panel_point},", "its fuses not in the build"]
    loads = Part(symbols.panel, panel, down=4.0)
    if fit.system_v == 12:
        yield [diagram.cable("dc_loads", measured=True, fuse_first=True), loads]
    else:
        body = Part(or_absent(symbols.REGULATOR, fitted=bool(fit.step_down)), words.step_down())
        yield [diagram.cable("step_down"), body, diagram.cable("dc_loads", measured=True), loads]
    if _has_inverter(diagram):
        yield _inverter(diagram)


def loose(diagram: Diagram) -> Iterator[list[Item]]:
    """What does not join the busbars: measuring and display, then runs from point to point."""
    words, slot = diagram.words, diagram.fit.build.slot
    yield [
        Part(or_absent(symbols.shunts, fitted=bool(slot("shunt_row"))), words.shunt_row(), down=4.0),
        diagram.cable("display", dash="dotted"),
        Part(or_absent(symbols.display, fitted=bool(slot("display"))), words.display(), down=4.0),
    ]
    yield from _others(diagram)


def filled(rows: Sequence[list[Item]], loose: Iterable[list[Item]], room: float) -> list[list[Item]]:
    """The rows, with what is loose at the end of those that have ``room`` [mm] or in rows before the inverter's."""
    found, room = list(rows), max([room, *map(length, rows)])
    fixed = len(found) - _FIRST_ROWS  # the inverter's row, which holds no more
    for items in loose:
        places = [k for k in range(len(found) - fixed) if length(found[k]) + length([Gap(), *items]) <= room]
        if places:
            found[places[0]] = [*found[places[0]], Gap(), *items]
        else:
            found.insert(len(found) - fixed, items)
    return found


def aside(left: Sequence[Sequence[Item]], right: list[list[Item]], fixed: int, room: float) -> list[list[Item]]:
    """Takes loose rows from the right, for below the left's rows, as long as both sides are the lower for it.

    ``fixed``: how many of the right's rows are not loose; ``room``: from the wire down on the left to the busbars [mm].
    """
    taken: list[list[Item]] = []
    for row in reversed(right[_FIRST_ROWS : len(right) - (fixed - _FIRST_ROWS)]):
        rest = [other for other in right if other is not row]
        if length(row) > room or high([*left, *taken, row]) > high(rest):
            break
        right.remove(row)
        taken.append(row)
    return taken


def length(items: Sequence[Item]) -> float:
    """What a row needs along its wire [mm]."""
    return sum(item.width for item in items if item)


def _has_inverter(diagram: Diagram) -> bool:
    return bool(diagram.fit.inverter) or any(map(diagram.laid, _INVERTERS))


def _inverter(diagram: Diagram) -> list[Item]:
    """The inverter's row; the switch's wire lies above the inverter's."""
    fit, words = diagram.fit, diagram.words
    transfers = bool(fit.inverter and fit.inverter.transfers)
    draw = symbols.inverter_charger if transfers else symbols.INVERTER
    down = _TRANSFER_DOWN_MM if transfers else 6.0
    beside = max(widest(words.run(name)) for name in ("inverter_in", "inverter_out")) if transfers else 0.0
    return [
        diagram.cable("inverter", measured=True, fuse_first=True),
        Part(or_absent(draw, fitted=bool(fit.inverter)), words.inverter(), _SIDE_MM, beside, up=17.0, down=down),
        diagram.cable("switch", dash="dotted"),
        Part(or_absent(symbols.switch, fitted=bool(fit.build.slot("switch"))), words.slot("switch"), down=2.0),
    ]


def _others(diagram: Diagram) -> Iterator[list[Item]]:
    """Runs from point to point: pass-throughs, and what the build has beyond what it must."""
    brief = diagram.fit.case.brief
    elsewhere = {*diagram.drawn, *(_INVERTERS if _has_inverter(diagram) else ())}
    elsewhere |= {"mains_inlet"} if brief.inlet else set()
    entries = {f"pass_{wanted.name}": wanted.name for wanted in brief.pass_throughs}
    for name in dict.fromkeys([*diagram.words.laid, *entries]):
        if name not in elsewhere:
            laid = diagram.words.laid.get(name)
            kind = laid.cable.kind if laid else "dc"
            entry = diagram.words.pass_through(entries[name]) if name in entries else ["not called for"]
            start, end = (laid.run.start, laid.run.end) if laid else ("", "")
            at_start = name in entries and start in diagram.words.entry_bays(entries[name])
            yield [
                Part(symbols.terminal, [start or "start", *(entry if at_start else [])], down=1.0),
                diagram.cable(name, dash=_DASHES[kind]),
                Part(symbols.terminal, [end or "end", *([] if at_start else entry)], down=1.0),
            ]


def draw_fed(
    diagram: Diagram, rows: Sequence[Sequence[Item]], levels: Sequence[float], x: float
) -> tuple[Point | None, Point | None]:
    """Draw the right; gives where the mains runs into and out of the inverter start down."""
    ends: tuple[Point | None, Point | None] = None, None
    for k, (row, y) in enumerate(zip(rows, levels, strict=True)):
        widths, joined = [item.width if item else 0.0 for item in row], k < _FIRST_ROWS
        if k == len(rows) - 1 and _has_inverter(diagram):
            joined = diagram.laid("inverter")
            drawn = diagram.row(row[:2], widths[:2], x, y, (x, y) if joined else None)
            ends = _ends(diagram, drawn, x + widths[0], widths[1])
            _switch(diagram, drawn, row[2:], widths[2:], x + sum(widths[:2]))
        else:
            joined = joined and not (isinstance(row[0], Cable) and not row[0].laid)
            diagram.row(row, widths, x, y, (x, y) if joined else None)
        if joined:
            diagram.dot((x, y))
    return ends


def _ends(diagram: Diagram, drawn: Row, x: float, width: float) -> tuple[Point | None, Point | None]:
    """Wires of the inverter's mains to beside its texts, on the left what comes in, on the right what goes out."""
    inverter = drawn.placed[1]
    assert inverter is not None
    back, out = None, None
    if diagram.laid("inverter_in"):
        back = x + 2, inverter["in"][1]
        diagram.wire(back, inverter["in"], dash="dashed")
    if diagram.laid("inverter_out"):
        out = x + width - 2, inverter["out"][1]
        diagram.wire(inverter["out"], out, dash="dashed")
    return back, out


def _switch(diagram: Diagram, drawn: Row, items: Sequence[Item], widths: Sequence[float], x: float) -> None:
    inverter = drawn.placed[1]
    assert inverter is not None
    start = inverter["switch"] if diagram.laid("switch") else None
    diagram.row(items, widths, x, inverter["switch"][1], start)
