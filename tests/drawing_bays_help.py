"""What the tests of bay elevations read from a drawing, and the trailer made by hand with other builds."""

import re

from optimiser import case as c
from optimiser.builds import Build
from optimiser.drawing.shapes import Box, Path, Text
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit, fit_of
from tests import handmade


def trailer(build: Build | None = None, case: c.Case | None = None) -> Fit:
    """The trailer with another build or case."""
    return fit_of(case or handmade.case(), handmade.catalogue(), build or handmade.build())


def box_of(path: Path) -> Box:
    """What a path covers."""
    xs, ys = zip(*path.points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def closed_on(sheet: Sheet, *layers: str) -> list[Path]:
    """Closed paths on layers."""
    return [s for s in sheet.shapes if isinstance(s, Path) and s.closed and s.layer in layers]


def bodies_of(sheet: Sheet) -> list[Box]:
    """Rectangles of bodies, not of what they are made of."""
    return [box_of(path) for path in closed_on(sheet, "body", "obstacle") if path.weight == 0.4]


def texts_of(sheet: Sheet) -> list[Text]:
    """All but those of dimensions."""
    return [s for s in sheet.shapes if isinstance(s, Text)]


def words_of(sheet: Sheet) -> str:
    """All that is written on a sheet but dimensions."""
    return " ".join(text.text for text in texts_of(sheet))


def bay_in(sheet: Sheet) -> str:
    """The bay of a sheet of it, of which there may be several: bay-NAME, bay-NAME-2."""
    return sheet.key.partition("-")[2].partition("-")[0]


def boards_on(sheet: Sheet) -> set[str]:
    """The boards of which a sheet has a view, by its caption."""
    return {text.text.partition(":")[0] for text in texts_of(sheet) if text.bold and _CAPTION.search(text.text)}


_CAPTION = re.compile(": (plan|elevation) of")
