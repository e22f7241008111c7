"""Feet, glands, pass-throughs and vents: proposed places, worked out by hand and held against the builds."""

from dataclasses import replace
from itertools import combinations, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.builds import Fitted, FittedEntry, FittedVent, PlacedPanel
from optimiser.case import NodePosition, Obstacle, Outline
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.places import Rect, panels_on, standing
from optimiser.fixings import BAY_DATUM, BOARD_DATUM, ROOF_DATUM, Fixing, fixings
from optimiser.fixings.entries import around, nearest
from optimiser.parts import Panel
from tests.handmade import world
from tests.packing_help import SOLVED, WANTS, shipped

BUILDS = [(name, want) for name in SOLVED for want in WANTS]


def _fit(build: dict[str, Any] | None = None, **case: Any) -> Fit:
    made = world()
    return fit_of(replace(made.case, **case), made.catalogue, replace(made.build, **(build or {})))


def _only(fit: Fit, kind: str) -> list[Fixing]:
    return [f for f in fixings(fit) if f.kind == kind]


def _at(found: list[Fixing]) -> list[tuple[int | None, int | None]]:
    return [(f.x_mm, f.y_mm) for f in found]


def _rect(fixing: Fixing) -> Rect:
    assert fixing.x_mm is not None and fixing.y_mm is not None
    return around((fixing.x_mm, fixing.y_mm), (fixing.length_mm, fixing.width_mm))


def _panels(fit: Fit) -> list[Rect]:
    return [lying.rect for zone in fit.case.zones for lying in panels_on(fit, zone)]


# --- feet ----------------------------------------------------------------------------------------------


def test_feet_of_the_trailer_by_hand() -> None:
    """1000 x 510 at (600, 200): 220 from the ends, 30 from the edges."""
    feet = _only(_fit(), "foot")
    assert _at(feet[:4]) == [(820, 230), (820, 680), (1380, 230), (1380, 680)]
    assert [f.name for f in feet] == [f"P{p}-F{f}" for p in (1, 2) for f in (1, 2, 3, 4)]
    assert {(f.length_mm, f.width_mm, f.place, f.datum, f.surveyed) for f in feet} == {
        (80, 60, "roof", ROOF_DATUM, False)
    }
    assert "rib or stringer" in feet[0].note and "check it against the kit" in feet[0].note


def test_a_turned_panel_has_its_feet_turned() -> None:
    panels = (PlacedPanel("roof", "panel-100", 600, -100, rotated=True, string="a.1"),)
    feet = _only(_fit({"panels": panels}), "foot")
    assert _at(feet) == [(630, 120), (630, 680), (1080, 120), (1080, 680)]
    assert {(f.length_mm, f.width_mm) for f in feet} == {(60, 80)}


@pytest.mark.parametrize(("length_mm", "along"), [(1500, (330, 1170)), (1501, (330, 750, 1171))])
def test_more_than_1500_mm_stand_on_six_feet(length_mm: int, along: tuple[int, ...]) -> None:
    made = world()
    panels = {"panel-100": made.catalogue.of("panels")["panel-100"].model_copy(update={"length_mm": length_mm})}
    catalogue = replace(made.catalogue, tables={**made.catalogue.tables, "panels": panels})
    fit = Fit(made.case, catalogue, replace(made.build, panels=made.build.panels[:1]))
    assert _at(_only(fit, "foot")) == [(600 + a, y) for a in along for y in (230, 680)]


def test_flexible_panels_have_no_feet_but_their_number() -> None:
    """Which leaves the second panel its own."""
    panels = world().build.panels
    feet = _only(_fit({"panels": (replace(panels[0], panel="panel-flex"), panels[1])}), "foot")
    assert {f.name.partition("-")[0] for f in feet} == {"P2"}


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_feet_stand_under_their_panel_with_little_overhang(name: str, want: str) -> None:
    fit = shipped(name, want)
    for number, placed in enumerate(fit.build.panels, start=1):
        panel = fit.part(placed.panel, Panel)
        feet = [f for f in _only(fit, "foot") if f.name.startswith(f"P{number}-")]
        size = (panel.width_mm, panel.length_mm) if placed.rotated else (panel.length_mm, panel.width_mm)
        rect = Rect.sized(placed.x_mm, placed.y_mm, *size)
        wanted = 0 if panel.kind != "rigid" else 6 if panel.length_mm > 1500 else 4
        assert len(feet) == wanted
        for foot in feet:
            zone = fit.zone_of[placed.zone]
            assert _rect(foot).inside(rect) >= 0
            assert _rect(foot).inside(Rect.sized(zone.x_mm, zone.y_mm, zone.length_mm, zone.width_mm)) >= 0
            assert (foot.place, foot.part) == (placed.zone, placed.panel)
        if feet:
            axis = 0 if size[0] >= size[1] else 1
            ends = [(_rect(f).x0 + _rect(f).x1, _rect(f).y0 + _rect(f).y1)[axis] / 2 for f in feet]
            over = max(min(ends) - (rect.x0, rect.y0)[axis], (rect.x1, rect.y1)[axis] - max(ends))
            assert 0.2 <= over / size[axis] <= 0.25  # 20 to 25 %: common practice, no source


