"""Right of the busbars of a single-line diagram: bank, loads, inverter, and what is not joined to them."""

from collections.abc import Iterable, Iterator, Sequence

from optimiser.drawing.shapes import TEXT_MM, Dash, Point
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.rows import Cable, Diagram, Gap, Inside, Item, Part, Row, high, or_absent, widest

FIRST_ROWS = 2  # way to the bank, and loads
_MAINS = ("mains: on its own sheet",)
_TRANSFER_DOWN_MM = 14.0  # of an inverter-charger below its wire
_INVERTERS = ("inverter", "inverter_out", "inverter_in", "switch")
_DASHES: dict[str, Dash] = {"dc": "solid", "solar": "solid", "mains": "dashed", "data": "dotted"}


def fed(diagram: Diagram) -> Iterator[list[Item]]:
    """Rows of the right: the way to the bank first, the inverter's, if any, last."""
    fit, words, slot = diagram.fit, diagram.words, diagram.fit.build.slot
    yield [
        *_to_busbar(diagram),
        Part(or_absent(symbols.isolator, fitted=bool(slot("isolator"))), words.isolator(), down=1.6),
        diagram.cable("main", fused=False),
    ]
    at = f"panel at {fit.case.brief.dc_panel_point},"
    if fit.dc_panel:
        taken = f"{fit.case.brief.panel_ways} of {fit.dc_panel.ways} ways taken"
        loads = Part(symbols.panel, ["12 V loads", fit.dc_panel.name, at, taken], down=fills.PANEL_MM)
    else:
        diagram.to_fill(fills.DC_PANEL)
        words_of_it = ["12 V loads", at, f"fuses, circuits: {fills.BLANK}"]
        loads = Part(fills.panel, words_of_it, down=fills.PANEL_MM)
    if fit.system_v == 12:
        yield [diagram.cable("dc_loads", fuse_first=True), loads]
    else:
        body = Part(or_absent(symbols.REGULATOR, fitted=bool(fit.step_down)), words.step_down())
        yield [diagram.cable("step_down", fuse_first=True), body, diagram.cable("dc_loads"), loads]
    if _has_inverter(diagram):
        yield _inverter(diagram)


def _to_busbar(diagram: Diagram) -> list[Item]:
    """From the bar of the fuse row to the positive busbar; nothing where no circuit has its fuse in the row."""
    if not diagram.fit.row_runs:
        return []
    tails = Inside(symbols.link, diagram.words.tails(), 16.0, fills.HALF_MM)
    draw = or_absent(symbols.busbar, fitted=bool(diagram.fit.build.slot("busbar")))
    return [Cable([], (tails,)), Part(draw, diagram.words.busbar(), down=5.0)]


def loose(diagram: Diagram) -> Iterator[list[Item]]:
    """What does not join the busbars: runs from point to point, and what the build has beyond what it must."""
    brief = diagram.fit.case.brief
    elsewhere = {*diagram.drawn, "display", *(_INVERTERS if _has_inverter(diagram) else ())}
    elsewhere |= {"mains_feed", "inverter_in", "inverter_out", *(("mains_inlet",) if brief.inlet else ())}
    elsewhere |= {f"outlet_{circuit.name}" for circuit in brief.circuits}
    entries = {f"pass_{wanted.name}": wanted.name for wanted in brief.pass_throughs}
    for name in dict.fromkeys([*diagram.words.laid, *entries]):
        if name not in elsewhere:
            laid = diagram.words.laid.get(name)
            kind = laid.cable.kind if laid else "dc"
            entry = diagram.words.pass_through(entries[name]) if name in entries else _called_for(diagram, name)
            start, end = (laid.run.start, laid.run.end) if laid else ("", "")
            at_start = name in entries and start in diagram.words.entry_bays(entries[name])
            yield [
                Part(symbols.terminal, [start or "start", *(entry if at_start else [])], down=1.0),
                diagram.cable(name, dash=_DASHES[kind]),
                Part(symbols.terminal, [end or "end", *([] if at_start else entry)], down=1.0),
            ]


