"""A build for longer boards may have cables that do not reach on the boards as surveyed: no conflict of its own."""

from dataclasses import replace

import pytest

from optimiser.builds import Build
from optimiser.explaining.subject import Asking, by_name
from tests import handmade
from tests.explaining import Solving, soon

NAMES = ("bay.board", "run.ampacity[main]")


def asking(world: handmade.World, *, given_up: tuple[str, ...] = ()) -> Asking:
    units = by_name(tuple(name for name in NAMES if name not in given_up))
    return Asking(world.case, world.catalogue, units, Solving(), soon(), given_up=given_up)


def short(build: Build) -> Build:
    """Its main run cut to one step."""
    return replace(build, runs=tuple(replace(run, cut_mm=100) if run.name == "main" else run for run in build.runs))


@pytest.mark.parametrize("given_up", [(), ("bay.board",)])
def test_a_run_cut_too_short_goes_with_the_boards_that_were_longer(given_up: tuple[str, ...]) -> None:
    world = handmade.world()
    asked = asking(world, given_up=given_up)

    found = [f for f in asked.learn(short(world.build)) if f.name == "run.length" and not f.ok]

    assert [asked.names_of(f) for f in found] == ([] if given_up else [frozenset({"bay.board"})])


def test_without_boards_among_them_a_run_cut_too_short_is_a_fault_of_the_model() -> None:
    world = handmade.world()
    asked = Asking(world.case, world.catalogue, by_name(NAMES[1:]), Solving(), soon())

    found = [f for f in asked.learn(short(world.build)) if f.name == "run.length" and not f.ok]

    assert [asked.names_of(f) for f in found] == [frozenset()]