# --- glands --------------------------------------------------------------------------------------------


def test_without_a_spot_the_gland_is_at_the_edge_by_the_first_panel() -> None:
    """The first panel starts 100 from the rear of the zone, which is at 500: middle at y 455, 60 mm gland."""
    (gland,) = _only(_fit(), "gland")
    assert (gland.x_mm, gland.y_mm, gland.place, gland.surveyed) == (530, 455, "roof", False)
    assert gland.note == (
        "no position was surveyed: proposed, the nearest free place to the edge of roof by the first panel"
    )


@pytest.mark.parametrize(("panel_y", "gland_y"), [(300, 870), (-790, -870)])
def test_the_edge_is_the_one_that_the_first_panel_is_nearest_to(panel_y: int, gland_y: int) -> None:
    """From 1500 to 2500 it is 1000 from both ends of the zone, and 90 from its left or 110 from its right side."""
    panels = (PlacedPanel("roof", "panel-100", 1500, panel_y, rotated=False, string="a.1"),)
    zones = (world().case.zones[0].model_copy(update={"walkway_mm": 0}),)
    (gland,) = _only(_fit({"panels": panels}, zones=zones, obstacles=()), "gland")
    assert (gland.x_mm, gland.y_mm) == (2000, gland_y)


def _entry(name: str, **columns: int) -> Fit:
    made = world()
    entries = dict(made.catalogue.of("entries"))
    entries[name] = entries[name].model_copy(update=columns)
    return fit_of(made.case, replace(made.catalogue, tables={**made.catalogue.tables, "entries": entries}), made.build)


def test_sizes_of_entries_are_along_x_and_along_y() -> None:
    """A gland of 80 x 60 is rotated where it comes nearer to the rear edge at 500 so; a pass of 100 x 60 lies level."""
    (gland,) = _only(_entry("gland", length_mm=80), "gland")
    assert (gland.length_mm, gland.width_mm, gland.x_mm) == (60, 80, 530)
    (found,) = _only(_entry("pass", length_mm=100), "pass_through")  # half of 60 under the upper edge at 400
    assert (found.length_mm, found.width_mm, found.x_mm, found.y_mm) == (100, 60, 300, 370)


def test_without_spot_and_panels_the_gland_is_in_the_middle_of_the_zone() -> None:
    """(500..3500, -900..900), where the hatch's lid comes to lie: beside it, 2100 + 10 + 30."""
    made = world()
    (gland,) = _only(Fit(made.case, made.catalogue, replace(made.build, panels=())), "gland")
    assert (gland.x_mm, gland.y_mm) == (2140, 0)
    assert gland.note.endswith("the nearest free place to the middle of roof")


def test_a_free_surveyed_spot_is_kept() -> None:
    (gland,) = _only(_fit(node_positions=(NodePosition(node="roof_point", x_mm=3300, y_mm=-500, z_mm=2500),)), "gland")
    assert (gland.x_mm, gland.y_mm, gland.surveyed, gland.note) == (3300, -500, True, "at the surveyed position")


def test_a_surveyed_spot_in_a_walkway_is_kept_and_told() -> None:
    """The walkway is the right 300 mm of -900..900; 60 mm gland."""
    for y_mm, told in ((-630, ", in the walkway of roof: look whether it may stay"), (-570, "")):
        (gland,) = _only(
            _fit(node_positions=(NodePosition(node="roof_point", x_mm=3300, y_mm=y_mm, z_mm=2500),)), "gland"
        )
        assert (gland.y_mm, gland.surveyed, gland.note) == (y_mm, True, f"at the surveyed position{told}")


