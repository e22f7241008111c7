"""The loop over a front: published fronts, trying everything, points apart, stopping and going on."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from optimiser.solve import Front, Halt, Infeasible, Point, Room, Stop, Unanswered, front, of_model, spread
from optimiser.solve.front import Ask
from optimiser.solve.search import Expr, Value, aim, span

FRONTS = Path(__file__).resolve().parents[2] / "shared" / "benchmarks" / "pareto_fronts.json"
STOP = Stop(seconds=60, workers=1)
# Under 3 s each with one worker; what is not named may take longer.
QUICK = {"2KP50-92", "2KP50-11", "biodidactic", "biosppnw32", "biosppnw40", "biosppnw15", "biosppnw21", "biosppnw23"}

Pair = tuple[int, int]


def weighed(costs: Sequence[int], taken: Sequence[cp_model.IntVar]) -> Expr:
    return cp_model.LinearExpr.weighted_sum(list(taken), list(costs))


def worth_showing(points: set[Pair]) -> list[Pair]:
    """Those that no other is as good as in both, both to be small."""
    return sorted(p for p in points if not any(q != p and q[0] <= p[0] and q[1] <= p[1] for q in points))


def pairs(found: Front[Any]) -> list[Pair]:
    return [(point.first, point.second) for point in found.points]


# --- published fronts --------------------------------------------------------------------------------


def instances() -> list[dict[str, Any]]:
    """All that the benchmark folder holds; it names the source of each."""
    found: list[dict[str, Any]] = json.loads(FRONTS.read_text(encoding="utf-8"))["instances"] if FRONTS.exists() else []
    return found


def posed(instance: dict[str, Any]) -> tuple[cp_model.CpModel, Expr, Expr]:
    """An instance as a model and two measures to be made small."""
    model, partition = cp_model.CpModel(), instance["kind"] == "set_partitioning"
    columns = instance["columns"] if partition else list(zip(instance["c1"], instance["c2"], strict=True))
    taken = [model.new_bool_var(f"column {k}") for k in range(1, len(columns) + 1)]
    if partition:
        for row in range(1, instance["rows"] + 1):
            model.add_exactly_one(var for var, column in zip(taken, columns, strict=True) if row in column[2:])
    elif instance["kind"] == "set_packing":
        for row in instance["rows"]:
            model.add_at_most_one(taken[k - 1] for k in row)
    else:
        assert instance["kind"] == "knapsack"
        model.add(weighed(instance["weights"], taken) <= instance["capacity"])
    first, second = (weighed([sign * column[k] for column in columns], taken) for k, sign in enumerate(signs(instance)))
    return model, first, second


def signs(instance: dict[str, Any]) -> list[int]:
    return [{"max": -1, "min": 1}[sense] for sense in instance["sense"].split(",")]


def given_instance(instance: dict[str, Any]) -> Any:
    slow = () if instance["name"] in QUICK else (pytest.mark.slow,)
    return pytest.param(instance, id=instance["name"], marks=slow)


@pytest.mark.slow
@pytest.mark.skipif(not FRONTS.exists(), reason=f"{FRONTS.name} is not beside this checkout")
@pytest.mark.parametrize("instance", [given_instance(instance) for instance in instances()])
def test_a_published_front(instance: dict[str, Any]) -> None:
    found = front(of_model(*posed(instance), stop=STOP))

    one, other = signs(instance)
    assert found.state == "whole"
    assert sorted([one * point.first, other * point.second] for point in found.points) == sorted(instance["front"])
    # A weighted sum of the two finds no more than these.
    assert len(on_hull(pairs(found))) == instance["extreme_supported_points"]


def on_hull(points: list[Pair]) -> list[Pair]:
    """The corners of the lower left hull, by rising first."""
    hull: list[Pair] = []
    for x, y in sorted(points):
        while len(hull) > 1 and (hull[-1][0] - hull[-2][0]) * (y - hull[-2][1]) <= (hull[-1][1] - hull[-2][1]) * (
            x - hull[-2][0]
        ):
            hull.pop()
        hull.append((x, y))
    return hull


# --- everything tried --------------------------------------------------------------------------------

COUNT = 5
COEFFICIENTS = st.lists(st.integers(-6, 6), min_size=COUNT, max_size=COUNT)


@dataclass
class Small:
    """A model of a few 0/1 variables; what there is of it, by trying all."""

    one: list[int]
    other: list[int]
    rows: list[tuple[list[int], int]]  # coefficients, and what their sum is at most
    add: Pair = (0, 0)  # to the measures
    sign: int = 1

    def model(self) -> tuple[cp_model.CpModel, Expr, Expr]:
        model = cp_model.CpModel()
        x = [model.new_bool_var(f"x{k}") for k in range(COUNT)]
        for row, most in self.rows:
            model.add(weighed(row, x) <= most)
        first, second = (
            self.sign * (weighed(c, x) + plus) for c, plus in zip((self.one, self.other), self.add, strict=True)
        )
        return model, first, second

    def front(self) -> list[Pair]:
        def at(costs: list[int], x: tuple[int, ...]) -> int:
            return sum(c * v for c, v in zip(costs, x, strict=True))

        return worth_showing(
            {
                (self.sign * (at(self.one, x) + self.add[0]), self.sign * (at(self.other, x) + self.add[1]))
                for x in product((0, 1), repeat=COUNT)
                if all(at(row, x) <= most for row, most in self.rows)
            }
        )


SMALL = st.builds(
    Small,
    one=COEFFICIENTS,
    other=COEFFICIENTS,
    rows=st.lists(st.tuples(COEFFICIENTS, st.integers(-8, 6)), max_size=2),
    add=st.tuples(st.integers(-20, 20), st.integers(-20, 20)),
    sign=st.sampled_from([1, -1]),
)


@settings(max_examples=120, derandomize=True, deadline=None, database=None)
@given(small=SMALL)
def test_same_as_trying_everything(small: Small) -> None:
    found = front(of_model(*small.model(), stop=STOP))

    assert found.state == "whole"
    assert pairs(found) == small.front()
    assert all(point.proven for point in found.points)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(small=SMALL, count=st.integers(2, 6))
def test_points_apart_are_those_at_even_steps(small: Small, count: int) -> None:
    whole, asked = small.front(), Asked(of_model(*small.model(), stop=STOP))

    found = spread(asked, count)

    if not whole:
        assert (found.state, found.points) == ("whole", ())
        return
    (_, most), (_, least) = whole[0], whole[-1]
    targets = [most - round(k * (most - least) / (count - 1)) for k in range(count)]
    assert found.state == "some"
    assert pairs(found) == sorted({next(p for p in whole if p[1] <= target) for target in targets})
    assert len(asked.rooms) <= count


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        pytest.param([0] * COUNT, [0] * COUNT, [(7, -7)], id="constants"),
        pytest.param([1] * COUNT, [2] * COUNT, [(7, -7)], id="one point"),
        pytest.param([1] * COUNT, [-1] * COUNT, [(7 + k, -7 - k) for k in range(COUNT + 1)], id="equal costs"),
    ],
)
def test_fronts_of_a_kind(one: list[int], other: list[int], expected: list[Pair]) -> None:
    small = Small(one, other, [], (7, -7))

    assert pairs(front(of_model(*small.model(), stop=STOP))) == expected == small.front()


def test_what_is_found_gives_the_value_of_each_variable() -> None:
    model, first, second = Small([1, 2, 4, 8, 16], [-1, -2, -4, -8, -16], []).model()
    before = str(model.proto)

    for point in front(of_model(model, first, second, stop=STOP)).points:
        assert (point.found(first), point.found(second)) == (point.first, point.second)
    assert str(model.proto) == before  # the model stays as it is


def test_no_solution_is_a_whole_front_without_points() -> None:
    small = Small([1] * COUNT, [1] * COUNT, [([1] * COUNT, -1)])
    told: list[Any] = []

    for found in (front(of_model(*small.model()), tell=told.append), spread(of_model(*small.model()), 3)):
        assert (found.state, found.points) == ("whole", ())
    assert told == []


def test_constants_without_variables() -> None:
    model = cp_model.CpModel()
    model.new_bool_var("any")

    assert pairs(front(of_model(model, 3, -4, stop=STOP))) == [(3, -4)]


@pytest.mark.parametrize("count", [1, 0, -1])
def test_a_front_has_two_ends(count: int) -> None:
    with pytest.raises(ValueError, match=f"{count} points; expected 2 or more"):
        spread(of_model(*Small([1] * COUNT, [-1] * COUNT, []).model()), count)


# --- stopping and going on ---------------------------------------------------------------------------

LINE = Small([1, 2, 4, 8, 16], [-1, -2, -4, -8, -16], [])  # 32 points, (k, -k)
LINE_POINTS = [(k, -k) for k in range(32)]


@dataclass
class Asked:
    """Questions, counted; from ``stuck_at`` on they find nothing in time, at ``unsure_at`` no proof."""

    ask: Ask[Value]
    stuck_at: int | None = None
    unsure_at: int | None = None
    rooms: list[Room] = field(default_factory=list)

    def __call__(self, room: Room) -> Point[Value] | Infeasible | Unanswered:
        self.rooms.append(room)
        if self.stuck_at is not None and len(self.rooms) > self.stuck_at:
            return Unanswered("time is up")
        found = self.ask(room)
        if len(self.rooms) == self.unsure_at and isinstance(found, Point):
            return Point(found.first, found.second, found.found, proven=False)
        return found


def line(*, stuck_at: int | None = None, unsure_at: int | None = None) -> Asked:
    return Asked(of_model(*LINE.model(), stop=STOP), stuck_at, unsure_at)


@pytest.mark.parametrize("after", [0, 4])
def test_a_stop_leaves_the_points_so_far(after: int) -> None:
    told: list[Point[Value]] = []

    found = front(line(stuck_at=after), tell=told.append)

    assert (found.state, found.why) == ("part", "time is up")
    assert pairs(found) == LINE_POINTS[:after] == [(point.first, point.second) for point in told]


@pytest.mark.parametrize("spaced", [False, True])
def test_a_point_that_is_not_proven_ends_the_loop(spaced: bool) -> None:
    asked = line(unsure_at=3)

    found = spread(asked, 5) if spaced else front(asked)

    assert found.state == "part" and "best found, not proven" in found.why
    assert len(asked.rooms) == 3
    assert [point.proven for point in found.points].count(False) == 1
    unsure = next(point for point in found.points if not point.proven)
    assert (unsure.first, unsure.second) == ((8, -8) if spaced else (2, -2))


def test_a_far_end_that_is_not_proven_is_no_end() -> None:
    asked = of_model(*LINE.model(), stop=STOP)

    def hasty(room: Room) -> Point[Value] | Infeasible | Unanswered:
        return Point(0, 0, lambda _: 0, proven=False) if room.turned else asked(room)

    found = spread(hasty, 3)

    assert found.state == "part" and not any(point.least for point in found.points)


@pytest.mark.parametrize("turned", [False, True])
def test_a_halt_is_no_end_of_the_front(turned: bool) -> None:
    halt = Halt()
    halt.ask()
    ask = of_model(*LINE.model(), stop=STOP, halt=halt)

    found = spread(ask, 2) if turned else front(ask)

    assert (found.state, found.points) == ("part", ())
    assert found.why == "neither a point nor a proof that there is none in time"


# --- what a linear expression can be -----------------------------------------------------------------


def test_span_and_aim() -> None:
    model = cp_model.CpModel()
    x = model.new_int_var(-2, 5, "x")
    y = model.new_int_var_from_domain(cp_model.Domain.from_intervals([[-3, -1], [4, 9]]), "y")

    assert [span(7), span(x), span(y), span(x - x)] == [(7, 7), (-2, 5), (-3, 9), (0, 0)]
    assert span(2 * x - 3 * y + 10) == (-4 - 27 + 10, 10 + 9 + 10)
    measured, known = aim(-x, y), aim(-x, y, width=1000)
    assert (measured.low, measured.width) == (-5, 13)  # y moves by 12
    assert span(measured.second) == (0, 12)  # from 0, so that the bound of both is that of the first
    assert (known.low, known.width) == (-5, 1000)
