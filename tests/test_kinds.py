"""A front asked for kind by kind: the same points as the plain loop, with fewer questions over all kinds."""

from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.model import kinds
from optimiser.model.assemble import assemble
from optimiser.solve import ByKinds, Infeasible, Point, Question, Room, Stop, Unanswered, front, of_model
from optimiser.solve.front import Ask
from optimiser.solve.search import Value
from tests import handmade
from tests.comparing_help import Solves, compared
from tests.conftest import Folders
from tests.test_front import FRONTS, LINE, LINE_POINTS, QUICK, SMALL, Asked, Small, instances, pairs, posed, signs

STOP = Stop(seconds=60, workers=1)


def by_marks(small: Small, marked: int) -> Ask[Value]:
    """A small model whose first few variables make the kind."""
    model, first, second = small.model()
    marks = [model.get_bool_var_from_proto_index(k) for k in range(marked)]
    return of_model(model, first, second, marks=marks, stop=STOP)


@settings(max_examples=100, derandomize=True, deadline=None, database=None)
@given(small=SMALL, marked=st.integers(0, 5))
def test_same_as_trying_everything(small: Small, marked: int) -> None:
    found = front(ByKinds(by_marks(small, marked)))

    assert found.state == "whole"
    assert pairs(found) == small.front()
    assert all(point.proven for point in found.points)


@pytest.mark.slow
@pytest.mark.skipif(not FRONTS.exists(), reason=f"{FRONTS.name} is not beside this checkout")
@pytest.mark.parametrize("instance", [i for i in instances() if i["name"] in QUICK], ids=lambda i: str(i["name"]))
def test_a_published_front(instance: dict[str, Any]) -> None:
    model, first, second = posed(instance)
    marks = [model.get_bool_var_from_proto_index(k) for k in range(3)]

    found = front(ByKinds(of_model(model, first, second, marks=marks, stop=STOP)))

    one, other = signs(instance)
    assert found.state == "whole"
    assert sorted([one * point.first, other * point.second] for point in found.points) == sorted(instance["front"])


@pytest.mark.parametrize("marked", [(0, 1), (3, 4)], ids=["by turns", "one after the other"])
def test_fewer_questions_over_all_kinds(marked: tuple[int, int]) -> None:
    """32 points of four kinds: one question for each kind and one for none left, all others within a kind."""
    model, first, second = LINE.model()
    marks = [model.get_bool_var_from_proto_index(k) for k in marked]
    asked = Asked(of_model(model, first, second, marks=marks, stop=STOP))

    assert pairs(front(ByKinds(asked))) == LINE_POINTS

    over_all = [room for room in asked.rooms if room.inside is None]
    assert [len(room.outside) for room in over_all] == [0, 1, 2, 3, 4]
    assert len(asked.rooms) == 5 + 28 + 4  # over all, the other points, and that a kind has no more


def test_a_point_that_is_settled_waits_for_no_question() -> None:
    """Of two kinds, 0 to 7 and 8 to 15, everything is known: then the next question over all fails."""
    model, first, second = LINE.model()
    marks = [model.get_bool_var_from_proto_index(k) for k in (3, 4)]
    one_kind = 1 + 7 + 1  # its best, the others, and that there are no more

    found = front(ByKinds(Asked(of_model(model, first, second, marks=marks, stop=STOP), stuck_at=2 * one_kind)))

    assert pairs(found) == LINE_POINTS[:9]


def test_what_is_dominated_is_not_asked_for() -> None:
    """Of the second kind two points are no better than points of the first, nor is the third; none takes a question."""
    one, other, worse = (0, 0), (1, 0), (0, 1)
    all_points = [(one, 0, 10), (one, 4, 6), (one, 8, 2), (other, 2, 8), (other, 5, 6), (other, 8, 3), (other, 9, 1)]
    all_points.append((worse, 9, 2))
    answers: list[tuple[int, int]] = []

    def ask(room: Room) -> Point[str] | Infeasible | Unanswered:
        here = [
            (first, second, kind)
            for kind, first, second in all_points
            if room.second_at_most is None or second <= room.second_at_most
            if room.inside in (None, kind) and kind not in room.outside
            if all(first < a or second < b for a, b in room.below)
        ]
        if not here:
            return Infeasible()
        first, second, kind = min(here)
        answers.append((first, second))
        return Point(first, second, "", kind=kind)

    assert pairs(front(ByKinds(ask))) == [(0, 10), (2, 8), (4, 6), (8, 2), (9, 1)]
    assert sorted(answers) == [(0, 10), (2, 8), (4, 6), (8, 2), (9, 1)]


def test_compare_asks_kind_by_kind(fronted: Folders, solves: Solves) -> None:
    """Four points of four kinds: each of these holds no other."""
    assert compared(fronted, "--fresh").exit_code == 0

    assert (solves.count, solves.within) == (5, 4)


