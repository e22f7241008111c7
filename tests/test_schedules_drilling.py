"""The drilling list: every fixing once, and the holes that nobody surveyed without coordinates."""

from collections.abc import Iterable

import pytest

from optimiser.case import NodePosition, Outline
from optimiser.fitted.wiring import routed_runs
from optimiser.fixings import Fixing, Kind, fixings
from optimiser.fixings.vents import openings
from optimiser.schedules.drilling import drilling
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import every_build, fit_made, rows_of


def _names(holes: Iterable[Fixing]) -> tuple[object, ...]:
    """Of fixings alone, in the order of the list."""
    schedule = drilling(fit_made(world()), holes)
    return tuple(row["name"] for row in rows_of(schedule) if row["place is"] != "not surveyed")


@every_build
def test_each_fixing_is_drilled_once(name: str, want: str) -> None:
    fit = shipped(name, want)
    holes = {hole.name: hole for hole in fixings(fit)}
    schedule = drilling(fit, holes.values())
    drilled = [row for row in rows_of(schedule) if row["place is"] != "not surveyed"]

    assert sorted(str(row["name"]) for row in drilled) == sorted(holes)
    for row in drilled:
        hole = holes[str(row["name"])]
        sizes = (hole.x_mm, hole.y_mm, hole.length_mm, hole.width_mm)
        assert (row["x of centre"], row["y of centre"], row["along x"], row["along y"]) == sizes
        assert row["place is"] == ("surveyed" if hole.surveyed else "proposed")
        notes = dict(note.removesuffix(".").split(": ", 1) for note in schedule.notes if ": " in note)
        assert notes[str(row["x and y from"])] == hole.datum
        head, _, last = str(row["note"]).rpartition(": ")
        full = notes.get(last, last)
        assert (f"{head}: {full}" if head else full) == hole.note


def test_drilling_goes_from_the_roof_down_and_from_rear_to_front() -> None:
    def hole(kind: str, name: str, x_mm: int | None, y_mm: int | None) -> Fixing:
        return Fixing(
            kind=kind, name=name, place="here", part="p", x_mm=x_mm, y_mm=y_mm, length_mm=1, width_mm=1,  # type: ignore[arg-type]
            datum="d", surveyed=False, note="",
        )  # fmt: skip

    holes = [
        hole("vent", "e", 1, 1),
        hole("gland", "d", None, None),
        hole("gland", "c", 2, 1),
        hole("gland", "b", 1, 9),
    ]
    assert _names([*holes, hole("gland", "a", 1, -9)]) == ("a", "b", "c", "d", "e")


def test_feet_go_panel_by_panel_and_come_before_glands_entries_and_vents() -> None:
    def hole(kind: Kind, name: str, x_mm: int) -> Fixing:
        return Fixing(
            kind=kind, name=name, place="here", part="p", x_mm=x_mm, y_mm=0, length_mm=1, width_mm=1, datum="d",
            surveyed=False, note="",
        )  # fmt: skip

    feet = ("P1-F1", "P1-F2", "P2-F1", "P2-F2", "P10-F1")
    rest = (hole("gland", "G1", 0), hole("pass_through", "E1", 0), hole("vent", "V1", 0))
    mixed = [*reversed(rest), *(hole("foot", name, place) for place, name in enumerate(reversed(feet)))]

    assert _names(mixed) == (*feet, "G1", "E1", "V1")


@every_build
def test_feet_of_a_build_go_panel_by_panel(name: str, want: str) -> None:
    holes = fixings(shipped(name, want))
    feet = [hole.name for hole in holes if hole.kind == "foot"]  # the fixings number them panel by panel

    assert _names(reversed(holes))[: len(feet)] == tuple(feet)


# --- what nobody surveyed --------------------------------------------------------------------------------


def _told(made: World) -> dict[tuple[str, str], str]:
    """Name and place of each opening -> what is said of it."""
    return {(one.name, one.place): one.note for one in openings(fit_made(made))}


def _air(made: World, bay: str, air: str) -> World:
    return changed(made, f"bays.{bay}.air", air)


def test_a_way_into_a_sealed_bay_wants_an_opening_that_is_sealed() -> None:
    told = _told(_air(world(), "box", "sealed"))
    assert "sealed from the living space" in told["main_way", "box"] and "gas-tight" in told["main_way", "box"]
    assert "from outside" not in told["main_way", "box"]
    told = _told(_air(world(), "locker", "sealed"))
    assert {name for name, place in told if place == "locker"} == {
        "main_way", "tow_way", "roof_way", "loads_way", "inlet_way",
    }  # fmt: skip
    assert "from outside" in told["tow_way", "locker"] and "from outside" not in told["loads_way", "locker"]


@pytest.mark.parametrize(
    ("spot", "outside"),
    [
        ((1000, 0, 499), True), ((1000, 0, 500), False), ((-1, 0, 600), True), ((4001, 0, 600), True),
        ((1000, 1001, 600), True), ((1000, -1001, 600), True), ((1000, -1000, 600), False),
    ],
)  # fmt: skip
def test_a_surveyed_spot_below_the_floor_or_beyond_the_body_is_outside(
    spot: tuple[int, int, int], outside: bool
) -> None:
    outline = Outline(length_mm=4000, width_mm=2000, floor_mm=500, roof_mm=2500, wheel_mm=600)
    made = changed(world(), "brief.outline", outline)
    made = changed(
        made, "node_positions", (NodePosition(node="loads_point", x_mm=spot[0], y_mm=spot[1], z_mm=spot[2]),)
    )
    assert (("loads_way", "locker") in _told(made)) == outside


def test_a_way_that_no_run_takes_wants_no_opening() -> None:
    bare = changed(world(), "runs.alternator_feed", None)
    assert ("tow_way", "locker") not in _told(bare)
    assert ("inlet", "inlet_point") not in _told(changed(world(), "runs.mains_inlet", None))


def test_the_socket_of_a_portable_panel_is_cut_out_too() -> None:
    assert any("socket" in name for name, _ in _told_of("grey-month-van"))
    assert not any("socket" in name for name, _ in _told_of("travelling-clinic"))


def _told_of(name: str) -> dict[tuple[str, str], str]:
    return {(one.name, one.place): one.note for one in openings(shipped(name))}


@every_build
def test_openings_stand_in_the_list_without_coordinates_and_with_their_bore(name: str, want: str) -> None:
    fit = shipped(name, want)
    wanted, ways = openings(fit), {way.name: way for way in fit.case.ways}
    rows = [row for row in rows_of(drilling(fit, fixings(fit))) if row["place is"] == "not surveyed"]

    assert [(row["name"], row["place"]) for row in rows] == [(one.name, one.place) for one in wanted]
    for row in rows:
        assert row["x of centre"] is row["y of centre"] is row["along x"] is None and not row["x and y from"]
        if row["what"] == "opening of a way":
            inside = [run for run, laid in routed_runs(fit).items() if ways[str(row["name"])] in laid.ways]
            assert row["part"] == f"bore {ways[str(row['name'])].bore_mm} mm: {', '.join(inside)}"


@every_build
def test_each_way_that_is_used_is_told_with_its_bore(name: str, want: str) -> None:
    fit = shipped(name, want)
    (note,) = [note for note in drilling(fit, fixings(fit)).notes if "fitter's to make" in note]
    used = {way.name: way for laid in routed_runs(fit).values() for way in laid.ways}

    for way in fit.case.ways:
        assert (f"{way.name} {way.bore_mm} mm" in note) == (way.name in used)
