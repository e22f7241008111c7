"""The bank's sheet: how far the main fuse is from where terminals may be, the links, where the main run leaves."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest

from optimiser.audit import Finding, Fit, audit, fit_of
from optimiser.audit.finding import held
from optimiser.build import Bank, Fitted
from optimiser.drawing.bays.bank import reach, scheme
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.shapes import Path
from optimiser.drawing.sheet import Sheet
from tests import handmade
from tests.drawing_bays_help import box_of, closed_on, texts_of, trailer
from tests.packing_help import findings, shipped


@cache
def _sheet(name: str, bay: str, want: str = "cheapest") -> Sheet:
    sheets = bay_elevations(shipped(name, want), findings(name, want))
    return next(sheet for sheet in sheets if sheet.key == f"bay-{bay}")


def _notes(sheet: Sheet) -> str:
    return " ".join(sheet.notes)


@cache
def _beside() -> Fit:
    """The clinic with its main fuse beside the bank, at the far end: it stands at 500, 1340 and takes 55 x 140."""
    old = shipped("travelling-clinic")
    holder = Fitted("main_fuse", "holder-class-t-200", "front_boot.floor", 500, 1340, turned=True)
    fitted = tuple(holder if f.slot == "main_fuse" else f for f in old.build.fitted)
    runs = tuple(replace(r, fuse="fuse-class-t-150") if r.name == "main" else r for r in old.build.runs)
    return fit_of(old.case, old.catalogue, replace(old.build, fitted=fitted, runs=runs))


def _boot(found: Iterable[Finding]) -> Sheet:
    return next(s for s in bay_elevations(_beside(), tuple(found)) if s.key == "bay-front_boot")


def test_reach_is_to_the_near_side_and_to_the_far_corner_of_the_module_next_to_the_fuse() -> None:
    """By hand: the last module is at 15 to 495, 1310 to 1480: 5 across; then 485 across and 30 down."""
    found = reach(marked(_beside(), "front_boot"))

    assert found is not None
    assert (found.least_mm, found.most_mm) == (5, 485 + 30)


def test_reach_of_a_single_module() -> None:
    """By hand: the module is at 15 to 255, 15 to 535; the fuse at 270 to 410, 10 to 65."""
    found = reach(marked(shipped("tiny-trailer"), "drawbar_box"))

    assert found is not None
    assert (found.least_mm, found.most_mm) == (270 - 255, (270 - 15) + (535 - 65))


def test_the_sheet_warns_that_a_terminal_may_be_further_than_the_audit_counts() -> None:
    fit = _beside()
    audited = audit(fit.case, fit.catalogue, fit.build)
    sheet, finding = _boot(audited), next(f for f in audited if f.name == "run.fuse_distance")

    warning = next(note for note in sheet.notes if note.startswith("WARNING"))
    assert finding.numbers[1] == "5" and "is 5 mm from the nearest module, body to body" in warning
    assert (
        f"from 5 to 515 mm away as drawn, beside the way down from its top; {finding.numbers[0]} mm allowed" in warning
    )
    assert "turn the block or move the fuse" in warning
    assert "5 to 515 from a terminal, see notes" in [text.text for text in texts_of(sheet)]


def test_within_what_is_allowed_it_is_no_warning_and_without_a_finding_it_is() -> None:
    wide, short = (held("run.fuse_distance", limit=limit, actual=5) for limit in (515, 514))
    near, far, unknown = (_boot(found) for found in ([wide], [short], []))

    assert "WARNING: the main fuse is 5 mm" in _notes(far)
    assert "The main fuse is 5 mm from the nearest module" in _notes(near) and "WARNING" not in _notes(near)
    assert "515 mm allowed" in _notes(near)
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


def test_a_fuse_on_the_terminal_wants_no_distance() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, part="holder-terminal") if f.slot == "main_fuse" else f for f in build.fitted)
    box = next(s for s in bay_elevations(trailer(replace(build, fitted=fitted)), ()) if s.key == "bay-box")

    assert "The main fuse's holder sits on the positive terminal" in _notes(box)
    assert "WARNING" not in _notes(box)


@pytest.mark.parametrize(("name", "bay"), [("grey-month-van", "garage_box"), ("travelling-clinic", "front_boot")])
def test_the_main_fuse_sits_behind_the_link_that_joins_fused_strings(name: str, bay: str) -> None:
    sheet = _sheet(name, bay)

    assert "Each string has its fuse on its positive terminal, before the link that joins the strings" in _notes(sheet)
    assert "whether both holders fit there is the makers' to say" in _notes(sheet)
    assert "WARNING" not in _notes(sheet)
    sizes = {box_of(path).size for path in closed_on(sheet, "symbol")}
    assert any(size == pytest.approx((6 * sheet.scale, 2.4 * sheet.scale)) for size in sizes)  # fuses of the scheme


def test_links_and_where_the_main_run_leaves_are_told() -> None:
    said = _notes(_sheet("travelling-clinic", "front_boot"))

    assert "Links, 2 in series x 4 in parallel, are not in the build" in said
    assert "main run's section (70 mm2) or more" in said and "taken off diagonally" in said
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


@pytest.mark.parametrize(("series", "parallel"), [(1, 4), (2, 2)])
def test_the_scheme_has_a_fuse_between_each_string_and_the_link_of_the_plus(series: int, parallel: int) -> None:
    bare = Bank("m", series=series, parallel=parallel, rows=1, columns=series * parallel)
    without, view = scheme(bare, 10), scheme(replace(bare, fuse="f"), 10)

    modules = [box_of(s) for s in without.shapes if isinstance(s, Path) and s.closed]
    fuses = [box_of(s) for s in view.shapes if isinstance(s, Path) and s.closed and box_of(s) not in modules]
    ends = {box.middle[1] for box in modules}
    assert len(fuses) == parallel and {box.middle[1] for box in fuses} == ends
    from_above = sorted(view.texts(), key=lambda placed: -placed.box.y1)
    assert "fuse on the + of each string" in " ".join(placed.text for placed in from_above)
    link = max(s.points[0][0] for s in view.shapes if isinstance(s, Path) and _upright(s))
    assert all(max(box.x1 for box in modules) < fuse.x0 < fuse.x1 < link for fuse in fuses)
    assert view.clashes() == []


def _upright(path: Path) -> bool:
    return not path.closed and path.points[0][0] == path.points[-1][0]
