"""The roof plan: what it shows is the build's, to scale, and nothing covers anything."""

import re
from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import pairwise
from typing import Any

import pytest
from ezdxf.document import Drawing
from ezdxf.entities.dimension import Dimension as DxfDimension
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.builds import PlacedPanel
from optimiser.case import Outline, Zone
from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import spread
from optimiser.drawing.dxf import to_dxf
from optimiser.drawing.roof import roof_plan
from optimiser.drawing.running import running
from optimiser.drawing.shapes import Box, Circle, Dimension, Path, Text
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.svg import MARGIN_MM, to_svg
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.places import panels_on
from optimiser.fixings import fixings
from tests.handmade import world
from tests.labels_help import pointed, sample
from tests.packing_help import SOLVED, WANTS, findings, shipped

BUILDS = [(name, want) for name in SOLVED for want in WANTS]

Sides = tuple[float, float, float, float]


def _fit(build: dict[str, Any] | None = None, **case: Any) -> Fit:
    made = world()
    return fit_of(replace(made.case, **case), made.catalogue, replace(made.build, **(build or {})))


@cache
def _plan(name: str, want: str) -> Sheet:
    return roof_plan(shipped(name, want))


def _rects(sheet: Sheet, layer: str, dash: str = "solid") -> set[Sides]:
    closed = [s for s in sheet.shapes if isinstance(s, Path) and s.closed and (s.layer, s.dash) == (layer, dash)]
    return {(*path.points[0], *path.points[2]) for path in closed}


def _texts(sheet: Sheet) -> list[str]:
    return [placed.text for placed in sheet.texts()]


def _words(sheet: Sheet) -> str:
    return " ".join(_texts(sheet))


def _wanted(fit: Fit) -> set[Sides]:
    lying = [one.rect for zone in fit.case.zones for one in panels_on(fit, zone)]
    return {(r.x0, r.y0, r.x1, r.y1) for r in lying}


def _measured(sheet: Sheet) -> list[tuple[str, float, float]]:
    found = []
    for shape in sheet.shapes:
        if isinstance(shape, Dimension):
            axis = 0 if shape.along == "x" else 1
            low, high = sorted((shape.start[axis], shape.end[axis]))
            found.append((str(shape.along), low, high))
    return sorted(found)


def _running(sheet: Sheet, upright: bool) -> dict[int, float]:
    """Figure -> where its line, followed back from it, starts along the axis."""
    axis = 0 if upright else 1
    lines = [s for s in sheet.shapes if isinstance(s, Path) and s.layer == "dimension" and len(s.points) == 2]
    jogs = {line.points[1]: line.points[0] for line in lines}
    found = {}
    for text in sheet.shapes:
        if isinstance(text, Text) and text.anchor == "end" and text.upright == upright and _whole(text.text):
            beside = 0.8 * sheet.scale
            foot = (text.at[0], text.at[1] + beside) if upright else (text.at[0] + beside, text.at[1])
            knee = next(jogs[end] for end in jogs if abs(end[0] - foot[0]) + abs(end[1] - foot[1]) < 1e-6)
            found[int(text.text)] = knee[axis]
    return found


def _whole(text: str) -> bool:
    return re.fullmatch(r"-?\d+", text) is not None


# --- what it shows --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_panels_lie_where_the_build_puts_them(name: str, want: str) -> None:
    fit = shipped(name, want)
    assert _rects(_plan(name, want), "panel") == _wanted(fit)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_zones_and_obstacles_lie_where_they_were_surveyed(name: str, want: str) -> None:
    case, sheet = shipped(name, want).case, _plan(name, want)
    zones = {(z.x_mm, z.y_mm, z.x_mm + z.length_mm, z.y_mm + z.width_mm) for z in case.zones}
    assert _rects(sheet, "zone") == zones
    obstacles = {(o.x_mm, o.y_mm, o.x_mm + o.length_mm, o.y_mm + o.width_mm) for o in case.obstacles}
    assert _rects(sheet, "obstacle") == obstacles
    for zone in case.zones:
        assert f"zone {zone.name}" in _texts(sheet)
    for obstacle in case.obstacles:
        assert obstacle.name in _texts(sheet)


