"""Figures in words, and what the tables leave out."""

import re
from math import inf

import pytest
from rich.console import RenderableType

from optimiser.auditing import Finding
from optimiser.pipeline import Inputs
from optimiser.printing import show
from optimiser.printing.findings import least_room
from optimiser.printing.fitted import tightest_hours
from optimiser.printing.progress import progress_line
from optimiser.printing.wording import percent
from optimiser.solve import Progress
from tests import handmade
from tests.conftest import Folders
from tests.knobs import changed


def shown(capsys: pytest.CaptureFixture[str], *parts: RenderableType) -> list[str]:
    """The lines printed, with single blanks."""
    show(*parts)
    return [re.sub(" +", " ", line).strip() for line in capsys.readouterr().out.splitlines()]


@pytest.mark.parametrize(("share", "text"), [(0, "0.0 %"), (0.032, "3.2 %"), (0.0321, "3.3 %"), (1e-6, "0.1 %")])
def test_a_gap_never_looks_smaller_than_it_is(share: float, text: str) -> None:
    assert percent(share) == text


def finding(name: str, place: str, limit: float, actual: float) -> Finding:
    return Finding(name, place, limit, actual, "kg", True)


def test_least_room_is_sorted_by_its_share_of_the_limit_each_name_once(capsys: pytest.CaptureFixture[str]) -> None:
    findings = [
        finding("mass.payload", "", 100, 80),  # 20 %
        finding("roof.mass", "back", 50, 45),  # 10 %
        finding("roof.mass", "front", 50, 49),  # 2 %
        finding("bay.mass", "box", 1000, 990),  # 1 %, though 10 kg
        finding("roof.inside", "front", 10, 10),  # a definition
        finding("inverter.present", "", 1, 1),  # there or not
        finding("bay.orientation", "bank", 0, 0),  # nothing to take a share of
        finding("energy.autonomy", "", 1, inf),
    ]

    lines = shown(capsys, least_room(findings))

    names = [line.split(" ")[0] for line in lines if "%" in line]
    assert names == [
        "bay.mass[box]",
        "roof.mass[front]",
        "mass.payload",
    ]
    assert "roof.mass[front] kg 50 49 1 2.0 %" in lines


def test_the_tightest_hours_are_those_of_the_lowest_scenario(
    trailer: Folders, capsys: pytest.CaptureFixture[str]
) -> None:
    world = handmade.world()
    low = world.case.scenarios[0].model_copy(update={"name": "dull", "clearness": 0.0, "hours": 9})
    case = changed(world, "scenarios", (world.case.scenarios[0], low)).case

    lines = shown(capsys, tightest_hours(Inputs(trailer.case, case, world.catalogue), world.build))

    assert lines[1].startswith("Tightest scenario, dull:")
    # hours 0 to 4 beside 5 to 8; at 8 the kettle, 600 / 0.9 W, on 24 W and the own draw of 8.1 W: 1554.4 of 2304 Wh
    assert [line.split(" ")[:2] for line in lines[-6:-1]] == [["1", str(hour)] for hour in range(5)]
    assert lines[-3].endswith("1 8 67.5 0 0 0 699")


def test_plain_progress_keeps_to_a_line_now_and_then(capsys: pytest.CaptureFixture[str]) -> None:
    with progress_line("lightest", "mass", currency="cu", limit_s=60) as line:
        line.watch(Progress(None, 12_345, 0.1))
        line.watch(Progress(20_000, 15_000, 0.2))

    assert capsys.readouterr().err == "lightest: best none yet, bound 12.345 kg, 0 s, solver limit 60 s\n"