def test_a_proposed_gland_keeps_off_walkways_lids_and_clearances() -> None:
    """The hatch is (1700..2100, -600..-200) with 50 mm around it and its lid 350 mm to the left; 60 mm gland."""
    bodies = [Rect(500, -900, 3500, -600), Rect(1650, -650, 2150, -150), Rect(1700, -200, 2100, 150)]
    made = world()
    for x_mm, y_mm in ((1800, -400), (1750, -190), (2090, -210)):
        spots = (NodePosition(node="roof_point", x_mm=x_mm, y_mm=y_mm, z_mm=2500),)
        fit = Fit(replace(made.case, node_positions=spots), made.catalogue, replace(made.build, panels=()))
        (gland,) = _only(fit, "gland")
        assert not gland.surveyed and gland.note.endswith("the nearest free place to that position")
        assert min(_rect(gland).gap(body) for body in bodies) == 10, gland


def test_a_spot_under_a_panel_moves_beside_it() -> None:
    """Panel 1 is (600..1600, 200..710); 60 mm gland, 10 mm of sealant: 40 from its edge."""
    (gland,) = _only(_fit(node_positions=(NodePosition(node="roof_point", x_mm=1000, y_mm=690, z_mm=2500),)), "gland")
    assert (gland.x_mm, gland.y_mm, gland.surveyed) == (1000, 750, False)
    assert gland.note.startswith("the surveyed position (1000, 690) is taken by panel P1")


def test_a_spot_off_the_zones_counts_only_on_a_surveyed_roof() -> None:
    spots = (NodePosition(node="roof_point", x_mm=200, y_mm=0, z_mm=2500),)
    (gland,) = _only(_fit(node_positions=spots), "gland")
    assert (gland.x_mm, gland.y_mm, gland.surveyed) == (530, 0, False)
    assert "is not on what was surveyed of the roof" in gland.note
    outline = Outline(length_mm=4000, width_mm=2000, floor_mm=500, roof_mm=2500, wheel_mm=600)
    brief = world().case.brief.model_copy(update={"outline": outline})
    (gland,) = _only(_fit(node_positions=spots, brief=brief), "gland")
    assert (gland.x_mm, gland.y_mm, gland.surveyed, gland.place) == (200, 0, True, "sun")


def test_glands_of_a_light_stand_side_by_side() -> None:
    entries = (FittedEntry("sun", "gland", 3),)
    glands = _only(
        _fit({"entries": entries}, node_positions=(NodePosition(node="roof_point", x_mm=3300, y_mm=-500, z_mm=2500),)),
        "gland",
    )
    assert _at(glands) == [(3300, -500), (3230, -500), (3300, -430)]
    assert [g.name for g in glands] == ["G1", "G2", "G3"]
    assert [g.surveyed for g in glands] == [True, False, False]


def test_no_free_place_on_the_roof_is_said() -> None:
    cover = Obstacle(
        name="tent", zone="roof", x_mm=500, y_mm=-900, length_mm=3000, width_mm=1800, height_mm=1, clear_mm=0
    )
    (gland,) = _only(_fit(obstacles=(cover,)), "gland")
    assert (gland.x_mm, gland.y_mm, gland.surveyed) == (None, None, False)
    assert "no free place found: under a panel or outside the zones, decide on the roof" in gland.note


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_glands_are_off_panels_obstacles_and_each_other(name: str, want: str) -> None:
    fit = shipped(name, want)
    glands = _only(fit, "gland")
    assert len(glands) == sum(e.count for e in fit.build.entries if not e.board) > 0
    others = [*_panels(fit), *(Rect.sized(o.x_mm, o.y_mm, o.length_mm, o.width_mm) for o in fit.case.obstacles)]
    spots = {(s.x_mm, s.y_mm) for s in fit.case.node_positions}
    for gland in glands:
        assert all(_rect(gland).gap(other) >= 0 for other in others)
        assert gland.surveyed == ((gland.x_mm, gland.y_mm) in spots)
    assert all(_rect(a).gap(_rect(b)) >= 0 for a, b in combinations(glands, 2))


# --- pass-throughs -------------------------------------------------------------------------------------


