"""The single-line diagram of a build: a sheet of the d.c. side, and one of the mains if there is any.

On the first, sources and chargers stand left of the fuse row, busbar and loads right of it, a row a path; the bank lies
below on the right, and its negative conductor goes on to the busbar that shunts and minus conductors join; these have
a sheet of their own where a vehicle has more chargers than one has room for. Rows and columns are as wide and high as
their texts, so that no wire passes through a text or a symbol. Everything comes from the build: what should be there
and is not is said in words, and what no build holds is a box to be filled in.
"""

from collections.abc import Iterator, Sequence

from optimiser.auditing import Finding
from optimiser.cautions import CAUTIONS
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.bank import Bank
from optimiser.drawing.single_line.left import columns, draw_feeding, feeding
from optimiser.drawing.single_line.legend import draw_legend
from optimiser.drawing.single_line.mains import draw_mains, has_mains
from optimiser.drawing.single_line.negative import Strip
from optimiser.drawing.single_line.notes import direct_notes, mains_notes
from optimiser.drawing.single_line.right import FIRST_ROWS, aside, draw_fed, fed, filled, length, loose
from optimiser.drawing.single_line.rows import Diagram, levels
from optimiser.drawing.single_line.words import BY_ELECTRICIAN, Lines, Words
from optimiser.fitted import Fit

KEY = "single-line"
MAINS_KEY = "single-line-mains"
MINUS_KEY = "single-line-minus"
_ASIDE_MM = 4.0  # from the left edge to what is loose on the left
_BUS_MM = 1.6
_WIDE_MM = 388.0  # that a printer leaves of A3, less the margin around a drawing
_HIGH_MM = 165.0  # of rows and bank, with room for the minus conductors and the notes below them on A3
_UP_MM = 3.0  # from the texts of the right's rows to the wire that goes down to the bank


def single_line(fit: Fit, findings: tuple[Finding, ...]) -> tuple[Sheet, ...]:
    """Its sheets in mm of paper; figures of strings and the warning of breaches come from ``findings``."""
    drawn = list(diagrams(fit, findings))
    missing = _undrawn(drawn)
    drawn[0].sheet.notes += missing
    draw_legend(drawn[-1], [draw for diagram in drawn for draw in diagram.used])
    for diagram in drawn:
        diagram.sheet.finish((" ".join(CAUTIONS), BY_ELECTRICIAN))
    return tuple(diagram.sheet for diagram in drawn)


def diagrams(fit: Fit, findings: tuple[Finding, ...]) -> Iterator[Diagram]:
    """The same before legend and notes are set, with what each has blanks for."""
    title = f"{fit.case.brief.title}: single-line diagram"
    words = Words(fit, findings)
    direct = Diagram(Sheet(KEY, f"{title}, {fit.system_v} V d.c.", 1, to_scale=False), words)
    mains = Diagram(Sheet(MAINS_KEY, f"{title}, mains", 1, to_scale=False), words)
    minus = Diagram(Sheet(MINUS_KEY, f"{title}, minus conductors", 1, to_scale=False), words)
    _draw_direct(direct, minus)
    direct.sheet.notes += direct_notes(words, legend=not (minus.sheet.shapes or has_mains(mains)))
    yield direct
    if minus.sheet.shapes:
        yield minus
    if has_mains(mains):
        draw_mains(mains)
        extent = mains.sheet.extent()
        if extent.x1 - extent.x0 > _WIDE_MM:
            mains = Diagram(Sheet(MAINS_KEY, f"{title}, mains", 1, to_scale=False), words)
            draw_mains(mains, above=True)
        mains.sheet.notes += mains_notes(words)
        yield mains


def _draw_direct(diagram: Diagram, other: Diagram) -> None:
    """Draw the d.c. side; its minus conductors on the ``other`` sheet where one has no room for both."""
    left = list(feeding(diagram))
    wide = columns(left)
    bus_x = sum(wide)
    room = _WIDE_MM - bus_x - _BUS_MM
    joined = list(fed(diagram))
    right = filled(joined, loose(diagram), room - _UP_MM)
    rows = [row.items for row in left]
    bank = Bank(diagram)
    loose_left = aside(rows, right, len(joined), bus_x - _ASIDE_MM, bank.height)
    left_y, left_low = levels([*rows, *loose_left])
    right_y, right_low = levels(right)
    draw_feeding(diagram, left, wide, left_y[: len(left)], bus_x)
    for items, y in zip(loose_left, left_y[len(left) :], strict=True):
        diagram.row(items, [item.width if item else 0.0 for item in items], _ASIDE_MM, y, None)
    main = draw_fed(diagram, right, right_y, bus_x + _BUS_MM)
    at_end = right_y[len(right_y) - len(joined) + FIRST_ROWS :]  # the inverter's, below what is loose
    _bus(diagram, bus_x, [*left_y[: len(left)], *right_y[:FIRST_ROWS], *at_end])
    edge = bus_x + _BUS_MM + max(map(length, right)) + _UP_MM
    edge = max(edge, bus_x + _BUS_MM + _UP_MM + bank.width)
    minus = bank.draw(edge, right_low, main)
    low = min(left_low, right_low - bank.height)
    if low > -_HIGH_MM:
        Strip.of(diagram).draw(low, minus)
        return
    ring = diagram.place(symbols.upright_terminal, minus[0], minus[1] - 6)
    diagram.wire(minus, ring["top"])
    diagram.stack(["minus conductors:", "on their own sheet"], minus[0], ring.box.y0 - 1, head=False)
    Strip.of(other).draw(0.0, None)


def _undrawn(drawn: Sequence[Diagram]) -> Lines:
    """Slots that nothing in the pictures names: said, so that nothing is missing."""
    texts = [text.text for diagram in drawn for text in diagram.sheet.texts()]
    notes = [note for diagram in drawn for note in diagram.sheet.notes]
    said = " ".join([*texts, *notes]).replace(",", " ").split()
    words = drawn[0].words
    missing = [", ".join(words.slot(f.slot)) for f in words.fit.build.fitted if f.slot not in said]
    return [f"In the build, and joined to nothing here: {'; '.join(missing)}."] if missing else []


def _bus(diagram: Diagram, x: float, levels: Sequence[float]) -> None:
    """What all circuits join: the bar of the fuse row, or the positive busbar where no fuse is in the row."""
    row, slot = bool(diagram.fit.row_runs), diagram.fit.build.slot
    fitted = slot("fuse_row" if row else "busbar") is not None
    box = Box(x, min(levels) - 3, x + _BUS_MM, max(levels) + 15)
    diagram.sheet.rect(box, layer="symbol", dash="solid" if fitted else "dashed", fill="solid" if fitted else "none")
    diagram.sheet.solid.append(box)
    word = diagram.words.fuse_row() if row else ", ".join(diagram.words.busbar())
    diagram.sheet.text(word, (box.middle[0], box.y1 + 3), bold=True)
