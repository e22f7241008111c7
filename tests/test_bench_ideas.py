"""Ideas are where the bench looks for them, and the best of a small world is the same without each."""

from pathlib import Path

import pytest

from optimiser.solve import Stop
from tests.bench import ideas
from tests.bench.rows import columns
from tests.bench.solving import solved
from tests.bench.subjects import Subject
from tests.test_bench import read, run

SMALL = Subject("small", "handmade")


@pytest.mark.parametrize("idea", ideas.IDEAS)
def test_without_an_idea_the_best_is_the_same(idea: str) -> None:
    stop, inputs = Stop(seconds=300, workers=1), SMALL.read()
    whole = solved(SMALL, "cheapest", 1, stop, *inputs)
    with ideas.IDEAS[idea].off():
        row = solved(SMALL, "cheapest", 1, stop, *inputs)
    assert whole.state == row.state == "proven"
    assert (row.cost_cents, row.mass_g, row.breaches) == (whole.cost_cents, whole.mass_g, 0)


def test_an_idea_that_is_no_longer_there_fails() -> None:
    with pytest.raises(AttributeError, match="no_such"), ideas.Idea("model.roof", "no_such", None).off():
        pass


@pytest.mark.slow
def test_ideas(tmp_path: Path) -> None:
    assert run(tmp_path, "ideas", "--ideas", "two searches", ideas.KIND_BY_KIND) == 0
    found = read(tmp_path / "ideas.csv")
    assert all(list(row) == columns(ideas.Without) for row in found)
    assert [(row["idea"], row["want"], row["same"]) for row in found] == [
        (ideas.AS_IT_IS, "cheapest", ""), ("two searches", "cheapest", "yes"),
        (ideas.AS_IT_IS, "front", ""), (ideas.KIND_BY_KIND, "front", "yes"),
    ]  # fmt: skip
    assert all(float(row["work"]) > 0 for row in found)
