"""Drawings of an audited build, to scale: as shapes, as SVG and as DXF."""

from collections.abc import Sequence

from optimiser.auditing import Finding
from optimiser.drawing.bays import bay_elevations, isometric_bays, opened_bays
from optimiser.drawing.frame import Cells, TitleBlock
from optimiser.drawing.paper import PAPERS
from optimiser.drawing.roof import roof_plan
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line import single_line
from optimiser.drawing.svg import to_svg
from optimiser.drawing.vehicle import vehicle_views
from optimiser.fitted import Fit
from optimiser.fixings import Fixing


def drawings(fit: Fit, findings: tuple[Finding, ...], fixings: tuple[Fixing, ...]) -> tuple[Sheet, ...]:
    """Every drawing of a build, in the order of the work: roof, bays, vehicle, circuits."""
    return (
        roof_plan(fit, fixings),
        *bay_elevations(fit, findings, fixings),
        *opened_bays(fit, fixings),
        *isometric_bays(fit, fixings),
        *vehicle_views(fit),
        *single_line(fit, findings),
    )


def to_dxf(sheet: Sheet) -> str:
    """As `dxf.to_dxf`; what writes DXF is loaded when one is written, since that takes as long as reading a case."""
    from optimiser.drawing import dxf

    return dxf.to_dxf(sheet)


def in_frames(sheets: Sequence[Sheet], vehicle: str, made_from: Cells) -> None:
    """Give the drawings of one pack their frames, numbered through."""
    for number, sheet in enumerate(sheets, start=1):
        shows = sheet.title.removeprefix(f"{vehicle}: ")
        sheet.framed(TitleBlock(vehicle, f"{shows[0].upper()}{shows[1:]}", number, len(sheets), made_from))
