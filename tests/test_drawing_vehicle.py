"""Side and plan view of the vehicle: positions are the survey's, runs the build's, and what is not surveyed says so."""

import re
from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import pairwise
from math import dist

import ezdxf
import pytest
from ezdxf.entities import Dimension as DXFDimension

from optimiser import case as c
from optimiser.cautions import CAUTIONS
from optimiser.drawing.dxf import to_dxf
from optimiser.drawing.shapes import Box, Circle, Dimension, Path, Point, Text
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.svg import to_svg
from optimiser.drawing.vehicle.nodes import places
from optimiser.drawing.vehicle.views import vehicle_views
from optimiser.drawing.vehicle.ways import courses, key_lines, marked_ways
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Panel
from tests import handmade
from tests.labels_help import pointed
from tests.packing_help import SOLVED, WANTS, shipped, vehicle

BUILDS = [(name, want) for name in SOLVED for want in WANTS]
LACKING = ("no outline", "no positions", "no heights", "none of them")


@cache
def _views(name: str, want: str = "cheapest", survey: str = "whole") -> list[Sheet]:
    """Drawn once: it takes a second."""
    return vehicle(name, want) if survey == "whole" else vehicle_views(_surveyed(shipped(name, want), survey))


def _surveyed(fit: Fit, survey: str) -> Fit:
    """The build in a case with some of the survey gone."""
    case = fit.case
    if survey in ("no outline", "none of them"):
        case = replace(case, brief=case.brief.model_copy(update={"outline": None}))
    if survey in ("no positions", "none of them"):
        case = replace(case, node_positions=())
    if survey in ("no heights", "none of them"):
        case = replace(case, bays=tuple(bay.model_copy(update={"z_mm": None}) for bay in case.bays))
    return replace(fit, case=case)


def _by_hand(**case: object) -> Fit:
    world = handmade.world()
    return fit_of(replace(world.case, **case), world.catalogue, world.build)  # type: ignore[arg-type]


def _words(sheet: Sheet) -> str:
    """All it says, with wrapped notes joined again."""
    return " ".join(placed.text for placed in sheet.texts())


def _boxes(sheet: Sheet, layer: str) -> list[Box]:
    """Its rectangles on a layer."""
    found = [s for s in sheet.shapes if isinstance(s, Path) and s.closed and s.layer == layer]
    return [Box.around([Box(x, y, x, y) for x, y in path.points]) for path in found]


def _dots(sheet: Sheet) -> list[Point]:
    return [s.centre for s in sheet.shapes if isinstance(s, Circle) and s.layer == "symbol"]


def _measured(sheet: Sheet, along: str) -> list[float]:
    return sorted(s.mm for s in sheet.shapes if isinstance(s, Dimension) and s.along == along)


# --- it can be read ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "want", "survey"),
    [(*build, "whole") for build in BUILDS] + [(name, "cheapest", less) for name in SOLVED for less in LACKING],
)
def test_no_text_covers_another_and_it_fits_a3(name: str, want: str, survey: str) -> None:
    sheets = _views(name, want, survey)

    assert [sheet.key for sheet in sheets] == ["vehicle-plan", "vehicle-side"]
    for sheet in sheets:
        assert sheet.clashes() == []
        assert sheet.scale in (20, 25)
        assert sheet.fits
        assert all(caution in _words(sheet) for caution in CAUTIONS)


def test_the_handmade_trailer_can_be_read() -> None:
    for sheet in vehicle_views(_by_hand()):
        assert sheet.clashes() == []
        assert sheet.key in to_svg(sheet)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_no_label_lies_on_a_way(name: str, want: str) -> None:
    for sheet in _views(name, want):
        notes_below = min(y for s in sheet.shapes if isinstance(s, Path) for _, y in s.points)
        labels = [placed for placed in sheet.texts() if placed.box.y0 > notes_below]
        lines = [s.points for s in sheet.shapes if isinstance(s, Path) and s.layer in ("cable", "mains")]
        crossed = [
            label.text
            for label in labels
            for points in lines
            for start, end in pairwise(points)
            if label.box.crossed(start, end)
        ]
        assert lines and not crossed


def test_a_vehicle_too_long_for_a_large_picture_is_drawn_smaller() -> None:
    brief = handmade.case().brief
    vehicle = brief.vehicle.model_copy(update={"coupling_x_mm": 12_000})
    for sheet in vehicle_views(_by_hand(brief=brief.model_copy(update={"vehicle": vehicle}))):
        assert sheet.scale == 50


# --- it is the survey's ------------------------------------------------------------------------------


