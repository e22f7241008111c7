"""What stands in a body or beside it: its mark and slot, its size, and a small cross in its middle."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from optimiser.drawing.bays.standing_bodies import MarkedBody
from optimiser.drawing.shapes import TEXT_MM, Box, Text, text_mm
from optimiser.drawing.sheet import Sheet, wrapped

TERMINALS_MM = 1.2
"""Height of the strip that shows terminals, on paper."""

_CROSS_MM = 1.0  # from its middle to its ends
_CROSS_SHARE = 0.15  # of the shorter side of a body, at most
_CLEAR_MM = 0.4  # between a cross and a text
_ROW_MM = 1.3 * TEXT_MM  # from line to line of a label
_EDGE_MM = 0.5  # left between a text and the line round it


def cross_in(view: Sheet, box: Box) -> Box:
    """What the cross in the middle of a body covers."""
    return Box(*box.middle, *box.middle).grown(min(_CROSS_MM * view.scale, _CROSS_SHARE * min(box.size)))


def draw_cross(view: Sheet, box: Box) -> None:
    """A cross in the middle of a body."""
    cross, (x, y) = cross_in(view, box), box.middle
    view.line((cross.x0, y), (cross.x1, y), layer="symbol", weight=0.18)
    view.line((x, cross.y0), (x, cross.y1), layer="symbol", weight=0.18)


def label_bodies(view: Sheet, bodies: Sequence[MarkedBody], rather: Sequence[Box]) -> None:
    """Mark, slot and size within each, with more if there is room; else its mark alone, and all of it by a leader."""
    beside = []
    for body in bodies:
        lettered = [(f"{body.mark}{letter}", cell) for letter, cell in body.cells if letter]
        found = next(_in_row(view, body, lettered) if lettered else _in_body(view, body), None)
        view.shapes += found or []
        if found is None:
            beside.append(body)
            for mark, room in lettered or [(body.mark, _room(view, body))]:
                tries = (mark, mark.removeprefix(body.mark)) if lettered else (mark,)
                view.shapes += next((texts for it in tries for texts in _fitting(view, body, [it], room)), [])
    for body in beside:  # once all that stands within is there, for leaders to keep off
        box, (x, y) = body.box, body.box.middle
        sides = ((box.x1, y), (x, box.y0), (box.x0, y))
        told = f"{body.mark} {body.name}, {body.size}"
        view.label(told, (x, box.y1), bold=True, or_at=sides, rather=rather)


def _in_body(view: Sheet, body: MarkedBody) -> Iterator[list[Text]]:
    room, head = _room(view, body), f"{body.mark} {body.name}"
    for upright in (False, True):
        wide = room.size[1 if upright else 0] / view.scale - 2 * _EDGE_MM
        named = ([head], [body.mark, *wrapped(body.name, wide, bold=True)])
        yield from _fitting(view, body, body.lines, room, upright=upright)
        for manner in ([body.manner], []) if body.manner else ([],):
            for size in _sizes(body):
                for name in named:
                    yield from _fitting(view, body, [*name, *size, *manner], room, upright=upright)


def _in_row(view: Sheet, body: MarkedBody, lettered: Sequence[tuple[str, Box]]) -> Iterator[list[Text]]:
    """The mark and letter of each member in it, and the row's name and size in the first that has room."""
    for number, (mark, cell) in enumerate(lettered):
        wide = cell.size[0] / view.scale - 2 * _EDGE_MM
        name = wrapped(body.name, wide, bold=True)
        rest = (*lettered[:number], *lettered[number + 1 :])
        others = [next(_fitting(view, body, [other], box), []) for other, box in rest]
        if all(others):
            for size in _sizes(body):
                for lines in ([f"{mark} {body.name}", *size], [mark, *name, *size]):
                    for texts in _fitting(view, body, lines, cell):
                        yield [*texts, *(text for found in others for text in found)]


def _sizes(body: MarkedBody) -> tuple[list[str], list[str]]:
    """Its size in a line, and in two."""
    across, depth = body.size.rsplit(" d ", 1)
    return [body.size], [across, f"d {depth}"]


def _fitting(
    view: Sheet, body: MarkedBody, lines: Sequence[str], room: Box, *, upright: bool = False
) -> Iterator[list[Text]]:
    """Lines in a room, the first one bold, clear of the body's cross and of all texts that are there."""
    cross, taken = cross_in(view, body.box).grown(_CLEAR_MM * view.scale), [other.box for other in view.texts()]
    for texts in _ways_to_stand(view, lines, room, cross, upright=upright):
        boxes = [text.box(view.scale) for text in texts]
        if not any(box.meets(other) for box in boxes for other in (*taken, cross)):
            yield texts


def _ways_to_stand(view: Sheet, lines: Sequence[str], room: Box, cross: Box, *, upright: bool) -> Iterator[list[Text]]:
    """In the middle; half of them before the cross and half behind it; all before, all behind. What fits."""
    if upright:  # lines follow each other to the right
        ends = replace(room, x1=min(room.x1, cross.x0)), replace(room, x0=max(room.x0, cross.x1))
    else:
        ends = replace(room, y0=max(room.y0, cross.y1)), replace(room, y1=min(room.y1, cross.y0))
    first, last = ends
    half = (len(lines) + 1) // 2
    yield from _stacked(view, lines, room, upright=upright)
    if len(lines) > 1:
        for upper in _stacked(view, lines[:half], first, upright=upright, to=1):
            for lower in _stacked(view, lines[half:], last, upright=upright, to=-1, bold=False):
                yield [*upper, *lower]
    for part in ends:
        yield from _stacked(view, lines, part, upright=upright)


def _stacked(
    view: Sheet, lines: Sequence[str], room: Box, *, upright: bool, to: int = 0, bold: bool = True
) -> Iterator[list[Text]]:
    """Lines in the middle of a room, or at its far end (1) or near one (-1); nothing if they do not fit."""
    heavy = [bold and number == 0 for number in range(len(lines))]
    wide = max(text_mm(line, TEXT_MM, bold=it) for line, it in zip(lines, heavy, strict=True)) + 2 * _EDGE_MM
    high = TEXT_MM + _ROW_MM * (len(lines) - 1) + 2 * _EDGE_MM * (len(lines) > 1 or to != 0)
    long, across = room.size[::-1] if upright else room.size
    if wide * view.scale > long or high * view.scale > across:
        return
    (x, y), texts = room.middle, []
    slack = to * (across - (high - 2 * _EDGE_MM * (to != 0)) * view.scale) / 2
    for number, (line, it) in enumerate(zip(lines, heavy, strict=True)):
        off = ((len(lines) - 1) / 2 - number) * _ROW_MM * view.scale - slack
        at = (x - off, y) if upright else (x, y + off)
        texts.append(Text(text=line, at=at, upright=upright, bold=it))
    yield texts


def _room(view: Sheet, body: MarkedBody) -> Box:
    """Where its label may stand: off the lines and the terminals drawn in it."""
    box = body.cells[0][1] if body.cells else body.box
    strip = (TERMINALS_MM + _EDGE_MM) * view.scale
    return Box(box.x0, box.y0 + strip, box.x1, box.y1) if body.terminals_below else box
