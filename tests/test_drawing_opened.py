"""Bays opened out, with their cables: folded up again it is the bay, and each cable is as long as it was cut for."""

from dataclasses import replace
from io import StringIO
from itertools import pairwise, product
from math import dist

import pytest
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read

from optimiser.drawing import to_dxf
from optimiser.drawing.bays.legs import FACES, DrawnLeg, Stretch, aside_mm, legs_in
from optimiser.drawing.bays.opened import flat, lines_of, opened_bays, upright
from optimiser.drawing.shapes import Point
from optimiser.fitted import Fit
from optimiser.fitted.drawn import Leg, pieces_of, through
from optimiser.fitted.wiring import routed_runs
from optimiser.schedules.pieces import Cut, cuts
from tests.asking import world
from tests.drawing_bays_help import texts_of
from tests.packing_help import SOLVED, WANTS, opened, shipped
from tests.schedules_help import fit_made

EACH = pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))


def long_mm(fit: Fit, leg: Leg) -> float:
    """Along the lines of a cable as they lie on the bay opened out."""
    bay = fit.case.bay_of[leg.bay]
    (drawn,) = [it for it in legs_in(fit, bay) if it.leg == leg] if leg.mm else [None]
    return sum(dist(*stretch) for line in _lines(fit, drawn) for stretch in pairwise(line)) if drawn else 0.0


def _lines(fit: Fit, leg: DrawnLeg) -> list[list[Point]]:
    bay = fit.case.bay_of[leg.leg.bay]
    return lines_of(leg, FACES, lambda face, at: flat(bay, face, at))


@pytest.mark.parametrize(
    ("one", "other", "at"),
    [
        ("floor", "left", (150, 480, 0)),
        ("floor", "right", (150, 0, 0)),
        ("floor", "front", (550, 70, 0)),
        ("floor", "rear", (0, 70, 0)),
        ("left", "ceiling", (150, 480, 900)),
    ],
)
def test_faces_beside_one_another_share_their_edge(one: str, other: str, at: tuple[int, int, int]) -> None:
    """The van's wardrobe, 550 x 480 x 900."""
    bay = shipped("grey-month-van").case.bay_of["wardrobe"]

    assert flat(bay, one, at) == flat(bay, other, at)


def test_folded_down_by_hand() -> None:
    """100 up the left wall is 480 + 100 from the right edge of the floor; beyond that wall lies the ceiling."""
    bay = shipped("grey-month-van").case.bay_of["wardrobe"]

    assert flat(bay, "left", (200, 480, 100)) == (200, 580)
    assert flat(bay, "right", (200, 0, 100)) == (200, -100)
    assert flat(bay, "front", (550, 200, 100)) == (650, 200)
    assert flat(bay, "rear", (0, 200, 100)) == (-100, 200)
    assert flat(bay, "ceiling", (200, 30, 900)) == (200, 480 + 900 + 450)


@EACH
def test_each_piece_is_cut_no_shorter_than_it_is_drawn(name: str, want: str) -> None:
    """With what its ends take; all boards of these vehicles are surveyed."""
    fit = shipped(name, want)
    for run, laid in routed_runs(fit).items():
        ways_mm = float(sum(way.length_mm for way in laid.ways))
        ways_mm += sum(long_mm(fit, leg) for leg in through(fit, laid))
        for piece in (piece for core in pieces_of(fit, laid) for piece in core):
            inside_mm = sum(long_mm(fit, leg) for leg in piece.legs if all(leg.patches))
            whole_mm = inside_mm + (ways_mm if piece.ways_mm else 0)

            assert whole_mm == pytest.approx(piece.drawn_mm), run
            assert whole_mm + 2 * fit.case.rules["end_mm"] <= piece.cut_mm, run


@EACH
def test_the_file_for_cad_has_each_cable_as_long_as_it_was_calculated(name: str, want: str) -> None:
    fit = shipped(name, want)
    sheets = opened(name, want)
    for sheet in sheets:
        entities = read(StringIO(to_dxf(sheet))).modelspace()
        lines = [line for line in entities if line.dxf.layer == "cable" and isinstance(line, LWPolyline)]
        solid = [line for line in lines if line.dxf.linetype in ("BYLAYER", "Continuous", "CONTINUOUS")]
        drawn_mm = sum(dist(*stretch) for line in solid for stretch in pairwise(line.get_points("xy")))

        name_of, _, face = sheet.key.removeprefix("opened-").partition("-")
        legs = legs_in(fit, fit.case.bay_of[name_of])
        on = [dist(start, end) for leg in legs for its, start, end in leg.stretches if its == face]
        assert drawn_mm == pytest.approx(sum(on) if face else sum(leg.leg.mm for leg in legs))
    assert sheets


@EACH
def test_nothing_covers_anything_and_it_goes_on_its_paper(name: str, want: str) -> None:
    for sheet in opened(name, want):
        assert not sheet.clashes()
        assert sheet.fits


def test_a_bay_that_is_not_surveyed_is_not_opened_out() -> None:
    assert opened_bays(fit_made(world())) == []


