"""The single-line diagram of a build: sources, chargers, busbars and loads, above the mains.

Sources and chargers stand left of the busbars, bank and loads right of them, a row a path; the mains box lies below,
with a side for hook-up and one for the inverter. Rows and columns are as wide and high as their texts, so that no wire
passes through a text or a symbol. Everything comes from the build: what should be there and is not is said in words.
"""

from collections.abc import Sequence

from optimiser.auditing import Finding
from optimiser.cautions import CAUTIONS
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line.left import columns, draw_feeding, feeding
from optimiser.drawing.single_line.legend import LEGEND_MM, draw_legend
from optimiser.drawing.single_line.mains import BAND_MM, draw_mains
from optimiser.drawing.single_line.right import aside, draw_fed, fed, filled, loose
from optimiser.drawing.single_line.rows import GAP_MM, Diagram, levels
from optimiser.drawing.single_line.words import BY_ELECTRICIAN, Words
from optimiser.fitted import Fit

KEY = "single-line"
_ASIDE_MM = 4.0  # from the mains charger's feed, which leads down, to what is loose on the left
_BUS_MM = 1.6
_WIDE_MM = 388.0  # that a printer leaves of A3, less the margin around a drawing


def single_line(fit: Fit, findings: tuple[Finding, ...]) -> Sheet:
    """The diagram on a sheet in mm of paper; figures of strings and the warning of breaches come from ``findings``."""
    title = f"{fit.case.brief.title}: single-line diagram, {fit.system_v} V d.c."
    diagram = Diagram(Sheet(KEY, title, 1, to_scale=False), Words(fit, findings))
    left = list(feeding(diagram))
    wide = columns(diagram, left)
    bus_x = sum(wide)
    room = _WIDE_MM - LEGEND_MM - bus_x - _BUS_MM
    joined = list(fed(diagram))
    right = filled(joined, loose(diagram), room)
    rows = [row.items for row in left]
    loose_left = aside(rows, right, len(joined), bus_x - wide[0] - _ASIDE_MM)
    left_y, left_low = levels([*rows, *loose_left])
    right_y, right_low = levels(right)
    # what leads down on the left has its texts on its row, and needs no room for them below it
    diagram.band = min(left_low + BAND_MM - GAP_MM, right_low)
    feed = draw_feeding(diagram, left, wide, left_y[: len(left)], bus_x)
    for items, y in zip(loose_left, left_y[len(left) :], strict=True):
        diagram.row(items, [item.width if item else 0.0 for item in items], wide[0] + _ASIDE_MM, y, None)
    back, out = draw_fed(diagram, right, right_y, bus_x + _BUS_MM)
    _bus(diagram, bus_x, [*left_y[: len(left)], *right_y])
    draw_mains(diagram, left=0.0, top=diagram.band, feed=feed, back=back, out=out)
    draw_legend(diagram)
    diagram.sheet.notes += [*diagram.words.notes(), *_undrawn(diagram)]
    diagram.sheet.finish((" ".join(CAUTIONS), BY_ELECTRICIAN))
    return diagram.sheet


def _undrawn(diagram: Diagram) -> list[str]:
    """Slots that nothing in the picture names: said, so that nothing is missing."""
    said = " ".join([*(text.text for text in diagram.sheet.texts()), *diagram.words.notes()]).replace(",", " ").split()
    missing = [", ".join(diagram.words.slot(f.slot)) for f in diagram.fit.build.fitted if f.slot not in said]
    return [f"In the build, and joined to nothing here: {'; '.join(missing)}."] if missing else []


def _bus(diagram: Diagram, x: float, levels: Sequence[float]) -> None:
    """The pair of busbars as one bar over all that joins it."""
    fitted = diagram.fit.build.slot("busbar") is not None
    box = Box(x, min(levels) - 3, x + _BUS_MM, max(levels) + 15)
    diagram.sheet.rect(box, layer="symbol", dash="solid" if fitted else "dashed", fill="solid" if fitted else "none")
    diagram.sheet.solid.append(box)
    diagram.sheet.text(diagram.words.busbar(), (box.middle[0], box.y1 + 3), bold=True)
