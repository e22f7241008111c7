"""Marks of feet, obstacles with corner and size, and the order of strings on the roof plan."""

import pytest

from optimiser.drawing.roof import panel_boxes, roof_plan
from optimiser.drawing.shapes import Text
from optimiser.fixings import fixings
from tests.packing_help import SOLVED, WANTS, shipped

BUILDS = [(name, want) for name in SOLVED for want in WANTS]


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_every_mark_of_a_foot_stands_in_its_panel_next_to_it(name: str, want: str) -> None:
    fit = shipped(name, want)
    sheet, boxes = roof_plan(fit), panel_boxes(fit)
    marks = [s for s in sheet.shapes if isinstance(s, Text) and s.text[:1] == "F" and s.text[1:].isdigit()]
    feet = [f for f in fixings(fit) if f.kind == "foot"]
    shown = set()
    for mark in marks:
        number = next(k for k, box in enumerate(boxes, start=1) if box.holds(mark.box(sheet.scale)))
        ours = [f for f in feet if f.name.startswith(f"P{number}-")]
        nearest = min(ours, key=lambda f: abs((f.x_mm or 0) - mark.at[0]) + abs((f.y_mm or 0) - mark.at[1]))
        assert nearest.name == f"P{number}-{mark.text}"
        shown.add(nearest.name)
    assert len(shown) == len(marks) >= 0.8 * len(feet)  # the notes tell the others
    assert any(note.text.startswith("Feet of a panel are numbered") for note in sheet.texts()) is bool(feet)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_feet_are_numbered_as_the_note_says(name: str, want: str) -> None:
    """From the rear, of two at the same distance the right one (smaller y) first."""
    feet: dict[str, list[tuple[int | None, int | None]]] = {}
    for fixing in fixings(shipped(name, want)):
        if fixing.kind == "foot":
            panel, _, number = fixing.name.partition("-F")
            feet.setdefault(panel, []).append((fixing.x_mm, fixing.y_mm))
            assert number == str(len(feet[panel]))
    assert all(spots == sorted(spots) for spots in feet.values())