def _in(point: tuple[float, float], sides: Sides) -> bool:
    return sides[0] <= point[0] <= sides[2] and sides[1] <= point[1] <= sides[3]


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_every_panel_bears_its_own_number(name: str, want: str) -> None:
    sheet, fit = _plan(name, want), shipped(name, want)
    for number, placed in enumerate(fit.build.panels, start=1):
        panel = fit.catalogue.of("panels")[placed.panel]
        long, wide = (panel.width_mm, panel.length_mm) if placed.rotated else (panel.length_mm, panel.width_mm)
        sides = (placed.x_mm, placed.y_mm, placed.x_mm + long, placed.y_mm + wide)
        assert _in(pointed(sheet, f"P{number}  {placed.string}"), sides)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_names_of_zones_obstacles_and_glands_stand_at_what_they_name(name: str, want: str) -> None:
    sheet, fit = _plan(name, want), shipped(name, want)
    for zone in fit.case.zones:  # above its left side
        x, y = pointed(sheet, f"zone {zone.name}")
        assert zone.x_mm <= x <= zone.x_mm + zone.length_mm
        assert 0 <= y - (zone.y_mm + zone.width_mm) <= 5 * sheet.scale
    for o in fit.case.obstacles:
        assert _in(pointed(sheet, o.name), (o.x_mm, o.y_mm, o.x_mm + o.length_mm, o.y_mm + o.width_mm))
    for gland in (f for f in fixings(fit) if f.kind == "gland"):
        assert pointed(sheet, gland.name) == (gland.x_mm, gland.y_mm)


def test_the_arrow_of_travel_points_to_the_front() -> None:
    (head,) = [s for s in roof_plan(_fit()).shapes if isinstance(s, Path) and s.fill == "solid" and len(s.points) == 3]
    (back_x, _), (tip_x, _) = min(head.points), max(head.points)

    assert [x for x, _ in head.points].count(tip_x) == 1
    assert back_x < tip_x == 3500  # the front end of what is known of the roof


def test_strings_can_be_told_without_colour() -> None:
    """The clinic with the front of its second string as a string of its own: three strings."""
    old = shipped("travelling-clinic")
    halves = [replace(a, series=2, parallel=2) if a.name == "array_2" else a for a in old.build.arrays]
    panels = [replace(p, string="array_2.2") if p.zone == "front_roof" else p for p in old.build.panels]
    fit = fit_of(old.case, old.catalogue, replace(old.build, arrays=tuple(halves), panels=tuple(panels)))
    sheet = roof_plan(fit)
    fills = {p.points[0]: p.fill for p in sheet.shapes if isinstance(p, Path) and p.layer == "panel"}
    by_string: dict[str, set[str]] = {}
    for placed in fit.build.panels:
        by_string.setdefault(placed.string, set()).add(fills[(placed.x_mm, placed.y_mm)])
    assert [len(found) for found in by_string.values()] == [1, 1, 1]
    assert len(set.union(*by_string.values())) == 3
    for string, found in by_string.items():
        assert {sample(sheet, f"panel of string {string}").fill} == found


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_feet_and_glands_are_the_fixings(name: str, want: str) -> None:
    sheet, found = _plan(name, want), fixings(shipped(name, want))
    feet = {shape.centre for shape in sheet.shapes if isinstance(shape, Circle) and shape.layer == "fixing"}
    assert feet == {(f.x_mm, f.y_mm) for f in found if f.kind == "foot"}
    for gland in (f for f in found if f.kind == "gland"):
        assert gland.x_mm is not None and gland.y_mm is not None
        half_x, half_y = gland.length_mm / 2, gland.width_mm / 2
        sides = (gland.x_mm - half_x, gland.y_mm - half_y, gland.x_mm + half_x, gland.y_mm + half_y)
        assert sides in _rects(sheet, "fixing")
        assert gland.name in _texts(sheet)
        assert any(note.startswith(f"{gland.name} {gland.part}: ") and gland.note in note for note in sheet.notes)


