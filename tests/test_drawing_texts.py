"""Every text of every drawing of a pack: apart from all others by a hair, and between frame and title block.

`Sheet.clashes` lets texts touch; here they keep 0.3 mm of paper, and none comes nearer to frame or title block.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from random import Random

import pytest

from optimiser.auditing import Finding, audit
from optimiser.drawing import drawings, in_frames
from optimiser.drawing.frame import Frame
from optimiser.drawing.paper import PAPERS, STRIP_MM
from optimiser.drawing.shapes import Box, Dimension, Text
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit, fit_of
from optimiser.fixings import fixings
from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.solve import Solved, Stop, Undecided, optimise
from tests.packing_help import SLOW_BUT_ONE, WANTS, findings, shipped
from tests.scattering import surveyed
from tests.vehicles import vehicle

APART_MM = 0.3
SEEDS = (1, 2, 3, 9, 11, 15, 23)
SECONDS = 20


def framed(fit: Fit, found: Sequence[Finding]) -> tuple[Sheet, ...]:
    """All drawings of a build in their frames."""
    sheets = drawings(fit, tuple(found), tuple(fixings(fit)))
    in_frames(sheets, fit.case.brief.title, (("case", "0123456789ab"), ("build", "0123456789ab")))
    return sheets


def room_of(sheet: Sheet, frame: Frame) -> Box:
    """What the frame leaves above the title block."""
    outer, strips = frame.outer, PAPERS[sheet.paper].strips
    return Box(outer.x0, outer.y0 + strips * STRIP_MM * sheet.scale, outer.x1, outer.y1)


def faults(sheet: Sheet) -> Iterator[str]:
    """Texts that nearly cover each other, or that leave what the frame has for them."""
    assert sheet.frame
    gap = APART_MM / 2 * sheet.scale
    boxes = [(text.text, text.box.grown(gap)) for text in sheet.texts()]
    for (one, a), (other, b) in combinations(boxes, 2):
        if a.meets(b):
            yield f"{sheet.key}: {one!r} on {other!r}"
    drawn = [shape.text if isinstance(shape, Dimension) else shape for shape in sheet.shapes]
    for text in drawn:
        if isinstance(text, Text) and not room_of(sheet, sheet.frame).holds(text.box(sheet.scale).grown(gap)):
            yield f"{sheet.key}: {text.text!r} leaves the sheet"


@pytest.mark.parametrize("want", WANTS)
@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_texts_of_the_shipped_builds(name: str, want: str) -> None:
    sheets = framed(shipped(name, want), findings(name, want))

    assert all(sheet.fits for sheet in sheets)
    assert [fault for sheet in sheets for fault in faults(sheet)] == []


@pytest.mark.slow
def test_texts_of_vehicles_surveyed_at_random() -> None:
    """A sample of the fifty: what fits no paper is told so on its page, and its texts keep apart all the same."""
    catalogue, drawn = read_catalogue(shipped_catalogue()), 0
    for seed in SEEDS:
        case = surveyed(vehicle(seed, catalogue), Random(seed))
        found = optimise(case, catalogue, "cheapest", stop=Stop(SECONDS))
        if isinstance(found, Solved | Undecided) and found.build is not None:
            sheets = framed(fit_of(case, catalogue, found.build), audit(case, catalogue, found.build))
            assert [fault for sheet in sheets for fault in faults(sheet)] == [], seed
            drawn += len(sheets)
    assert drawn >= 20


# --- that these find what is wrong -----------------------------------------------------------------------------


def _two(apart_mm: float, scale: float = 10) -> Sheet:
    """Two texts of 2.5 mm of paper over each other, so far apart, and a box round them that leaves them room."""
    sheet = Sheet("two", "Van: two", scale)
    sheet.rect(Box(-400, -400, 400, 400), layer="outline")
    sheet.text("one", (0, 0))
    sheet.text("other", (0, (2.5 + apart_mm) * scale))
    in_frames([sheet], "Van", (("case", ""), ("build", "")))
    return sheet


@pytest.mark.parametrize(("apart_mm", "found"), [(0.31, 0), (0.29, 1)])
def test_texts_nearer_than_that_are_found(apart_mm: float, found: int) -> None:
    """`clashes` finds neither."""
    sheet = _two(apart_mm)

    assert len(list(faults(sheet))) == found
    assert sheet.clashes() == []


@pytest.mark.parametrize(("away_mm", "found"), [(0.16, 0), (0.14, 1)])
def test_a_text_that_leaves_its_sheet_is_found(away_mm: float, found: int) -> None:
    """Added below after the frame was made: half of 2.5 mm and so far from the title block."""
    sheet = _two(5)
    assert sheet.frame
    room = room_of(sheet, sheet.frame)
    sheet.text("low", (room.middle[0], room.y0 + (1.25 + away_mm) * sheet.scale))

    assert len(list(faults(sheet))) == found
