"""A drawing as DXF in whole millimetres of the vehicle, for a saw, a cutter or another drawing program.

Its model is the drawing 1:1 without a frame; the frame is on a layout, in mm of paper, with a view of the model.
"""

from io import StringIO

from ezdxf._options import options  # the one the package shows without saying so
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.base import BaseLayout

from optimiser.drawing.frame import Frame
from optimiser.drawing.shapes import Circle, Dimension, Fill, Layer, Path, Shape, Text
from optimiser.drawing.sheet import Sheet

_LAYERS: dict[Layer, tuple[int, int]] = {
    "outline": (7, 35),
    "zone": (8, 25),
    "panel": (5, 35),
    "obstacle": (30, 25),
    "body": (7, 35),
    "clearance": (9, 13),
    "fixing": (6, 25),
    "cable": (1, 35),
    "mains": (3, 35),
    "symbol": (7, 35),
    "dimension": (8, 13),
    "text": (7, 18),
    "faint": (9, 13),
    "frame": (7, 50),
}
"""Layer -> colour of the index and line weight [0.01 mm]."""

_LINETYPES = {"solid": "CONTINUOUS", "dashed": "PAPER_DASHED", "dotted": "PAPER_DOTTED", "chain": "PAPER_CHAIN"}
_DASHES_MM = {"dashed": (2.2, -1.2), "dotted": (0.3, -1.0), "chain": (4.0, -1.0, 0.4, -1.0)}
"""Drawn and, below 0, left out, on paper: the same as in SVG."""
_PATTERNS: dict[Fill, str] = {"hatch": "ANSI31", "cross": "ANSI37", "dots": "DOTS"}
_ALIGNMENTS = {
    "start": TextEntityAlignment.MIDDLE_LEFT,
    "middle": TextEntityAlignment.MIDDLE_CENTER,
    "end": TextEntityAlignment.MIDDLE_RIGHT,
}
_CAPITALS = 0.73  # height of capitals beside the size of the text
_BELOW_MM = 5.0  # of paper, from the drawing to its name in the model
_STYLE = "optimiser"


def to_dxf(sheet: Sheet) -> str:
    """The drawing as the text of a DXF file (R2010), dimensions as dimensions; the same sheet gives the same text."""
    options.write_fixed_meta_data_for_testing = True  # no clock and no chance in it, or no two packs would be alike
    document = new("R2010", setup=True)
    document.header["$INSUNITS"] = 4  # millimetres
    document.header["$LTSCALE"] = sheet.scale
    for dash, lengths in _DASHES_MM.items():
        document.linetypes.add(
            _LINETYPES[dash], [sum(map(abs, lengths)), *lengths], description=f"{dash}, in mm of paper"
        )
    for name, (colour, weight) in _LAYERS.items():
        document.layers.add(name, color=colour, lineweight=weight)
    _dimension_style(document, sheet.scale)
    for shape in sheet.shapes:
        _draw(document.modelspace(), shape, sheet.scale)
    if sheet.frame:
        _lay_out(document, sheet, sheet.frame)
    out = StringIO()
    document.write(out)
    return out.getvalue()


def _lay_out(document: Drawing, sheet: Sheet, frame: Frame) -> None:
    """The frame in mm of paper from 0, 0, and in it the model at its scale; its name and version in the model too."""
    block, extent = frame.block, sheet.extent()
    made_from = ", ".join(f"{name} {value}" for name, value in block.made_from)
    scale = f"1:{sheet.scale:g}, sizes in mm" if sheet.to_scale else "not to scale"
    named = f"{block.vehicle}: {block.shows}, {scale}; sheet {block.number} of {block.of}; {made_from}"
    below = (extent.x0, extent.y0 - _BELOW_MM * sheet.scale)
    _draw(document.modelspace(), Text(text=named, at=below, anchor="start"), sheet.scale)
    wide, high = (side / sheet.scale for side in frame.outer.size)
    layout = document.paperspace("Layout1")
    layout.page_setup(size=(wide, high), margins=(0, 0, 0, 0), units="mm")
    layout.add_viewport(
        (wide / 2, high / 2),
        size=(wide, high),
        view_center_point=frame.outer.middle,
        view_height=frame.outer.size[1],
    )
    for shape in frame.on_paper:
        _draw(layout, shape, 1)


def _dimension_style(document: Drawing, scale: float) -> None:
    style = document.dimstyles.duplicate_entry("EZDXF", _STYLE)
    style.dxf.dimtxt = 2.5 * _CAPITALS * scale
    style.dxf.dimtsz = 0.6 * scale  # oblique ticks
    style.dxf.dimexo = 0
    style.dxf.dimexe = 1.5 * scale
    style.dxf.dimgap = 0.7 * scale
    style.dxf.dimscale = 1
    style.dxf.dimdec = 0
    style.dxf.dimlfac = 1  # what it measures is what it says


def _draw(space: BaseLayout, shape: Shape, scale: float) -> None:
    match shape:
        case Path():
            attributes = {"layer": shape.layer, "linetype": _LINETYPES[shape.dash]}
            if shape.weight:
                space.add_lwpolyline(shape.points, close=shape.closed, dxfattribs=attributes)
            _fill(space, shape, scale)
        case Circle():
            attributes = {"layer": shape.layer, "linetype": _LINETYPES[shape.dash]}
            if shape.arc is None:
                space.add_circle(shape.centre, shape.radius, dxfattribs=attributes)
            else:
                space.add_arc(shape.centre, shape.radius, *shape.arc, dxfattribs=attributes)
        case Text():
            made = space.add_text(
                shape.text,
                height=shape.size * _CAPITALS * scale,
                rotation=90 if shape.upright else 0,
                dxfattribs={"layer": shape.layer},
            )
            made.set_placement(shape.at, align=_ALIGNMENTS[shape.anchor])
        case Dimension():
            measured = f"{shape.mm:.0f}"
            space.add_linear_dim(
                base=shape.feet[0],
                p1=shape.start,
                p2=shape.end,
                location=shape.text.box(scale).middle,
                text_rotation=90 if shape.text.upright else 0,
                angle=0 if shape.along == "x" else 90,
                dimstyle=_STYLE,
                text="<>" if shape.text.text == measured else shape.text.text,
                dxfattribs={"layer": "dimension"},
            ).render()


def _fill(space: BaseLayout, shape: Path, scale: float) -> None:
    if shape.fill == "solid":
        made = space.add_hatch(color=256, dxfattribs={"layer": shape.layer})
    elif shape.fill in _PATTERNS:
        made = space.add_hatch(color=256, dxfattribs={"layer": shape.layer})
        made.set_pattern_fill(_PATTERNS[shape.fill], scale=scale * 0.5)
    else:
        return
    made.paths.add_polyline_path(shape.points, is_closed=True)
