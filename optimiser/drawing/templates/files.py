"""A template as files: a PDF of pages, and a DXF of the whole board, both in mm 1:1."""

from optimiser.cautions import CAUTIONS
from optimiser.drawing import to_dxf
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.templates.board import Template
from optimiser.drawing.templates.pages import HONEST, page
from optimiser.drawing.templates.words import LARGE_MM, Words, label

_NOTE_MM = 6.0  # from line to line below the board in a DXF


def template_pdf(template: Template, version: str) -> bytes:
    """Its pages. ``version``: what the pack was made from."""
    from optimiser.drawing.templates.pdf import to_pdf  # here, as loading what writes PDF takes long

    pages = [(tile.leaf.size, page(template, tile, version)) for tile in template.tiles]
    return to_pdf(pages, template.title)


def template_dxf(template: Template, version: str) -> str:
    """The board in one piece, from 0, 0 at its lower left corner."""
    return to_dxf(board_sheet(template, version))


def board_sheet(template: Template, version: str) -> Sheet:
    """All of it as one drawing, with what has to be said of it below."""
    sheet = Sheet(template.key, template.title, 1)
    words = Words(template.whole, [*template.crosses, *template.edges], [tag.box for tag in template.tags])
    label(words, template)
    sheet.shapes += [*template.shapes, *words.shapes]
    notes = (f"{template.title}: 1:1, sizes in mm", f"Made from {version}.", HONEST, *CAUTIONS)
    for number, note in enumerate(notes, start=2):
        sheet.text(note, (0, -number * _NOTE_MM), size=LARGE_MM, anchor="start")
    return sheet
