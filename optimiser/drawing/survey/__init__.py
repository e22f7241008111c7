"""A survey drawn as it was entered, before anything is chosen, with what is wrong or odd marked in the picture."""

from collections.abc import Iterable

from optimiser.drawing.sheet import Sheet
from optimiser.drawing.survey.bays import bay_sheet
from optimiser.drawing.survey.marks import Marks
from optimiser.drawing.survey.roof import roof_sheet
from optimiser.drawing.survey.vehicle import vehicle_sheet
from optimiser.reading import Remark, Sketch


def survey_sheets(sketch: Sketch, remarks: Iterable[Remark]) -> tuple[list[Sheet], Marks]:
    """Roof, vehicle from above, then bay by bay, to scale; and the remarks by their numbers in the pictures."""
    marks = Marks(remarks)
    sheets = [roof_sheet(sketch, marks), vehicle_sheet(sketch, marks)]
    return [*sheets, *(bay_sheet(sketch, bay, marks) for bay in sketch.bays)], marks