def test_plan_is_at_the_places_of_the_survey() -> None:
    plan, _ = _views("grey-month-van")

    # bays.csv: lift_box 290 x 550 at 395, 320; garage_box 590 x 550 at 855, 320; garage_wall ...
    expected = {
        Box(250, 45, 540, 595),
        Box(560, 45, 1150, 595),
        Box(250, -750, 1350, -450),
        Box(3550, 275, 4250, 725),
        Box(1925, -840, 2475, -360),
    }
    assert set(_boxes(plan, "body")) == expected
    assert Box(0, -1025, 5990, 1025) in _boxes(plan, "outline")  # 2050 wide
    assert Box(300, -660, 4200, 660) in _boxes(plan, "zone")
    wheels = [Box(x - 345, y - 100, x + 345, y + 100) for x in (1000, 5000) for y in (-900, 900)]
    assert all(wheel in _boxes(plan, "outline") for wheel in wheels)  # track 1800, wheels 690
    assert {(2200, -720), (2210, -100), (5600, 300), (2600, -700), (300, -1000), (1500, -1010)} < set(_dots(plan))


def test_side_is_at_the_heights_of_the_survey() -> None:
    _, side = _views("tiny-trailer")

    expected = {Box(2900, 480, 3400, 860), Box(225, 450, 675, 870), Box(1450, 800, 2050, 1200)}
    assert set(_boxes(side, "body")) == expected
    assert Box(0, 420, 2850, 1700) in _boxes(side, "outline")
    assert {(2325, 1700), (4050, 450), (1450, 1050)} < set(_dots(side))
    assert (1750, 1000) in _dots(side)  # side_locker's middle: 800 and half of 400
    assert _measured(side, "y") == [420, 1700]
    assert _measured(side, "x") == [1700, 2850, 4150]  # axle, body, coupling


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_panels_lie_where_the_build_has_them(name: str, want: str) -> None:
    fit = shipped(name, want)
    plan, side = _views(name, want)

    corners = {(panel.x_mm, panel.y_mm) for panel in fit.build.panels}
    assert fit.case.brief.outline and corners
    assert {(box.x0, box.y0) for box in _boxes(plan, "faint")} == corners
    roof, expected = fit.case.brief.outline.roof_mm, set()
    for placed in fit.build.panels:
        panel = fit.part(placed.panel, Panel)
        long, low = panel.width_mm if placed.rotated else panel.length_mm, roof + panel.mount_height_mm
        expected.add(Box(placed.x_mm, low, placed.x_mm + long, low + panel.height_mm))
    assert set(_boxes(side, "faint")) == expected


@pytest.mark.parametrize("name", SOLVED)
def test_dimensions_reopened_from_dxf_are_the_surveys(name: str) -> None:
    fit = shipped(name)
    plan, _ = _views(name)
    document = ezdxf.read(StringIO(to_dxf(plan)))  # type: ignore[attr-defined]

    dimensions = [d for d in document.modelspace() if isinstance(d, DXFDimension)]
    along_x = sorted(d.get_measurement() for d in dimensions if d.dxf.angle == 0)
    along_y = sorted(d.get_measurement() for d in dimensions if d.dxf.angle == 90)
    its, outline = fit.case.brief.vehicle, fit.case.brief.outline
    assert outline
    axles = (
        [its.axle_x_mm, its.coupling_x_mm] if isinstance(its, c.Trailer) else [its.rear_axle_x_mm, its.front_axle_x_mm]
    )
    assert along_x == pytest.approx(sorted([*{bay.x_mm for bay in fit.case.bays}, *axles, outline.length_mm]))
    sides = [abs(y) for y in {bay.y_mm for bay in fit.case.bays} if y]
    assert along_y == pytest.approx(sorted([*sides, its.track_mm, outline.width_mm]))


# --- it is the build's -------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_each_run_is_told_on_each_of_its_ways_and_on_no_other(name: str, want: str) -> None:
    fit = shipped(name, want)
    lines = {line.split()[1].rstrip(","): line.partition(": ")[2] for line in key_lines(fit) if re.match(r"W\d", line)}

    assert set(lines) == {way.name for way in fit.case.ways}
    told = {
        (" ".join(part.split()[:2]), way) for way, line in lines.items() for part in line.split("; ") if line != "empty"
    }
    assert told == {(numbered(fit, run.name), way) for run in fit.build.runs for way in run.ways}
    within = " ".join(line for line in key_lines(fit) if line.startswith("Within"))
    assert all(f" {numbered(fit, run.name)} " in within for run in fit.build.runs if not run.ways)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_the_sheets_carry_the_key_and_every_way_its_sections(name: str, want: str) -> None:
    fit = shipped(name, want)
    for sheet in _views(name, want):
        words = [placed.text for placed in sheet.texts()]
        assert all(line in sheet.notes for line in key_lines(fit))
        for marked in marked_ways(fit):
            assert words.count(marked.label) == 1
            numbers = [f"{run.cable.section_mm2:g}" for run in marked.runs if run.cable.section_mm2]
            assert all(re.search(rf"\b{re.escape(number)}\b", marked.label) for number in numbers)