def _called_for(diagram: Diagram, name: str) -> list[str]:
    """What a 12 V circuit feeds; of other runs, that the build has no need of them."""
    circuits = {f"circuit_{circuit.name}": circuit.name for circuit in diagram.fit.case.brief.dc_circuits}
    if name not in circuits:
        return ["not called for"]
    return [load.name for load in diagram.fit.case.loads if load.circuit == circuits[name]]


def filled(rows: Sequence[list[Item]], loose: Iterable[list[Item]], room: float) -> list[list[Item]]:
    """The rows, with what is loose at the end of those that have ``room`` [mm] or in rows before the inverter's.

    None at the end of the first: from there the main run's wire goes on to the bank.
    """
    found, room = list(rows), max([room, *map(length, rows)])
    fixed = len(found) - FIRST_ROWS  # the inverter's row, which holds no more
    for items in loose:
        places = [k for k in range(1, len(found) - fixed) if length(found[k]) + length([Gap(), *items]) <= room]
        if places:
            found[places[0]] = [*found[places[0]], Gap(), *items]
        else:
            found.insert(len(found) - fixed, items)
    return found


def aside(
    left: Sequence[Sequence[Item]], right: list[list[Item]], fixed: int, room: float, low: float
) -> list[list[Item]]:
    """Takes loose rows from the right, for below the left's rows, as long as all is the lower for it.

    ``fixed``: how many of the right's rows are not loose; ``room``: left of the busbars; ``low``:
    of what stands below the right's rows [mm].
    """
    taken: list[list[Item]] = []
    for row in reversed(right[FIRST_ROWS : len(right) - (fixed - FIRST_ROWS)]):
        if length(row) > room or high([*left, *taken, row]) >= high(right) + low:
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
    """The inverter's row; the switch's wire lies above the inverter's, where its mains goes below it."""
    fit, words = diagram.fit, diagram.words
    transfers = bool(fit.inverter and fit.inverter.transfers)
    draw = symbols.inverter_charger if transfers else symbols.INVERTER
    fitted = bool(fit.build.slot("switch"))
    return [
        diagram.cable("inverter", fuse_first=True),
        Part(
            or_absent(draw, fitted=bool(fit.inverter)),
            words.inverter(),
            up=17.0,
            down=_TRANSFER_DOWN_MM if transfers else 6.0,
        ),
        diagram.cable("switch", dash="dotted", least=widest(_MAINS) + 6.0),
        Part(or_absent(symbols.switch, fitted=fitted), words.slot("switch"), down=2.0),
    ]


def draw_fed(diagram: Diagram, rows: Sequence[Sequence[Item]], levels: Sequence[float], x: float) -> Point | None:
    """Draw the right; gives where the main run ends, if the build has one."""
    main: Point | None = None
    for k, (row, y) in enumerate(zip(rows, levels, strict=True)):
        widths, joined = [item.width if item else 0.0 for item in row], k < FIRST_ROWS
        if k == len(rows) - 1 and _has_inverter(diagram):
            joined = diagram.laid("inverter")
            drawn = diagram.row(row[:2], widths[:2], x, y, (x, y) if joined else None)
            _mains(diagram, drawn, x + sum(widths[:2]))
            _switch(diagram, drawn, row[2:], widths[2:], x + sum(widths[:2]))
        else:
            joined = joined and not (isinstance(row[0], Cable) and not row[0].laid)
            drawn = diagram.row(row, widths, x, y, (x, y) if joined else None)
            main = drawn.end if k == 0 else main
        if joined:
            diagram.dot((x, y))
    return main


def _mains(diagram: Diagram, drawn: Row, x: float) -> None:
    """Where the inverter's mains goes on."""
    inverter = drawn.placed[1]
    if inverter and diagram.fit.inverter:
        start = inverter["out"]
        ring = diagram.place(symbols.terminal, x + 2, start[1])
        diagram.wire(start, ring["left"], dash="dashed")
        diagram.stack(_MAINS, x + 5, start[1] + TEXT_MM / 2, start=True, head=False)


def _switch(diagram: Diagram, drawn: Row, items: Sequence[Item], widths: Sequence[float], x: float) -> None:
    inverter = drawn.placed[1]
    assert inverter is not None
    start = inverter["switch"] if diagram.laid("switch") else None
    diagram.row(items, widths, x, inverter["switch"][1], start)