def test_what_panels_keep_clear_of_by_hand() -> None:
    """The hatch is (1700..2100, -600..-200), 50 clear, 100 high at 45 degrees, its lid opens 350 to the left."""
    sheet = roof_plan(_fit())
    assert (1650, -650, 2150, -150) in _rects(sheet, "clearance", "dashed")
    assert (1600, -700, 2200, -100) in _rects(sheet, "clearance", "dotted")
    assert _rects(sheet, "obstacle", "chain") == {(1700, -200, 2100, 150)}
    # 50 from the sides and the rear of (500..3500, -900..900), 100 from its front; 300 of walkway at the right
    assert (550, -850, 3400, 850) in _rects(sheet, "clearance", "dashed")
    assert (500, -900, 3500, -600) in _rects(sheet, "clearance")
    assert "walkway 300" in _texts(sheet)
    hatch = (
        "Obstacle hatch: clearance 50, shadow 100 (height 100), lid opens to the left by 350; 400 x 400 (along x, y), "
    )
    assert f"{hatch}its corner nearest rear and right at x 1700, y -600." in sheet.notes
    assert "Zone roof: set-back 50, at the front 100, walkway 300 at the right." in sheet.notes


@pytest.mark.parametrize(("side", "sides"), [
    ("front", (2100, -600, 2450, -200)), ("rear", (1350, -600, 1700, -200)), ("right", (1700, -950, 2100, -600)),
])  # fmt: skip
def test_lids_open_to_their_side(side: str, sides: Sides) -> None:
    hatch = world().case.obstacles[0].model_copy(update={"lid_side": side})
    assert _rects(roof_plan(_fit(obstacles=(hatch,))), "obstacle", "chain") == {sides}


@pytest.mark.parametrize(("side", "sides"), [
    ("front", (3200, -900, 3500, 900)), ("rear", (500, -900, 800, 900)), ("left", (500, 600, 3500, 900)),
])  # fmt: skip
def test_walkways_lie_on_their_side(side: str, sides: Sides) -> None:
    zone = world().case.zones[0].model_copy(update={"walkway_side": side})
    assert sides in _rects(roof_plan(_fit(zones=(zone,))), "clearance")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_limits_shown_are_those_of_the_audit(name: str, want: str) -> None:
    notes = " ".join(_plan(name, want).notes)
    for finding in findings(name, want):
        said = {
            "roof.set_back": f"Zone {finding.place}: set-back {finding.limit:.0f},",
            "roof.shadow": f"shadow {finding.limit:.0f} (height",
            "roof.obstacle": f"Obstacle {finding.place}: clearance {finding.limit:.0f},",
        }.get(finding.name)
        assert said is None or said in notes


@pytest.mark.parametrize("x_mm", [3450, 3600, 4200])  # the zone ends at x 3500
def test_what_stands_over_an_edge_or_beside_all_zones_is_on_the_sheet(x_mm: int) -> None:
    mast = world().case.obstacles[0].model_copy(update={"name": "mast", "zone": None, "x_mm": x_mm, "lid_side": "none"})
    sheet = roof_plan(_fit(obstacles=(mast,)))

    assert sheet.clashes() == []
    assert _rects(sheet, "obstacle") == {(x_mm, -600, x_mm + 400, -200)}
    assert "mast" in _texts(sheet)


def test_a_gland_without_a_place_is_said_and_not_drawn() -> None:
    hatch = world().case.obstacles[0]
    cover = hatch.model_copy(update={"x_mm": 500, "y_mm": -900, "length_mm": 3000, "width_mm": 1800})
    sheet = roof_plan(_fit(obstacles=(cover,)))
    assert "G1" not in _texts(sheet)
    assert any(note.startswith("G1 gland: no position was surveyed; no free place found") for note in sheet.notes)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_it_says_front_datum_and_cautions(name: str, want: str) -> None:
    words = _words(_plan(name, want))
    for wanted in (*CAUTIONS, "front, direction of travel", "rear end of the vehicle and its centre line", "0,0"):
        assert wanted in words


