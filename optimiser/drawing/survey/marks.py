"""Numbers of what is wrong or odd, in the pictures and in the notes below them."""

from collections.abc import Iterable

from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import SCALES, Sheet
from optimiser.reading import Remark, Sketch

_SMALLER = (200, 500, 1000, 2000, 5000)  # for slips of the tape that make a vehicle of a hundred metres


class Marks:
    """Remarks by number, from 1; each knows whether a picture has shown it."""

    def __init__(self, remarks: Iterable[Remark]) -> None:
        self.remarks = tuple(remarks)
        self.shown: set[int] = set()

    def lines(self) -> list[str]:
        """Every remark with its number; what no picture shows says so."""
        return [
            f"({k}) {remark.place}: {remark.text}{'' if k in self.shown else ' (in no picture)'}"
            for k, remark in enumerate(self.remarks, start=1)
        ]

    def on(self, sheet: Sheet, place: str, box: Box, at: Point | None = None) -> None:
        """Frame and number the thing a remark is of, and say it in the notes."""
        numbers = [k for k, remark in enumerate(self.remarks, start=1) if remark.place == place and remark.drawn]
        if not numbers:
            return
        sheet.rect(box.grown(1.0 * sheet.scale), layer="fixing", weight=0.7, dash="dashed")
        for k in numbers:
            self.shown.add(k)
            named(sheet, f"({k})", at or (box.x0, box.y1), bold=True)
            sheet.notes.append(f"({k}) {place}: {self.remarks[k - 1].text}")


def named(sheet: Sheet, text: str, at: Point, *, room: Box | None = None, bold: bool = False) -> None:
    """A label, or a note where a crowded picture has no place for it."""
    try:
        sheet.label(text, at, room=room, bold=bold)
    except ValueError:
        sheet.notes.append(f"{text}: at {at[0]:.0f}, {at[1]:.0f}; no room for its name in the picture")


def scale_of(size_mm: Point, paper_mm: Point) -> int:
    """The largest picture that fits the paper, however large what was entered is."""
    scales = (*SCALES, *_SMALLER)
    return next((s for s in scales if all(m / s <= p for m, p in zip(size_mm, paper_mm, strict=True))), scales[-1])


def body_of(sketch: Sketch) -> list[Box]:
    """The vehicle's body from above, if it is surveyed."""
    body = sketch.outline
    return [Box(0, -body.width_mm / 2, body.length_mm, body.width_mm / 2)] if body else []


def datum(sheet: Sheet, whole: Box) -> None:
    """The rear and the centre line, with a circle where they cross."""
    over, reach = 3 * sheet.scale, 1.2 * sheet.scale
    for axis in (((whole.x0 - over, 0.0), (whole.x1 + over, 0.0)), ((0.0, whole.y0 - over), (0.0, whole.y1 + over))):
        sheet.line(*axis, layer="faint", dash="chain", weight=0.18)
        sheet.leaders.append(axis)
    sheet.circle((0, 0), reach, layer="symbol", weight=0.35)
    sheet.solid.append(Box(0, 0, 0, 0).grown(reach))
    named(sheet, "0,0", (0, 0))
    named(sheet, "front, direction of travel", (whole.x1 + over, 0))
