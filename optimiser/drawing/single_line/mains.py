"""The mains of a single-line diagram: inlet, mains box with a side for hook-up and one for the inverter, circuits."""

from collections.abc import Sequence

from optimiser.drawing.shapes import TEXT_MM, Box, Point, text_mm
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.rows import Diagram, Item, Part, widest

BAND_MM = 15.0  # between the rows above and the box, for the runs that lead down
_BAR_MM = 5.5  # of a side's bar below the upper edge of the box
_DEEP_MM = 25.0  # the box
_BREAKER_MM = 10.0  # of a breaker's middle below the bar
_SIDE_GAP_MM = 6.0


def inlet_width(diagram: Diagram) -> float:
    """How far right of the drawing's left edge the box begins [mm]."""
    return sum(item.width for item in _inlet(diagram) if item)


def _inlet(diagram: Diagram) -> list[Item]:
    """The inlet and its run; nothing if the brief has none."""
    inlet = diagram.fit.case.brief.inlet
    if not inlet:
        return []
    mains_v = diagram.fit.case.brief.place.mains_v
    words = ["inlet", f"{inlet.rating_a:g} A, {mains_v:g} V", f"at {inlet.point}"]
    return [Part(symbols.inlet, words, down=3.0), diagram.cable("mains_inlet", dash="dashed")]


def draw_mains(
    diagram: Diagram, *, left: float, top: float, feed: Point | None, back: Point | None, out: Point | None
) -> None:
    """Draw it below ``top``; ``feed``, ``back`` and ``out`` are where the runs to the mains charger, to the inverter
    and from it start down."""
    brief, fit = diagram.fit.case.brief, diagram.fit
    if not (fit.build.slot("mains_box") or brief.inlet or brief.circuits):
        return
    upper = top - BAND_MM
    bar, lower = upper - _BAR_MM, upper - _DEEP_MM
    edge = _entering(diagram, left, bar, out)
    hook_ups = [x for x in (_down(diagram, "mains_feed", feed, bar), _down(diagram, "inverter_in", back, bar)) if x]
    first = end = edge
    if brief.inlet or hook_ups or fit.case.circuits_from("hook_up"):
        first = end = _side(diagram, "hook_up", (edge if brief.inlet else edge + 3, bar), lower, hook_ups)
    start = max(end + _SIDE_GAP_MM, out[0] + 4 - _wide(diagram, "inverter") if out else 0.0)
    if out or fit.case.circuits_from("inverter"):
        joined = [max(start + 2, out[0])] if out else []
        if out:
            _labelled(diagram, "inverter_out", out)
            jog = upper + 3  # where hook-up's circuits need more room than there is left of the inverter
            diagram.wire(out, (out[0], jog), (joined[0], jog), (joined[0], bar), dash="dashed")
        end = _side(diagram, "inverter", (start, bar), lower, joined)
    box = Box(edge, lower, end + 4, upper)
    diagram.sheet.rect(box, layer="outline", dash="chain", weight=0.25)
    words = diagram.words.mains_box()
    between = end > first and start - first > widest([*words, *_EARTH]) + 16
    diagram.stack(words, (first if between else box.x1) + 4, upper - (4 if between else 0), start=True)
    _earth(diagram, *(((first + 8, lower), 0.0) if between else ((box.x1, lower + 3), 4.0)))


def _entering(diagram: Diagram, left: float, bar: float, out: Point | None) -> float:
    """Draw the inlet and its run; gives the left edge of the box [mm], which lies under the inverter without inlet."""
    items = _inlet(diagram)
    if not items:
        sides = sum(_wide(diagram, source) + _SIDE_GAP_MM for source in _SIDES)
        return max(left, out[0] + 4 - sides) if out else left
    widths = [item.width for item in items if item]
    drawn = diagram.row(items, widths, left, bar, None)
    edge = left + sum(widths)
    if drawn.end:
        diagram.wire(drawn.end, (edge, bar), dash="dashed")
    return edge


def _labelled(diagram: Diagram, name: str, start: Point) -> None:
    """A run that leads down, its texts to the right of it."""
    diagram.drawn.add(name)
    diagram.stack(diagram.words.run(name), start[0] + 1.5, diagram.band - 1.5, start=True)


def _down(diagram: Diagram, name: str, start: Point | None, bar: float) -> float | None:
    """A run straight down onto the hook-up side; gives where it joins it."""
    if start is None:
        return None
    if name != "mains_feed":  # whose texts stand on its row
        _labelled(diagram, name, start)
    diagram.wire(start, (start[0], bar), dash="dashed")
    return start[0]


_SIDES = {"hook_up": "hook-up side", "inverter": "inverter side"}


def _circuits(diagram: Diagram, source: str) -> dict[str, float]:
    """What is written at each circuit of a side, and how wide it is [mm]."""
    words = [f"circuit {circuit}" for circuit in diagram.fit.case.circuits_from(source)]
    return {word: max(widest([word]), 12.0) + 4 for word in words}


def _wide(diagram: Diagram, source: str) -> float:
    """How long a side's bar is for its circuits [mm]; 0 if it has none."""
    circuits = _circuits(diagram, source)
    return text_mm(_SIDES[source], TEXT_MM, bold=True) + 4 + sum(circuits.values()) if circuits else 0.0


def _side(diagram: Diagram, source: str, start: Point, lower: float, joined: Sequence[float]) -> float:
    """A side of the box: its bar, what joins it, and its circuits below; gives the bar's right end."""
    x, bar = start
    diagram.stack([_SIDES[source]], x + 2, bar - 1.5, start=True)
    at = x + text_mm(_SIDES[source], TEXT_MM, bold=True) + 4
    drops = []
    for word, wide in _circuits(diagram, source).items():
        drops.append(at + wide / 2)
        _circuit(diagram, word, (drops[-1], bar), lower)
        at += wide
    end = max([at, *(j + 4 for j in joined)])
    diagram.sheet.line((x, bar), (end, bar), layer="mains", weight=0.7)
    for joint in (*joined, *drops):
        diagram.dot((joint, bar))
    return end


def _circuit(diagram: Diagram, word: str, at: Point, lower: float) -> None:
    x, bar = at
    breaker = diagram.place(symbols.residual_breaker, x, bar - _BREAKER_MM)
    diagram.wire(at, breaker["top"], dash="dashed")
    head = diagram.place(symbols.outgoing, x, lower - 4)
    diagram.wire(breaker["bottom"], head["top"], dash="dashed")
    diagram.stack([word], x, lower - 7)


_EARTH = ("protective conductor, bond to the chassis", "by a licensed electrician, not in the build")


def _earth(diagram: Diagram, edge: Point, aside: float) -> None:
    """The protective conductors' bond, which no build holds, from the box's edge and so far aside."""
    x, y = edge
    earth = diagram.place(symbols.protective_earth, x + aside, y - 7)
    start = [(x, y)] if aside else []
    diagram.sheet.line(*start, (x + aside, y), earth["top"], layer="mains", dash="chain", weight=0.35)
    diagram.stack(_EARTH, x + aside + 5, y - 2, start=True)