def test_ways_with_mains_with_both_and_with_nothing_differ_in_their_dashes() -> None:
    fit = shipped("tiny-trailer")
    dashes = {marked.way.name: marked.style[1] for marked in marked_ways(fit)}
    kinds = {way: {r.cable.kind for r in routed_runs(fit).values() if way in r.run.ways} for way in dashes}

    assert kinds["side_wall"] == {"dc", "mains"} and dashes["side_wall"] == "chain"
    assert kinds["plug_leg"] == set() and dashes["plug_leg"] == "dotted"
    assert kinds["under_floor"] == {"dc"} and dashes["under_floor"] == "solid"


def test_ways_end_at_their_nodes() -> None:
    fit = shipped("travelling-clinic")
    plan, side = _views("travelling-clinic")

    at = places(fit.case, floor_mm=0)
    for sheet, height in ((plan, "y_mm"), (side, "z_mm")):
        lines = [s.points for s in sheet.shapes if isinstance(s, Path) and len(s.points) == 3]
        ends = [(at[n].x_mm, getattr(at[n], height)) for way in fit.case.ways for n in (way.start, way.end)]
        assert [end for points in lines for end in (points[0], points[2])] == ends


def test_two_ways_between_the_same_nodes_lie_apart() -> None:
    ways = (handmade.way("one", "a", "b", 1000, 25), handmade.way("two", "a", "b", 1200, 25))

    lines = courses(ways, {"a": (0, 0), "b": (1000, 0)}, 20)

    assert lines["one"] == ((0, 0), (500, 0), (1000, 0))
    assert lines["two"] == ((0, 0), (500, 160), (1000, 0))  # 8 mm of paper aside: at 4 the ends are still near


def test_a_way_bends_round_a_node_that_is_not_its_own() -> None:
    way = handmade.way("past", "a", "b", 1000, 25)

    assert courses([way], {"a": (0, 0), "b": (1000, 0), "c": (400, 10)}, 20)["past"][1] != (500, 0)
    assert courses([way], {"a": (0, 0), "b": (1000, 0), "c": (400, 200)}, 20)["past"][1] == (500, 0)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_names_stand_at_what_they_name(name: str, want: str) -> None:
    fit = shipped(name, want)
    outline = fit.case.brief.outline
    assert outline
    at = places(fit.case, floor_mm=outline.floor_mm)
    for sheet, up in zip(_views(name, want), ("y_mm", "z_mm"), strict=True):
        lines = [s.points for s in sheet.shapes if isinstance(s, Path) and len(s.points) == 3]
        table = next(k for k, s in enumerate(sheet.shapes) if isinstance(s, Text) and s.text.startswith("Nodes of"))
        sheet = replace(sheet, shapes=sheet.shapes[:table])  # where names stand once more
        for marked, line in zip(marked_ways(fit), lines, strict=True):
            x, y = pointed(sheet, marked.label)
            off = [dist(a, (x, y)) + dist((x, y), b) - dist(a, b) for a, b in pairwise(line)]
            assert min(off) == pytest.approx(0, abs=1e-6), marked.label
        beside = up == "z_mm"  # heights stand beside names there
        for node in set(at) - set(fit.case.bay_of):
            words = f"{node} z {at[node].z_mm:g}" if beside else node
            assert pointed(sheet, words) == (at[node].x_mm, getattr(at[node], up))
        for bay in fit.case.bays:
            half_x, half_y = bay.length_mm / 2, (bay.width_mm if up == "y_mm" else bay.height_mm) / 2
            x, y = pointed(sheet, f"{bay.name} floor z {bay.z_mm}" if beside else bay.name)
            assert abs(x - at[bay.name].x_mm) <= half_x and abs(y - getattr(at[bay.name], up)) <= half_y


@pytest.mark.parametrize("name", SOLVED)
def test_rear_and_front_stand_at_their_ends(name: str) -> None:
    plan, side = _views(name)

    assert pointed(plan, "rear (datum x = 0)")[0] == pointed(side, "rear (datum x = 0)")[0] == 0
    assert pointed(plan, "front")[0] > max(bay.x_mm for bay in shipped(name).case.bays)
    assert plan.notes[0].startswith("Seen from above, front to the right, left side up.")
    assert side.notes[0].startswith("Seen from the right, front to the right.")


# --- what is not surveyed ----------------------------------------------------------------------------