# --- dimensions -----------------------------------------------------------------------------------------


def test_dimensions_by_hand() -> None:
    """Zone and distance to it; panels at 600..1600 and 1630..2630, y 200..710 for both."""
    sheet = roof_plan(_fit())
    assert _measured(sheet) == [("x", 0, 500), ("x", 500, 3500), ("y", -900, 900)]
    assert _running(sheet, upright=True) == {0: 0, 600: 600, 1600: 1600, 1630: 1630, 2630: 2630}
    assert _running(sheet, upright=False) == {0: 0, 200: 200, 710: 710}


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_running_dimensions_are_all_distinct_edges_at_their_places(name: str, want: str) -> None:
    sheet, sides = _plan(name, want), _wanted(shipped(name, want))
    along_x, along_y = ({0}.union(*({s[k], s[k + 2]} for s in sides)) for k in (0, 1))
    assert _running(sheet, upright=True) == {x: x for x in along_x}
    assert _running(sheet, upright=False) == {y: y for y in along_y}


def test_equal_lengths_of_zones_side_by_side_are_shown_once() -> None:
    zone = world().case.zones[0].model_copy(update={"width_mm": 900})
    zones = (zone, zone.model_copy(update={"name": "left", "y_mm": 0}))
    assert _measured(roof_plan(_fit(zones=zones))) == [("x", 0, 500), ("x", 500, 3500), ("y", -900, 0), ("y", 0, 900)]


def test_lines_of_running_dimensions_stop_at_what_is_in_front_of_them() -> None:
    """From y 100 down to -2, behind a box at 40..60; one is only touched, one lies beyond."""
    sheet = Sheet("t", "t", 1)
    boxes = [Box(0, 40, 20, 60), Box(10, 10, 20, 20), Box(0, -50, 20, -40)]
    running(sheet, {10: (10, 100)}, along="x", at=0, behind=boxes)
    lines = [s.points for s in sheet.shapes if isinstance(s, Path)]
    assert lines == [((10, 100), (10, 60)), ((10, 40), (10, -2)), ((10, -2), (10, -7))]


@settings(deadline=None)
@given(st.lists(st.integers(-1000, 1000), min_size=1, max_size=12, unique=True).map(sorted), st.integers(1, 90))
def test_figures_keep_apart_and_move_no_further_than_need_be(wanted: list[int], gap: int) -> None:
    """Apart by the gap; what touches nothing has not moved, and what touches has moved around its own middle."""
    found = spread(wanted, gap)
    assert all(b - a >= gap - 1e-6 for a, b in pairwise(found))
    groups: list[list[int]] = []
    for k in range(len(wanted)):
        if k and found[k] - found[k - 1] < gap + 1e-6:
            groups[-1].append(k)
        else:
            groups.append([k])
    for group in groups:
        assert sum(found[k] - wanted[k] for k in group) == pytest.approx(0, abs=1e-6)


# --- readable, on paper ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_nothing_covers_anything_and_it_fits_its_paper(name: str, want: str) -> None:
    sheet = _plan(name, want)
    assert sheet.clashes() == []
    assert sheet.fits


@st.composite
def _builds(draw: st.DrawFn) -> tuple[PlacedPanel, ...]:
    """Panels in cells of the handmade roof, one a cell, of several strings; which is no valid build."""
    cells = draw(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 2)), unique=True, max_size=9))
    placed = []
    for i, j in cells:
        x, y = draw(st.integers(0, 60)), draw(st.integers(0, 60))
        string = f"{draw(st.sampled_from('ab'))}.{draw(st.integers(1, 3))}"
        part = draw(st.sampled_from(["panel-100", "panel-flex"]))
        placed.append(PlacedPanel("roof", part, 500 + 1070 * i + x, -900 + 580 * j + y, rotated=False, string=string))
    return tuple(placed)


