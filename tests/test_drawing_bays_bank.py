"""The bank's sheet: how far the main fuse is from where terminals may be, the links, where the main run leaves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from optimiser.audit.finding import held
from optimiser.build import Bank
from optimiser.drawing.bays.bank import reach, scheme
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.shapes import Path
from optimiser.drawing.sheet import Sheet
from tests import handmade
from tests.drawing_bays_help import box_of, texts_of, trailer
from tests.packing_help import findings, shipped


@cache
def _sheet(name: str, bay: str, want: str = "cheapest") -> Sheet:
    sheets = bay_elevations(shipped(name, want), findings(name, want))
    return next(sheet for sheet in sheets if sheet.key == f"bay-{bay}")


def _notes(sheet: Sheet) -> str:
    return " ".join(sheet.notes)


def test_reach_is_to_the_near_side_and_to_the_far_corner_of_the_module_next_to_the_fuse() -> None:
    """By hand: modules of 240 x 520 from 15, 185; the fuse ends at 70, 170: 15 up; then 185 across and 535 up."""
    found = reach(marked(shipped("travelling-clinic"), "front_boot"))

    assert found is not None
    assert (found.least_mm, found.most_mm) == (15, 185 + 535)


def test_the_sheet_warns_that_a_terminal_may_be_further_than_the_audit_counts() -> None:
    sheet = _sheet("travelling-clinic", "front_boot")
    finding = next(f for f in findings("travelling-clinic") if f.name == "run.fuse_distance")

    warning = next(note for note in sheet.notes if note.startswith("WARNING"))
    assert finding.numbers[1] == "15" and "is 15 mm from the nearest module, body to body" in warning
    assert (
        f"from 15 to 720 mm away as drawn, beside the way down from its top; {finding.numbers[0]} mm allowed" in warning
    )
    assert "turn the block or move the fuse" in warning
    assert "15 to 720 from a terminal, see notes" in [text.text for text in texts_of(sheet)]


def test_within_what_is_allowed_it_is_no_warning_and_without_a_finding_it_is() -> None:
    fit = shipped("travelling-clinic")
    wide = held("run.fuse_distance", limit=720, actual=15)
    near, unknown = (next(s for s in bay_elevations(fit, found) if s.key == "bay-front_boot") for found in ([wide], []))

    assert "The main fuse is 15 mm from the nearest module" in _notes(near) and "WARNING" not in _notes(near)
    assert "720 mm allowed" in _notes(near)
    assert "no findings of the audit given for what is allowed" in _notes(unknown) and "WARNING" in _notes(unknown)


def test_fuse_and_bank_on_two_boards_have_no_distance_in_the_drawing() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, board="box.side") if f.slot == "main_fuse" else f for f in build.fitted)
    case = handmade.case()
    side = case.boards[0].model_copy(update={"name": "side", "kind": "wall"})
    fit = trailer(replace(build, fitted=fitted), replace(case, boards=(*case.boards, side)))
    box = next(s for s in bay_elevations(fit, [held("run.fuse_distance", limit=200, actual=300)], ()) if "box" in s.key)

    assert reach(marked(fit, "box")) is None
    assert "stand on different boards" in _notes(box) and "counts 300 mm; 200 mm allowed" in _notes(box)
    assert not any("from a terminal" in text.text for text in texts_of(box))


@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van"])
def test_a_fuse_on_the_terminal_wants_no_distance(name: str) -> None:
    bay = {"tiny-trailer": "drawbar_box", "grey-month-van": "garage_box"}[name]

    assert "holder sits on the positive terminal" in _notes(_sheet(name, bay))
    assert "WARNING" not in _notes(_sheet(name, bay))


def test_links_and_where_the_main_run_leaves_are_told() -> None:
    said = _notes(_sheet("travelling-clinic", "front_boot"))

    assert "Links, 1 in series x 4 in parallel, are not in the build" in said
    assert "main run's section (120 mm2) or more" in said and "taken off diagonally" in said
    assert "leaves this bay by way W4 boot leg towards chassis" in said
    one = _notes(_sheet("tiny-trailer", "drawbar_box"))
    assert "Links" not in one and "where + and - lie on a module the catalogue does not say" in one
    assert "leaves this bay by way" not in _notes(_sheet("travelling-clinic", "desk_base"))


@pytest.mark.parametrize(("series", "parallel"), [(1, 4), (2, 2), (4, 1)])
def test_the_scheme_has_every_module_once_and_takes_off_at_both_ends(series: int, parallel: int) -> None:
    view = scheme(Bank("m", series=series, parallel=parallel, rows=1, columns=series * parallel), 10)

    modules = [box_of(s) for s in view.shapes if isinstance(s, Path) and s.closed]
    assert len(set(modules)) == len(modules) == series * parallel
    words = [placed.text for placed in view.texts()]
    assert words.count("+") == words.count("-") == series * parallel
    plus, minus = (next(t.box.middle for t in view.texts() if t.text.startswith(w)) for w in ("main +", "main -"))
    assert plus[0] > max(box.x1 for box in modules) and minus[0] < min(box.x0 for box in modules)
    assert plus[1] == max(box.middle[1] for box in modules) and minus[1] == min(box.middle[1] for box in modules)
    assert view.clashes() == []
