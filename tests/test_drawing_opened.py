"""Bays opened out, with their cables: folded up again it is the bay, and each cable is as long as it was cut for."""

from io import StringIO
from itertools import pairwise, product
from math import dist

import pytest
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read

from optimiser.drawing import to_dxf
from optimiser.drawing.bays.opened import cables_in, flat, lines_of, opened_bays
from optimiser.fitted import Fit
from optimiser.fitted.drawn import Leg, pieces_of, through
from optimiser.fitted.wiring import routed_runs
from tests.asking import world
from tests.packing_help import SOLVED, WANTS, shipped
from tests.schedules_help import fit_made

EACH = pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))


def long_mm(fit: Fit, bay: str, leg: Leg) -> float:
    """Along the lines of a cable as they lie on the bay opened out."""
    lines = lines_of(fit.case.bay_of[bay], leg)
    return sum(dist(*stretch) for line in lines for stretch in pairwise(line))


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
        ways_mm += sum(long_mm(fit, leg.bay, leg) for leg in through(fit, laid))
        for piece in (piece for core in pieces_of(fit, laid) for piece in core):
            inside_mm = sum(long_mm(fit, leg.bay, leg) for leg in piece.legs if all(leg.patches))
            whole_mm = inside_mm + (ways_mm if piece.ways_mm else 0)

            assert whole_mm == pytest.approx(piece.drawn_mm), run
            assert whole_mm + 2 * fit.case.rules["end_mm"] <= piece.cut_mm, run


@EACH
def test_the_file_for_cad_has_each_cable_as_long_as_it_was_calculated(name: str, want: str) -> None:
    fit = shipped(name, want)
    sheets = opened_bays(fit)
    for sheet in sheets:
        entities = read(StringIO(to_dxf(sheet))).modelspace()
        lines = [line for line in entities if line.dxf.layer == "cable" and isinstance(line, LWPolyline)]
        solid = [line for line in lines if line.dxf.linetype in ("BYLAYER", "Continuous", "CONTINUOUS")]
        drawn_mm = sum(dist(*stretch) for line in solid for stretch in pairwise(line.get_points("xy")))

        assert drawn_mm == pytest.approx(sum(leg.mm for leg in cables_in(fit, sheet.key.removeprefix("opened-"))))
    assert sheets


@EACH
def test_nothing_covers_anything_and_it_goes_on_its_paper(name: str, want: str) -> None:
    for sheet in opened_bays(shipped(name, want)):
        assert not sheet.clashes()
        assert sheet.fits


def test_a_bay_that_is_not_surveyed_is_not_opened_out() -> None:
    assert opened_bays(fit_made(world())) == []