_OUTLINE = Outline(length_mm=4500, width_mm=2100, floor_mm=500, roof_mm=2500, wheel_mm=600)


@settings(max_examples=40, deadline=None)
@given(panels=_builds(), outline=st.sampled_from([None, _OUTLINE]))
def test_any_panels_are_drawn_without_clashes(panels: tuple[PlacedPanel, ...], outline: Outline | None) -> None:
    made = world()
    case = replace(made.case, brief=made.case.brief.model_copy(update={"outline": outline}), obstacles=())
    fit = Fit(case, made.catalogue, replace(made.build, panels=panels))
    sheet = roof_plan(fit)
    assert sheet.clashes() == []
    assert _rects(sheet, "panel") == _wanted(fit)
    for number, placed in enumerate(panels, start=1):
        assert f"P{number}  {placed.string}" in _texts(sheet)


def test_two_small_zones_beside_each_other_and_long_names() -> None:
    usual = world().case.zones[0].model_dump()
    zones = tuple(
        Zone(**usual | {"name": f"a_name_as_long_as_can_be_{k}", "x_mm": 300 * k, "length_mm": 280, "width_mm": 300})
        for k in range(3)
    )
    made = world()
    case = replace(made.case, zones=zones, obstacles=())
    sheet = roof_plan(Fit(case, made.catalogue, replace(made.build, panels=())))
    assert sheet.clashes() == []
    assert sum(text.startswith("zone a_name") for text in _texts(sheet)) == 3


# --- what others read -----------------------------------------------------------------------------------


def _reopened(sheet: Sheet) -> Drawing:
    return read(StringIO(to_dxf(sheet)))


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_dxf_holds_the_panels_and_measures_the_zones(name: str, want: str) -> None:
    fit = shipped(name, want)
    space = _reopened(_plan(name, want)).modelspace()
    lines = [line for line in space if isinstance(line, LWPolyline) and line.dxf.layer == "panel"]
    corners = [list(line.get_points("xy")) for line in lines]
    assert {(*points[0], *points[2]) for points in corners} == _wanted(fit)
    assert len(lines) == len(fit.build.panels)
    measured = {round(float(one.get_measurement())) for one in space if isinstance(one, DxfDimension)}
    zones = fit.case.zones
    assert measured == {z.length_mm for z in zones} | {z.width_mm for z in zones} | {z.x_mm for z in zones}
    feet = {tuple(circle.dxf.center)[:2] for circle in space.query('CIRCLE[layer=="fixing"]')}
    assert feet == {(f.x_mm, f.y_mm) for f in fixings(fit) if f.kind == "foot"}


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_svg_is_true_to_its_scale(name: str, want: str) -> None:
    """Size on paper times scale is the size of the panel, to what two decimals of a mm hold."""
    svg, fit = to_svg(_plan(name, want)), shipped(name, want)
    head = re.search(r'viewBox="0 0 ([\d.]+) [\d.]+" style="width:([\d.]+)mm"[^>]* data-scale="(\d+)"', svg)
    assert head is not None
    wide, shown, scale = (float(figure) for figure in head.groups())
    assert wide == pytest.approx(shown, abs=0.06)  # a unit of the picture is a mm of paper
    extent = _plan(name, want).extent().grown(MARGIN_MM * scale)
    found = set()
    for path in re.findall(r'<path d="M([\d. L]+) Z"[^>]*class="panel"', svg):
        (x0, y1), _, (x1, y0), _ = (tuple(map(float, point.split())) for point in path.split("L"))
        sides = (extent.x0 + scale * x0, extent.y1 - scale * y1, extent.x0 + scale * x1, extent.y1 - scale * y0)
        found.add(tuple(round(side) for side in sides))
    wanted = _wanted(fit)
    assert len(found) == len(wanted)
    for sides in wanted:
        assert any(all(abs(a - b) <= 1 for a, b in zip(sides, other, strict=True)) for other in found)
