"""Earth bar, bond to the chassis, and the neutral-earth link of each state: blanks, for a licensed electrician."""

from optimiser.drawing.shapes import Box
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.fills import BLANK
from optimiser.drawing.single_line.rows import LINE_MM, PAD_MM, Diagram, stacked, widest

EARTH_MM = 22.0  # from the box's lower edge to what is said of the neutral-earth link
_BAR_MM = 12.0  # length of the earth bar
_TICK_MM = 2.4


_CARRIED = ("earth bar", "protective conductors of", f"inlet, circuits, cases: {BLANK} mm2")
_BOND = ("bond to the chassis", f"to be filled in: {BLANK} mm2", "by a licensed electrician")


def earth_mm() -> float:
    """How wide it is [mm]."""
    return max(widest(_CARRIED), _BAR_MM / 2 + 5 + widest(_BOND))


def draw_earth(diagram: Diagram, x: float, lower: float) -> None:
    """The earth bar in the box and its bond below."""
    diagram.to_fill(fills.EARTHING)
    y = lower + 4
    bar = Box(x, y - 0.7, x + _BAR_MM, y + 0.7)
    diagram.sheet.rect(bar, layer="symbol", fill="solid")
    diagram.sheet.solid.append(bar)
    carried = _CARRIED if diagram.fit.case.brief.inlet else (*_CARRIED[:2], f"circuits, cases: {BLANK} mm2")
    diagram.stack(carried, x, y + 2 + stacked(carried), start=True)
    middle = x + _BAR_MM / 2
    earth = diagram.place(symbols.protective_earth, middle, lower - 8)
    diagram.sheet.line((middle, bar.y0), earth["top"], layer="mains", dash="chain", weight=0.35)
    diagram.stack(_BOND, middle + 5, lower - 4, start=True)


_HEAD = "Neutral-earth link, exactly one at a time; to be ticked by a licensed electrician"
_GAP_MM = 4.0  # between the boxes of two states


def _states(diagram: Diagram) -> list[tuple[str, list[str], float]]:
    """Each state that mains is on, what may make the link in it, and how wide its box is."""
    found: list[tuple[str, list[str]]] = []
    if diagram.fit.case.brief.inlet:
        found.append(("on hook-up", ["at the supply, none in the vehicle", f"otherwise: {BLANK}"]))
    if diagram.fit.inverter:
        found.append(("on the inverter", _made(diagram)))
    wide = [max(widest([state]), widest(["", *made]) + _TICK_MM + 2) + 2 * PAD_MM for state, made in found]
    return [(*state, mm) for state, mm in zip(found, wide, strict=True)]


def _made(diagram: Diagram) -> list[str]:
    """What may join them on the inverter, or what does where the build says so."""
    if not diagram.fit.case.brief.fills_mains_box:
        return ["by the inverter itself", "in the mains box", f"otherwise: {BLANK}"]
    link = diagram.fit.bond_link
    return ["by a link in the mains box" if link else "by the inverter itself", f"otherwise: {BLANK}"]


def neutral_mm(diagram: Diagram) -> float:
    """How wide it is [mm]."""
    return max(widest([_HEAD]), sum(wide + _GAP_MM for *_, wide in _states(diagram)))


def draw_neutral(diagram: Diagram, x: float, top: float) -> None:
    """A box for each state that mains is on, with what may make the link in it."""
    states = _states(diagram)
    if not states:
        return
    if not diagram.fit.case.brief.fills_mains_box:
        diagram.to_fill(fills.NEUTRAL)
    elif diagram.fit.bond_link:
        diagram.to_fill(fills.LINK)
    diagram.sheet.text(_HEAD, (x, top - 1.5), anchor="start", bold=True)
    top -= 5
    high = max(len(made) for _, made, _ in states) * 4.0 + LINE_MM + 3
    for state, made, wide in states:
        box = Box(x, top - high, x + wide, top)
        diagram.sheet.rect(box, layer="symbol", dash="dashed", weight=0.18)
        diagram.stack([state], x + PAD_MM, top - 1.5, start=True)
        for k, line in enumerate(made):
            y = top - 1.5 - LINE_MM - 2.5 - 4.0 * k
            tick = Box(x + PAD_MM, y - _TICK_MM / 2, x + PAD_MM + _TICK_MM, y + _TICK_MM / 2)
            diagram.sheet.rect(tick, layer="symbol", weight=0.18)
            diagram.sheet.text(line, (tick.x1 + 1.5, y), anchor="start")
        x += wide + _GAP_MM
