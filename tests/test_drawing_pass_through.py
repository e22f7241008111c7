"""The hole of a pass-through stands at that end of its run whose bay has the board it is in."""

from dataclasses import replace

import pytest

from optimiser.drawing.shapes import Text
from optimiser.drawing.single_line import single_line
from optimiser.fitted import Fit
from tests.packing_help import findings, shipped


def _under(fit: Fit, node: str) -> list[str]:
    """What stands below a bold node, in lines 3.25 mm apart at most."""
    texts = [s for s in single_line(fit, findings("travelling-clinic"))[0].shapes if isinstance(s, Text)]
    head = next(t for t in texts if t.text == node and t.bold)
    below = sorted((t for t in texts if abs(t.at[0] - head.at[0]) < 1 and t.at[1] < head.at[1]), key=lambda t: -t.at[1])
    found, last = [], head.at[1]
    for text in below:
        if last - text.at[1] > 4:
            break
        found.append(text.text)
        last = text.at[1]
    return found


def test_the_hole_stands_under_the_bay_it_is_in_and_not_under_the_point_its_cable_ends_at() -> None:
    fit = shipped("travelling-clinic")

    assert _under(fit, "desk_base") == ["pass-through", "1 x pass-data, IP67", "on desk_base.end"]
    assert _under(fit, "router") == []


@pytest.mark.parametrize(("start", "end"), [("router", "desk_base"), ("router", "elsewhere")])
def test_it_stays_with_its_bay_when_the_run_is_told_from_the_other_end(start: str, end: str) -> None:
    fit = shipped("travelling-clinic")
    runs = tuple(replace(r, start=start, end=end) if r.name == "pass_dish" else r for r in fit.build.runs)
    turned = replace(fit, build=replace(fit.build, runs=runs))

    assert "on desk_base.end" in _under(turned, end)  # at the end, as far as any is its bay
    assert _under(turned, start) == []