def test_a_pass_through_by_hand() -> None:
    """60 mm under the middle of the upper edge of the 600 x 400 board; the old battery ends at 300."""
    (found,) = _only(_fit(), "pass_through")
    assert (found.name, found.x_mm, found.y_mm, found.place) == ("aerial", 300, 370, "nose.side")
    assert (found.datum, found.surveyed) == (BOARD_DATUM, False)


def test_a_pass_through_keeps_the_clearance_of_what_stands_there() -> None:
    """A body of 100 x 100 with 20 mm around at (250, 290): the pass goes beside, at 250 - 20 - 30."""
    body = Fitted("switch", "switch", "nose.side", 250, 300)
    fitted = (*(f for f in world().build.fitted if f.slot != "switch"), body)
    (found,) = _only(_fit({"fitted": fitted}), "pass_through")
    assert (found.x_mm, found.y_mm) == (200, 370)


def test_a_body_may_want_more_above_it_than_beside_it() -> None:
    """60 mm along its length, which is upright on a wall, and 20 beside it: still at 250 - 20 - 30."""
    made, body = world(), Fitted("switch", "switch", "nose.side", 250, 300)
    switch = made.catalogue.of("switches")["switch"].model_copy(update={"clear_length_mm": 60})
    catalogue = replace(made.catalogue, tables={**made.catalogue.tables, "switches": {"switch": switch}})
    fitted = (*(f for f in made.build.fitted if f.slot != "switch"), body)
    (found,) = _only(fit_of(made.case, catalogue, replace(made.build, fitted=fitted)), "pass_through")

    assert (found.x_mm, found.y_mm) == (200, 370)


def test_several_pass_throughs_have_names_of_their_own() -> None:
    found = _only(_fit({"entries": (FittedEntry("aerial", "pass", 2, "nose.side"),)}), "pass_through")
    assert [f.name for f in found] == ["aerial-1", "aerial-2"]
    assert _at(found) == [(300, 370), (230, 370)]
    assert min(_rect(a).gap(_rect(b)) for a, b in combinations(found, 2)) == 10  # for the sealant of both


@pytest.mark.parametrize("want", WANTS)
def test_pass_throughs_lie_on_their_board_off_the_bodies(want: str) -> None:
    fit = shipped("travelling-clinic", want)
    found = _only(fit, "pass_through")
    assert found
    for one in found:
        board = fit.case.board_of[one.place]
        assert _rect(one).inside(Rect(0, 0, board.length_mm, board.width_mm)) >= 0
        for body in standing(fit):
            if body.board.place == one.place:
                apart = (
                    _rect(one).gap_x(body.rect) >= body.foot.clear_x_mm,
                    _rect(one).gap_y(body.rect) >= body.foot.clear_y_mm,
                )
                assert any(apart), body.slot


# --- vents ---------------------------------------------------------------------------------------------


def test_two_openings_of_a_grille_by_hand() -> None:
    """450 cm2 are two of 225, squares of 150 mm; 30 mm from rear and floor, 300 mm apart."""
    low, high = _only(_fit(), "vent")
    assert [(v.name, v.x_mm, v.y_mm, v.length_mm, v.width_mm) for v in (low, high)] == [
        ("V1-low", 105, 105, 150, 150),
        ("V1-high", 105, 405, 150, 150),
    ]
    assert (low.datum, low.place, low.surveyed) == (BAY_DATUM, "locker", False)
    assert "fitter's choice" in low.note and "at least 300 mm" in low.note


def test_several_vents_stand_side_by_side_until_the_bay_ends() -> None:
    """30 + 150 mm each and 30 mm at the end: five take 930 of the 1000 mm, and a sixth has no room."""
    found = _only(_fit({"vents": (FittedVent("locker", "grille", 6),)}), "vent")
    lows = [v for v in found if v.name.endswith("-low")]
    assert [v.x_mm for v in lows] == [105, 285, 465, 645, 825, None]
    assert "need 1110 mm of a wall without a board or a cable opening and the bay has 1000 mm" in lows[-1].note


def _bay(**columns: int) -> Fit:
    return _fit(bays=tuple(b.model_copy(update=columns) if b.name == "locker" else b for b in world().case.bays))


def test_openings_too_high_for_the_bay_become_longer() -> None:
    """225 cm2 each; 600 of 800 mm apart, 30 mm at both ends, leave 140 mm of height: 161 mm long, 225.4 cm2."""
    low, high = _only(_bay(stack_mm=600), "vent")

    assert [(v.x_mm, v.y_mm) for v in (low, high)] == [(111, 100), (111, 700)]
    assert {(v.length_mm, v.width_mm) for v in (low, high)} == {(161, 140)}