@pytest.mark.parametrize(
    ("room", "expected"),
    [
        pytest.param(Room(inside=(1, 0)), (1, -1), id="inside"),
        pytest.param(Room(outside=((0, 0),)), (1, -1), id="outside one"),
        pytest.param(Room(outside=((0, 0), (1, 0))), (2, -2), id="outside two"),
        pytest.param(Room(outside=((0, 0), (1, 0), (0, 1), (1, 1))), None, id="outside all"),
        pytest.param(Room(below=((0, 0),)), (1, -1), id="below the first"),
        pytest.param(Room(below=((0, -1),)), (2, -2), id="below more in the second"),
        pytest.param(Room(below=((5, -31),)), (0, 0), id="below: less in the first is enough"),
    ],
)
def test_a_room_of_kinds(room: Room, expected: tuple[int, int] | None) -> None:
    found = by_marks(LINE, 2)(room)

    assert isinstance(found, Infeasible if expected is None else Point)
    if isinstance(found, Point):
        assert (found.first, found.second) == expected


@pytest.mark.parametrize("after", range(0, 12, 3))
def test_a_stop_leaves_the_points_so_far(after: int) -> None:
    stopped = Asked(by_marks(LINE, 2), stuck_at=after)

    first = front(ByKinds(stopped))

    assert (first.state, first.why) == ("part", "time is up")
    assert pairs(first) == LINE_POINTS[: len(first.points)]


@pytest.mark.parametrize("unsure_at", [1, 2, 3, 10])
def test_what_is_not_proven_ends_the_loop(unsure_at: int) -> None:
    asked = Asked(by_marks(LINE, 2), unsure_at=unsure_at)

    found = front(ByKinds(asked))

    assert (found.state, len(asked.rooms)) == ("part", unsure_at)
    assert [point.proven for point in found.points].count(False) == 1
    proven = [(point.first, point.second) for point in found.points if point.proven]
    assert proven == LINE_POINTS[: len(proven)]


def test_a_kind_half_looked_into_is_gone_on_with() -> None:
    @dataclass
    class OnceStuck:
        """The third question comes to nothing the first time."""

        ask: Ask[Value]
        count: int = 0

        def __call__(self, room: Room) -> Point[Value] | Infeasible | Unanswered:
            self.count += 1
            return Unanswered("time is up") if self.count == 3 else self.ask(room)

    question = ByKinds(OnceStuck(by_marks(LINE, 2)))
    start = question(Room())
    assert isinstance(start, Point)
    assert question(Room(start.second - 1)) == Unanswered("time is up")

    follows = question(Room(start.second - 1))

    assert isinstance(follows, Point)
    assert (follows.first, follows.second) == LINE_POINTS[1]


def test_a_room_wider_than_the_one_before_is_refused() -> None:
    question = ByKinds(by_marks(LINE, 2))
    question(Room(-3))
    assert isinstance(question(Room(-3)), Point)  # as wide

    with pytest.raises(ValueError, match="a room of -2 after one of -3; expected ever narrower ones"):
        question(Room(-2))


def test_a_kind_has_a_value_for_each_mark() -> None:
    with pytest.raises(ValueError, match="shorter"):
        by_marks(LINE, 2)(Room(inside=(1,)))


def test_the_far_end_is_asked_for_as_it_is() -> None:
    asked = Asked(by_marks(LINE, 2))

    found = ByKinds(asked)(Room(turned=True))

    assert isinstance(found, Point)
    assert (found.first, found.second) == LINE_POINTS[-1]
    assert asked.rooms == [Room(turned=True)]


def test_the_kind_of_a_build() -> None:
    """Bank, converters and arrays make it, where they stand does not; the marks of each model are the same."""
    world = handmade.world()
    ctx = assemble(world.case, world.catalogue)
    marks = [mark.index for mark in kinds.marks(ctx)]

    assert [mark.index for mark in kinds.marks(assemble(world.case, world.catalogue))] == marks
    for name, slot in ctx.d.slots.items():
        makes_it = name in ("bank", "inverter", "alternator_charger", "mains_charger", "regulator_1", "regulator_2")
        assert {flag.index in marks for flag in slot.pick.values()} <= {makes_it}, name
    for strings in ctx.d.strings.values():
        assert {flag.index for flag in strings.options.values()} <= set(marks)


def test_rooms_of_kinds_reach_the_product() -> None:
    """A kind once found is not found outside itself, and inside it the same build comes out."""
    world = handmade.world()
    question = Question(world.case, world.catalogue)
    best = question.best(("cost", "mass"), stop=STOP)
    kind = best.kind  # type: ignore[union-attr]
    assert any(kind)

    again = question.best(("cost", "mass"), Room(inside=kind), stop=STOP)
    others = question.best(("cost", "mass"), replace(Room(), outside=(kind,)), stop=STOP)

    assert again.cost_cents == best.cost_cents  # type: ignore[union-attr]
    assert getattr(others, "kind", ()) != kind
