"""The bank's sheet: how far the main fuse is from where terminals may be, the links, where the main run leaves."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest

from optimiser.auditing import Finding, audit
from optimiser.auditing.finding import checked
from optimiser.builds import Bank
from optimiser.drawing.bays.bank import reach, scheme
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.shapes import Path
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit, fit_of
from tests import handmade
from tests.drawing_bays_help import box_of, texts_of
from tests.edges import OFF_TERMINAL
from tests.knobs import altered
from tests.packing_help import elevations


def _sheet(name: str, bay: str, want: str = "cheapest") -> Sheet:
    return next(sheet for sheet in elevations(name, want) if sheet.key == f"bay-{bay}")


def _notes(sheet: Sheet) -> str:
    return " ".join(sheet.notes)


def _world(*changes: tuple[str, Any]) -> handmade.World:
    """The trailer with its main fuse beside the bank: 50 to 670, 100 to 270 and 770 to 870, 100 to 200."""
    return altered(handmade.world(), OFF_TERMINAL, *changes)


def _beside(*changes: tuple[str, Any]) -> Fit:
    world = _world(*changes)
    return fit_of(world.case, world.catalogue, world.build)


def _box(fit: Fit, found: Iterable[Finding]) -> Sheet:
    return next(s for s in bay_elevations(fit, tuple(found), ()) if s.key == "bay-box")


def test_reach_is_body_to_body_and_to_the_far_corners() -> None:
    """By hand: 770 - 670; then 870 - 50 along, 270 - 100 across and 210 + 20 up."""
    found = reach(marked(_beside(), "box"))

    assert found is not None
    assert (found.least_mm, found.most_mm) == (100, 820 + 170 + 230)


@pytest.mark.parametrize("changes", [(), (("bank.fuse", "fuse-125"),)])
def test_the_sheet_has_the_figure_that_the_audit_counts(changes: tuple[tuple[str, Any], ...]) -> None:
    world, fit = _world(*changes), _beside(*changes)
    finding = next(f for f in audit(world.case, world.catalogue, world.build) if f.name == "run.fuse_distance")
    found, sheet = reach(marked(fit, "box")), _box(fit, [finding])

    assert found is not None
    assert found.counted_mm(fit.build.bank) == finding.actual
    assert f"{finding.numbers[1]} from the bank as counted, see notes" in [text.text for text in texts_of(sheet)]
    assert "is 100 mm from the bank, body to body" in _notes(sheet) and "200 mm allowed" in _notes(sheet)


def test_a_far_corner_further_than_allowed_is_a_warning() -> None:
    wide, short = (checked("run.fuse_distance", limit=limit, actual=1220) for limit in (1220, 1219))
    near, far, unknown = (_box(_beside(), found) for found in ([wide], [short], []))

    assert "WARNING: the main fuse is 100 mm" in _notes(far)
    assert "up to 1220 mm to the far corners, as terminals are not surveyed; 1219 mm allowed" in _notes(far)
    assert "move the fuse, best onto the terminal" in _notes(far)
    assert "The main fuse is 100 mm" in _notes(near) and "WARNING" not in _notes(near)
    assert "no findings of the audit given for what is allowed" in _notes(unknown) and "WARNING" in _notes(unknown)


def test_strings_with_fuses_of_their_own_guard_what_leads_to_the_main_fuse() -> None:
    near, far = (
        _box(_beside(("bank.fuse", "fuse-125")), [checked("run.fuse_distance", limit=limit, actual=100)])
        for limit in (100, 99)
    )

    assert "each string's own fuse guards what lies between" in _notes(near)
    assert "WARNING" not in _notes(near) and "WARNING" in _notes(far)
    assert "no fuse guards them" not in _notes(near)  # links outside the fuses only
    assert "no fuse guards them, which is common practice, no source" in _notes(_box(_beside(), ()))
    series = _beside(("bank.fuse", "fuse-125"), ("bank.series", 2), ("bank.parallel", 1))
    assert "inside each string no fuse guards them" in _notes(_box(series, ()))


def test_fuse_and_bank_on_two_boards_have_no_distance_in_the_drawing() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, board="box.side") if f.slot == "main_fuse" else f for f in build.fitted)
    case = handmade.case()
    side = case.boards[0].model_copy(update={"name": "side", "kind": "wall"})
    boards: tuple[str, Any] = ("boards", (*case.boards, side))
    fit = _beside(boards, ("fitted", fitted))
    box = next(
        s for s in bay_elevations(fit, [checked("run.fuse_distance", limit=200, actual=300)], ()) if "box" in s.key
    )

    assert reach(marked(fit, "box")) is None
    assert "stand on different boards" in _notes(box) and "counts 300 mm; 200 mm allowed" in _notes(box)
    assert not any("from a terminal" in text.text for text in texts_of(box))


@pytest.mark.parametrize(("series", "parallel"), [(1, 4), (2, 2), (4, 1)])
def test_the_scheme_has_every_module_once_and_takes_off_at_both_ends(series: int, parallel: int) -> None:
    view = scheme(Bank("m", series=series, parallel=parallel, rows=1, columns=series * parallel), 10, main="R1 main")

    modules = [box_of(s) for s in view.shapes if isinstance(s, Path) and s.closed]
    assert len(set(modules)) == len(modules) == series * parallel
    words = [placed.text for placed in view.texts()]
    assert words.count("+") == words.count("-") == series * parallel
    plus, minus = (next(t.box.middle for t in view.texts() if t.text.startswith(w)) for w in ("R1 main +", "R1 main -"))
    assert plus[0] > max(box.x1 for box in modules) and minus[0] < min(box.x0 for box in modules)
    assert plus[1] == max(box.middle[1] for box in modules) and minus[1] == min(box.middle[1] for box in modules)
    assert view.clashes() == []


@pytest.mark.parametrize(("series", "parallel"), [(1, 4), (2, 2)])
def test_the_scheme_has_a_fuse_between_each_string_and_the_link_of_the_plus(series: int, parallel: int) -> None:
    bare = Bank("m", series=series, parallel=parallel, rows=1, columns=series * parallel)
    without, view = scheme(bare, 10, main="R1 main"), scheme(replace(bare, fuse="f"), 10, main="R1 main")

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