def test_an_unsurveyed_node_lies_between_its_neighbours() -> None:
    """By hand: box at 2500, nose at 4000; ways of 1000 and 2000 pull 2 : 1, so 2500 * 2/3 + 4000 * 1/3 = 3000.

    A spot at z 1300 (weight 1/1000) and the nose's middle at z 400 + 400 (1/2000): 1300 * 2/3 + 800 * 1/3.
    """
    ways = (handmade.way("a", "post", "mid", 1000, 25), handmade.way("b", "mid", "nose", 2000, 25))
    case = replace(
        handmade.case(), ways=ways, node_positions=(c.NodePosition(node="post", x_mm=2500, y_mm=300, z_mm=1300),)
    )

    mid = places(case, floor_mm=400)["mid"]

    assert (mid.x_mm, mid.y_mm, mid.z_mm) == pytest.approx((3000, 200, 3400 / 3))
    assert mid.drawn == "between" and not mid.height_surveyed


def test_a_chain_of_unsurveyed_nodes_hangs_evenly() -> None:
    """Springs in a row: lengths 500, 1000, 500 from x 2500 to 4000 put the nodes at a quarter and three quarters."""
    ends = (("box", "p", 500), ("p", "q", 1000), ("q", "nose", 500))
    ways = tuple(handmade.way(f"w{k}", start, end, mm, 25) for k, (start, end, mm) in enumerate(ends))

    at = places(replace(handmade.case(), ways=ways), floor_mm=400)

    assert (at["p"].x_mm, at["q"].x_mm) == pytest.approx((2875, 3625))


def test_unsurveyed_nodes_with_one_neighbour_are_set_apart() -> None:
    at = places(handmade.case(), floor_mm=400)

    loose = [place for place in at.values() if not place.surveyed]
    spots = [(place.x_mm, place.y_mm) for place in at.values()]
    assert len(loose) == 5 and {place.drawn for place in loose} == {"beside"}
    assert min(dist(a, b) for k, a in enumerate(spots) for b in spots[:k]) >= 300


@pytest.mark.parametrize("name", SOLVED)
def test_every_unsurveyed_node_is_told_and_hollow(name: str) -> None:
    fit = _surveyed(shipped(name), "no positions")
    loose = {node for way in fit.case.ways for node in (way.start, way.end)} - set(fit.case.bay_of)

    for sheet in _views(name, "cheapest", "no positions"):
        told = {note.partition(":")[0] for note in sheet.notes if "not surveyed, drawn be" in note}
        assert told == loose == {spot.node for spot in shipped(name).case.node_positions}
        hollow = [s for s in sheet.shapes if isinstance(s, Path) and s.layer == "symbol" and s.fill == "paper"]
        assert len(hollow) == len(loose) + 1  # and one in the legend


def test_a_node_that_nothing_surveyed_is_joined_to_is_told_and_left_out() -> None:
    lost = (*handmade.case().ways, handmade.way("lost", "here", "there", 700, 25))
    plan, _ = vehicle_views(_by_hand(ways=lost))

    assert "here: not surveyed, and no way joins it to what is; not drawn." in plan.notes
    labels = [s.text for s in plan.shapes if isinstance(s, Text)]
    assert "here" not in labels and "W7" not in labels
    assert any(line.startswith("W7  lost") and line.endswith("empty") for line in plan.notes)


def test_without_an_outline_the_body_spans_zones_bays_and_axles_and_has_no_dimensions() -> None:
    """By hand: from the datum to the nose's front at 4500; 1800 wide, the roof's and the track's."""
    plan, side = vehicle_views(_by_hand())

    assert Box(0, -900, 4500, 900) in _boxes(plan, "outline")
    assert _measured(plan, "x") == [1500, 2000, 2500, 4000, 5000] and _measured(plan, "y") == [1800]
    assert _measured(side, "y") == []
    assert all(any("Outline not surveyed" in note for note in sheet.notes) for sheet in (plan, side))


def test_a_bay_of_unknown_height_is_dotted_on_the_floor_line() -> None:
    fit = shipped("tiny-trailer")
    bays = tuple(b.model_copy(update={"z_mm": None}) if b.name == "galley_base" else b for b in fit.case.bays)
    _, side = vehicle_views(replace(fit, case=replace(fit.case, bays=bays)))

    dotted = [s for s in side.shapes if isinstance(s, Path) and s.closed and s.dash == "dotted"]
    assert [path.points[0] for path in dotted] == [(225, 420)]
    assert "Height not surveyed, drawn on the floor line: galley_base." in side.notes
    assert "Floors of the bays above the ground [mm]: drawbar_box 480, side_locker 800." in side.notes
