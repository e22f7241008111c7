"""What may stand in front of a vent's openings, worked out by hand and held against every place of a board."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from optimiser.audit import Fit
from optimiser.audit.shapes import Rect
from optimiser.audit.standing import standing
from optimiser.fixings import fixings
from optimiser.fixings.in_front import before, in_front
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import every_build, fit_made


def _said(made: World) -> str:
    notes = {f.note.partition(": ")[2] for f in fixings(fit_made(made)) if f.kind == "vent"}
    (note,) = notes
    return note


def test_on_a_board_as_large_as_the_bay_it_is_told_but_for_its_direction() -> None:
    """The wall is the bay's 1000 x 800. Openings (30..180) x (30..180) and (30..180) x (330..480).

    From the left: busbar (50..150, 50..150) low; fuse row (50..200, 350..410) high. From the right, at (820..970): of
    all bodies none ends beyond 750. The regulator (50..150, 200..300) is between the two.
    """
    made = world()
    fit = fit_made(made)
    wall, bay = made.case.board_of["locker.wall"], made.case.bay_of["locker"]

    assert before(fit, bay, wall, Rect(30, 30, 180, 180)) == ["busbar"]
    assert before(fit, bay, wall, Rect(30, 330, 180, 480)) == ["fuse_row"]
    assert "on wall busbar (low), fuse_row (high)" in _said(made)
    assert "which of their ends is its rear one is not surveyed" in _said(made)


def test_what_stands_there_seen_from_either_end_is_told_for_sure() -> None:
    """Two bodies, mirrored: one over the opening from the left, another from the right."""
    made = world()
    only = tuple(f for f in made.build.fitted if f.slot in ("bank", "main_fuse", "busbar"))
    bare = World(made.case, made.catalogue, replace(made.build, fitted=only))
    middle = changed(bare, "fitted.busbar.x_mm", 450)  # 450..550 of 1000: the same from both ends, off the openings
    assert "in front of them stands nothing on wall" in _said(middle)
    wide = changed(middle, "parts.busbar-250.length_mm", 940)
    wide = changed(wide, "parts.busbar-250.width_mm", 940)
    said = _said(changed(changed(wide, "fitted.busbar.x_mm", 30), "fitted.busbar.y_mm", 0))
    assert said.endswith("in front of them stands on wall busbar (low), busbar (high)")


def test_a_board_smaller_than_the_bay_may_lie_anywhere_in_it() -> None:
    """20 mm shorter: the inverter's board place may be up to 20 mm further from the rear."""
    made = changed(world(), "boards.wall.length_mm", 980)
    fit = fit_made(made)
    wall, bay = fit.case.board_of["locker.wall"], fit.case.bay_of["locker"]

    # (200..300) from the left; from the right 1000 - 750 = 250..350 for the mains box, or 20 less
    assert before(fit, bay, wall, Rect(301, 50, 310, 100)) == ["isolator", "mains_box"]
    assert before(fit, bay, wall, Rect(320, 50, 330, 100)) == ["mains_box"]
    assert "where boards lie in the bay" in _said(made)


@pytest.mark.parametrize("size", ["length_mm", "width_mm"])
def test_of_a_board_that_does_not_fit_the_side_nothing_can_be_told(size: str) -> None:
    made = changed(world(), f"boards.wall.{size}", 1001)
    assert "cannot be told of wall, larger" in _said(made)


def test_floors_are_left_out() -> None:
    made = changed(world(), "boards.wall.kind", "floor")
    assert "front of" not in _said(made)


@every_build
def test_no_body_that_some_place_of_its_board_brings_in_front_is_left_out(name: str, want: str) -> None:
    fit = shipped(name, want)
    for hole in (f for f in fixings(fit) if f.kind == "vent" and f.x_mm is not None):
        assert hole.x_mm is not None and hole.y_mm is not None
        rect = Rect.sized(
            hole.x_mm - -(-hole.length_mm // 2), hole.y_mm - -(-hole.width_mm // 2), hole.length_mm, hole.width_mm
        )
        bay = fit.case.bay_of[hole.place]
        for board in (b for b in fit.case.boards if b.bay == bay.name and b.kind == "wall"):
            assert set(before(fit, bay, board, rect)) == _tried(fit, hole.place, board.place, rect)


def _tried(fit: Fit, bay_name: str, place: str, rect: Rect) -> set[str]:
    """The same by trying places of the board, 5 mm apart, and at either end."""
    bay, board = fit.case.bay_of[bay_name], fit.case.board_of[place]
    found = set()
    spare = (bay.length_mm - board.length_mm, bay.height_mm - board.width_mm)
    steps = [sorted({*range(0, room + 1, 5), room}) for room in spare]
    for body in (b for b in standing(fit) if b.board.place == place):
        for dx, dy in product(*steps):
            left = Rect(body.rect.x0 + dx, body.rect.y0 + dy, body.rect.x1 + dx, body.rect.y1 + dy)
            right = Rect(bay.length_mm - left.x1, left.y0, bay.length_mm - left.x0, left.y1)
            if left.gap(rect) < 0 or right.gap(rect) < 0:
                found.add(body.slot)
    return found


def test_the_clinics_vent_is_told_to_lie_behind_bodies() -> None:
    fit = shipped("travelling-clinic")
    note = next(f.note for f in fixings(fit) if f.name == "V1-low")

    for slot in ("mains_box", "fuse_row"):
        assert slot in note
    assert "may" in note and "not surveyed" in note


def test_without_a_place_nothing_is_told() -> None:
    made = changed(world(), "bays.locker.stack_mm", 780)
    fit = fit_made(made)
    assert all("front of" not in f.note for f in fixings(fit) if f.kind == "vent")
    assert in_front(fit, made.case.bay_of["box"], {}) == ""
