"""The time limit holds while the model is made and the roof packed, and its coming proves nothing."""

import time
from dataclasses import dataclass, replace

import pytest

from optimiser import pipeline
from optimiser.model import clock, layout, roof
from optimiser.model.clock import End, OutOfTime, ending
from optimiser.model.packing import Item, Sheet
from optimiser.pipeline import Inputs
from optimiser.solve import WANTS, Halt, Impossible, Question, Solved, Stop, Undecided, optimise
from tests import handmade
from tests.knobs import changed
from tests.large import enlarged

STOP = Stop(seconds=50, workers=1)


@dataclass
class Clock:
    """The time that passes, and ``step_s`` more at each look."""

    step_s: float
    looks: int = 0

    def monotonic(self) -> float:
        """As that of `time`."""
        self.looks += 1
        return time.monotonic() + self.step_s * self.looks


def slow(monkeypatch: pytest.MonkeyPatch, step_s: float = 1.0) -> Clock:
    """From now on each look at the clock takes that long."""
    made = Clock(step_s)
    monkeypatch.setattr(clock, "time", made)
    return made


def test_making_the_model_stops_at_the_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    world = handmade.world()
    counted = slow(monkeypatch, 0.0)
    assert isinstance(optimise(world.case, world.catalogue, "cheapest", stop=STOP), Solved)
    needed, counted = counted.looks, slow(monkeypatch)

    found = optimise(world.case, world.catalogue, "cheapest", stop=STOP)

    assert isinstance(found, Undecided) and found.build is None
    assert found.why == "the time limit came while the model was made"
    assert counted.looks <= STOP.seconds + 1 < needed / 5


def test_an_impossible_case_is_not_called_so_at_the_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    world = changed(handmade.world(), "limits.budget", 1.0)
    assert isinstance(optimise(world.case, world.catalogue, "cheapest", stop=STOP), Impossible)
    slow(monkeypatch)

    assert isinstance(optimise(world.case, world.catalogue, "cheapest", stop=STOP), Undecided)


def test_a_halt_is_heard_while_the_model_is_made() -> None:
    world, halt = handmade.world(), Halt()
    halt.ask()

    found = Question(world.case, world.catalogue).best(WANTS["lightest"], stop=STOP, halt=halt)

    assert isinstance(found, Undecided) and found.why == "stopped while the model was made"


def test_the_limit_while_the_roof_is_laid_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def late(*_: object) -> None:
        raise OutOfTime

    monkeypatch.setattr(layout, "lay_out", late)
    world = handmade.world()

    found = optimise(world.case, world.catalogue, "cheapest", stop=STOP)

    assert isinstance(found, Undecided) and found.why == "the end came while the roof was laid out"
    assert found.bound > 0  # that much is proven


def test_an_explanation_stops_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    world = handmade.world()
    inputs = Inputs(pipeline.read("tiny-trailer", ()).folder, world.case, world.catalogue)
    slow(monkeypatch)

    found = pipeline.explain(inputs, ("cheapest",), 1, STOP, lambda _: None, lambda _: None)

    assert found.verdict == "don't know"
    assert found.undecided == (("cheapest", "the time limit came while the model was made"),)


@pytest.mark.slow
def test_what_was_cut_short_is_not_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    sheet, one, other = (
        Sheet(length=3011, width=1507),
        Item(name="a", length=701, width=503),
        Item(name="b", length=607, width=409),
    )
    for packed in (roof.known_of, roof.most_of, roof.staircase, roof.spread):
        packed.cache_clear()
    expected = roof.staircase(sheet, one, other, 7)
    for packed in (roof.known_of, roof.most_of, roof.staircase):
        packed.cache_clear()
    with monkeypatch.context() as patched:
        slow(patched)
        for seconds in range(1, 30, 3):
            with pytest.raises(OutOfTime), ending(End(time.monotonic() + seconds)):
                roof.staircase(sheet, one, other, 7)

    assert roof.staircase(sheet, one, other, 7) == expected


def test_an_end_is_over_with_its_work() -> None:
    with pytest.raises(OutOfTime), ending(End(asked=lambda: True)):
        clock.look()
    clock.look()
    assert clock.left_s() > 10**9


@pytest.mark.slow
def test_a_case_far_larger_than_any_vehicle_stops_in_time() -> None:
    """The only one by the clock of the wall, which others on the machine slow down: one try of three has to do."""
    shipped = pipeline.read("travelling-clinic", ())
    case, catalogue = enlarged(shipped.case, shipped.catalogue, 3)
    taken = []
    for _ in range(3):
        for packed in (roof.known_of, roof.most_of, roof.staircase, roof.spread):
            packed.cache_clear()
        started = time.monotonic()
        found = Question(case, catalogue).best(WANTS["cheapest"], stop=replace(STOP, seconds=10))
        taken.append(time.monotonic() - started)
        assert isinstance(found, Undecided)
    assert min(taken) <= 1.1 * 10 + 2