@pytest.mark.parametrize(("stack_mm", "placed"), [(700, True), (701, False)])
def test_openings_are_no_lower_than_a_grille_is_made(stack_mm: int, placed: bool) -> None:
    """700 mm apart leave 40 mm of height, one more leaves less."""
    low, _ = _only(_bay(stack_mm=stack_mm), "vent")

    assert (low.x_mm is not None) == placed
    assert ("no place" in low.note) != placed


def test_openings_of_a_fan_stay_square_and_are_not_shrunk() -> None:
    """150 mm, 600 mm apart, with 30 mm at both ends: 810 of 800 mm; 140 mm would do."""
    fit = _bay(stack_mm=600)
    vents = {name: v.model_copy(update={"kind": "fan"}) for name, v in fit.catalogue.of("vents").items()}
    tables = dict(fit.catalogue.tables) | {"vents": vents}
    found = _only(replace(fit, catalogue=replace(fit.catalogue, tables=tables)), "vent")

    assert {(v.x_mm, v.y_mm, v.length_mm) for v in found} == {(None, None, 150)}
    assert [v.note.partition(":")[0] for v in found] == ["inlet grille of the fan", "fan"]  # low and high
    assert (
        "need 810 mm of height and the bay has 800 mm; 600 mm apart, openings can be 140 mm high at most"
        in found[0].note
    )


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_openings_are_large_enough_inside_the_bay_and_far_enough_apart(name: str, want: str) -> None:
    fit = shipped(name, want)
    found = _only(fit, "vent")
    assert len(found) == 2 * sum(v.count for v in fit.build.vents)
    for low, high in zip(found[::2], found[1::2], strict=True):
        bay, vent = fit.case.bay_of[low.place], fit.catalogue.of("vents")[low.part]
        assert low.length_mm * low.width_mm + high.length_mm * high.width_mm >= vent.cut_out_cm2 * 100
        if low.y_mm is None or high.y_mm is None:
            assert 2 * 30 + bay.stack_mm + low.width_mm > bay.height_mm and "no place" in low.note
            continue
        assert high.y_mm - low.y_mm == bay.stack_mm
        whole = Rect(0, 0, bay.length_mm, bay.height_mm)
        assert _rect(low).inside(whole) >= 30 and _rect(high).inside(whole) >= 30


# --- all of them ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_names_are_unique(name: str, want: str) -> None:
    names = [f.name for f in fixings(shipped(name, want))]
    assert len(names) == len(set(names))


def test_a_build_without_any_has_none() -> None:
    nothing: dict[str, Any] = {"panels": (), "entries": (), "vents": ()}
    assert fixings(_fit(nothing)) == ()


_RECTS = st.builds(Rect.sized, st.integers(0, 18), st.integers(0, 18), st.integers(1, 12), st.integers(1, 12))


@settings(deadline=None)
@given(
    target=st.tuples(st.integers(-5, 25), st.integers(-5, 25)),
    size=st.tuples(st.integers(1, 6), st.integers(1, 6)),
    off=st.lists(_RECTS, max_size=5),
    gap_mm=st.integers(0, 2),
)
def test_the_nearest_place_is_the_nearest_of_all_whole_mm(
    target: tuple[int, int], size: tuple[int, int], off: list[Rect], gap_mm: int
) -> None:
    area = Rect(0, 0, 20, 20)
    halves = [(side + 1) // 2 for side in size]

    def free(x: int, y: int) -> bool:
        box = (x - halves[0], y - halves[1], x + halves[0], y + halves[1])
        inside = box[0] >= 0 and box[1] >= 0 and box[2] <= 20 and box[3] <= 20
        return inside and all(
            box[2] + gap_mm <= o.x0 or o.x1 + gap_mm <= box[0] or box[3] + gap_mm <= o.y0 or o.y1 + gap_mm <= box[1]
            for o in off
        )

    far = [(x - target[0]) ** 2 + (y - target[1]) ** 2 for x, y in product(range(21), range(21)) if free(x, y)]
    found = nearest(target, size, within=[area], off=off, gap_mm=gap_mm)
    assert (found is None) == (not far)
    if found:
        assert free(*found) and (found[0] - target[0]) ** 2 + (found[1] - target[1]) ** 2 == min(far)
