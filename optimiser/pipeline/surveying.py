"""A survey as drawings, before anything is solved; also where the case has faults, as far as it can be read."""

from collections.abc import Sequence
from html import escape

from optimiser.cautions import CAUTIONS
from optimiser.checking.oddities import oddities
from optimiser.drawing import Sheet, in_frames, to_svg
from optimiser.drawing.survey import Marks, survey_sheets
from optimiser.pipeline.inputs import case_folder, catalogues_of
from optimiser.reading import Remark, Sketch, read_sketch

_STYLE = (
    "body{font:14px sans-serif;margin:6mm;max-width:420mm}svg{height:auto}@media screen{svg{max-width:100%}}"
    "@media print{body{margin:0}section{break-before:page}.wide{page:wide}.large{page:large}}"
    "@page{size:A4;margin:12mm 12mm 17mm}@page wide{size:A4 landscape}@page large{size:A3 landscape}"
)
"""Each drawing on paper of its own size: in a page too small for it a browser would print it smaller."""
_MADE_FROM = (("drawn from", "the survey"), ("build", "none yet"))


def survey_files(case: str, catalogues: Sequence[str]) -> dict[str, bytes]:
    """Name -> content: a drawing each of roof, vehicle and bays, and one page with all of them.

    Raises
    ------
    Unusable
        If there is no such case.
    """
    folder = case_folder(case)
    sketch = read_sketch(folder, *catalogues_of(folder, catalogues))
    sheets, marks = sketched(sketch)
    files = {f"{sheet.key}.svg": to_svg(sheet).encode() for sheet in sheets}
    return {"survey.html": _page(sketch.title, sheets, marks).encode(), **files}


def sketched(sketch: Sketch) -> tuple[list[Sheet], Marks]:
    """The drawings of a survey, with its faults and warnings marked in them."""
    odd = oddities(sketch.case, sketch.catalogue) if sketch.case and sketch.catalogue else ()
    sheets, marks = survey_sheets(sketch, [*sketch.faults, *(Remark(found.place, found.text) for found in odd)])
    in_frames(sheets, sketch.title, _MADE_FROM)
    return sheets, marks


def _page(title: str, sheets: Sequence[Sheet], marks: Marks) -> str:
    told = "".join(f"<li>{escape(line)}</li>" for line in marks.lines()) or "<li>Nothing is wrong; no warnings.</li>"
    cautions = "".join(f"<p>{escape(line)}</p>" for line in CAUTIONS)
    drawn = "\n".join(f'<section class="{sheet.paper}">{to_svg(sheet)}</section>' for sheet in sheets)
    name = escape(f"{title}: survey")
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{name}</title>'
        f"<style>{_STYLE}</style></head>\n<body><h1>{name}</h1>\n<ul>{told}</ul>\n{cautions}\n{drawn}\n</body></html>\n"
    )