# --- letters, lanes and crowded faces -------------------------------------------------------------------------


@EACH
def test_the_table_has_each_leg_once_with_the_pieces_of_the_cutting_list(name: str, want: str) -> None:
    """Each leg is told on the bay's sheet or on that of a crowded face, by its letter, which stands on that sheet too;
    all pieces that have a leg between surveyed places are told, by the cutting list's marks."""
    fit = shipped(name, want)
    listed = {cut.mark: cut for cut in cuts(fit)}
    sheets = opened(name, want)
    for bay in fit.case.bays:
        ours = [sheet for sheet in sheets if sheet.key.removeprefix("opened-").partition("-")[0] == bay.name]
        told = {note for sheet in ours for note in sheet.notes}
        for leg in legs_in(fit, bay):
            marks = [mark for _, mark in leg.pieces]
            (line,) = (note for note in told if note.startswith(f"{leg.letter}: "))
            assert line.endswith(f"{leg.leg.mm} mm; {', '.join(marks)}")
            shows = [sheet for sheet in ours if line in sheet.notes]
            assert shows and all(leg.letter in [t.text for t in texts_of(sheet) if t.bold] for sheet in shows)
            gone = [set(listed[mark].piece.legs) | set(through(fit, listed[mark].laid)) for mark in marks]
            assert all(leg.leg in its for its in gone)
    told_marks = {mark for bay in fit.case.bays for leg in legs_in(fit, bay) for _, mark in leg.pieces}
    assert told_marks == {cut.mark for cut in listed.values() if _has_a_leg(fit, cut)}


def _has_a_leg(fit: Fit, cut: Cut) -> bool:
    gone = [*cut.piece.legs, *(through(fit, cut.laid) if cut.piece.ways_mm else ())]
    return any(leg.mm and all(leg.patches) for leg in gone)


@EACH
def test_cables_that_lie_on_each_other_are_drawn_beside_each_other(name: str, want: str) -> None:
    """In the bay opened out no two of up to seven lie less than 5 mm beside each other: lines of 0.35 mm would cover
    each other at 1:20. One with none so near is where it is."""
    fit = shipped(name, want)
    moved = 0
    for bay in fit.case.bays:
        legs = legs_in(fit, bay)
        for leg in legs:
            others = [other for other in legs if other is not leg]
            near = [o for o in others if any(_side_by_side(a, b) for a in leg.stretches for b in o.stretches)]
            assert near or leg.lane == 0
            assert leg.lane not in [other.lane for other in near]
            moved += leg.lane > 0
            assert (aside_mm(leg) == 0) == (leg.lane % 7 == 0)
    assert moved


def _side_by_side(one: Stretch, other: Stretch) -> bool:
    """Along one edge of the bay, on some of it both, and less than 5 mm apart."""
    along = [axis for axis in range(3) if one[1][axis] != one[2][axis]]
    if along != [axis for axis in range(3) if other[1][axis] != other[2][axis]]:
        return False
    if any(abs(one[1][axis] - other[1][axis]) >= 5 for axis in range(3) if axis not in along):
        return False
    spans = [sorted((it[1][axis], it[2][axis])) for it in (one, other) for axis in along]
    return spans[0][0] < spans[1][1] and spans[1][0] < spans[0][1]


def test_lanes_by_hand() -> None:
    """To either side in turn, 0.7 mm of paper: the second, third and fourth at 0.7, -0.7 and 1.4, the eighth in the
    middle again."""
    (leg, *_) = legs_in(shipped("tiny-trailer"), shipped("tiny-trailer").case.bay_of["galley_base"])
    found = [aside_mm(replace(leg, lane=lane)) for lane in (0, 1, 2, 3, 6, 7)]
    assert found == pytest.approx([0, 0.7, -0.7, 1.4, -2.1, 0])


def test_a_face_seen_upright_by_hand() -> None:
    """The van's garage wall, 1100 x 300 x 700: from inside, the right wall's left is the front."""
    bay = shipped("grey-month-van").case.bay_of["garage_wall"]

    assert upright(bay, "right", (1000, 0, 200)) == (100, 200)
    assert upright(bay, "left", (1000, 300, 200)) == (1000, 200)
    assert upright(bay, "front", (1100, 40, 60)) == (260, 60)
    assert upright(bay, "rear", (0, 40, 60)) == (40, 60)
    assert upright(bay, "floor", (605, 260, 0)) == (605, 260)


def test_crowded_walls_have_a_larger_sheet_of_their_own() -> None:
    """More than twenty cables on the van's panel and behind the clinic's desk; the trailer's bays have 1:5 at once."""
    keys = {sheet.key: sheet.scale for name in SOLVED for sheet in opened(name)}

    assert {key for key in keys if key.count("-") > 1} == {"opened-garage_wall-right", "opened-desk_base-left"}
    assert keys["opened-garage_wall-right"] == keys["opened-desk_base-left"] == 5
    assert keys["opened-garage_wall"] == 10 and keys["opened-desk_base"] == 20
    assert all(keys[f"opened-{bay}"] == 5 for bay in ("drawbar_box", "galley_base", "side_locker"))
