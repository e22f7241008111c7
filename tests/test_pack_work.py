"""The order of work: a step where the build has what it speaks of, and none where it has not."""

from __future__ import annotations

from optimiser.pack.page.work import order_of_work
from tests.handmade import World, world
from tests.knobs import changed
from tests.schedules_help import fit_made


def _step(made: World, words: str) -> list[str]:
    return [line for line in order_of_work(fit_made(made)) if words in line]


def test_vents_are_cut_where_there_are_any() -> None:
    assert len(_step(world(), "Cut the vents")) == 1
    assert not _step(changed(world(), "build.vents", ()), "Cut the vents")


def test_what_stays_is_parted_from_its_old_wiring_where_something_stays() -> None:
    assert not _step(world(), "from its old wiring")
    (line,) = _step(changed(world(), "fitted.inverter.kept", True), "from its old wiring")
    assert line.endswith("first: inverter.")


def test_the_isolator_is_closed_through_a_resistor_where_there_is_an_inverter() -> None:
    assert _step(world(), "close the isolator through a resistor")
    bare = changed(world(), "fitted.inverter", None)
    assert not _step(bare, "through a resistor") and _step(bare, "close the isolator.")


def test_the_main_fuse_comes_before_the_isolator_is_closed_and_after_the_row() -> None:
    steps = order_of_work(fit_made(world()))
    row, main = (next(n for n, line in enumerate(steps) if words in line) for words in ("of the row", "main fuse in"))

    assert row < main and steps[main].index("main fuse") < steps[main].index("isolator")
    assert "isolator off and the panels covered" in " ".join(steps[row].split())
