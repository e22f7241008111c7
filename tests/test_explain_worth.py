"""What giving up each name saves, held against enumeration of small made-up worlds."""

from collections.abc import Callable
from dataclasses import dataclass, field

from hypothesis import given
from hypothesis import strategies as st

from optimiser.explaining.worth import Ask, Shown, Worths, settle

NAMES = tuple("abcdefg")
FIGURE = 100  # of the best build that holds all

Breaching = tuple[int, frozenset[str]]  # what a build comes to, and which names it does without
worlds = st.lists(st.tuples(st.integers(0, FIGURE), st.frozensets(st.sampled_from(NAMES), min_size=1)), max_size=12)


@dataclass
class World:
    """Builds by what they come to and do without; one that does without nothing comes to ``FIGURE``."""

    builds: list[Breaching]
    margin: int
    asked: list[frozenset[str]] = field(default_factory=list)

    def saves(self, group: frozenset[str]) -> int:
        return max((FIGURE - figure for figure, without in self.builds if without <= group), default=0)

    def __call__(self, group: frozenset[str], work: float) -> Shown:
        """A proof, as the solver gives it: of builds that save what counts, the best."""
        self.asked.append(group)
        found = [(FIGURE - figure, without) for figure, without in self.builds if without <= group]
        saved, without = max(found, key=lambda pair: pair[0], default=(0, group))
        return Shown(saved, saved, without) if saved >= self.margin else Shown(self.margin - 1)


def settled(world: World, ask: Ask | None = None, *, go_on: Callable[[], bool] = lambda: True) -> Worths:
    worths = Worths(NAMES, world.margin)
    settle([NAMES[:4], NAMES[4:]], ask or world, worths, work=1, go_on=go_on)
    return worths


def sound(worths: Worths, world: World) -> None:
    """Whatever is said of a name is true."""
    for name in NAMES:
        saves = world.saves(frozenset(name))
        assert worths.at_least.get(name, 0) <= saves <= worths.at_most.get(name, FIGURE)


@given(worlds, st.integers(1, 30))
def test_each_name_is_settled_as_enumeration_has_it(builds: list[Breaching], margin: int) -> None:
    world = World(builds, margin)

    worths = settled(world)

    sound(worths, world)
    for name in NAMES:
        saves = world.saves(frozenset(name))
        assert worths.settled(name)
        assert worths.decides(name) == (saves >= margin)
        if saves >= margin:
            assert worths.at_least[name] == worths.at_most[name] == saves
        else:
            assert worths.at_most[name] < margin


@given(worlds, st.integers(1, 30), st.data())
def test_what_is_known_when_questions_stay_open_is_true(
    builds: list[Breaching], margin: int, data: st.DataObject
) -> None:
    """Any question may give no more than a bound, or a build that is not proven best; and the time may be up."""
    world = World(builds, margin)

    def ask(group: frozenset[str], work: float) -> Shown:
        shown = world(group, work)
        loose = data.draw(st.integers(0, FIGURE - shown.at_most))
        if loose == 0:
            return shown
        found = data.draw(st.booleans())
        return Shown(shown.at_most + loose, shown.saved, shown.without) if found else Shown(shown.at_most + loose)

    worths = settled(world, ask, go_on=lambda: len(world.asked) < 12)

    sound(worths, world)


def test_one_proof_settles_a_whole_group() -> None:
    world = World([], 1)

    worths = settled(world)

    assert world.asked == [frozenset(NAMES[:4]), frozenset(NAMES[4:])]
    assert not worths.left(NAMES)


def test_what_a_better_build_does_without_is_asked_by_itself_and_the_rest_without_it() -> None:
    world = World([(60, frozenset("b")), (70, frozenset("ac"))], 1)

    worths = settled(world)

    assert world.asked[:2] == [frozenset("abcd"), frozenset("efg")]
    assert set(world.asked[2:]) == {frozenset("acd"), frozenset("a"), frozenset("c"), frozenset("d")}
    assert (worths.at_least["b"], worths.at_most["b"]) == (40, 40)
    assert [worths.at_most[name] for name in "acd"] == [0, 0, 0]


def test_a_bound_on_a_group_is_one_on_each_of_its_names() -> None:
    world = World([], 5)

    worths = settled(world, lambda group, work: Shown(30), go_on=lambda: False)
    worths.learn(frozenset("ab"), Shown(30))
    worths.learn(frozenset("bc"), Shown(20))

    assert worths.at_most == {"a": 30, "b": 20, "c": 20}
    assert worths.left(NAMES) == frozenset(NAMES)


def test_what_stays_open_is_halved_and_a_single_name_asked_again_for_longer() -> None:
    world, asked = World([], 1), list[tuple[str, float]]()

    def ask(group: frozenset[str], work: float) -> Shown:
        asked.append(("".join(sorted(group)), work))
        return Shown(0) if work > 1 or group <= frozenset("efg") else Shown(9)

    settled(world, ask)

    assert asked[:2] == [("abcd", 1), ("efg", 1)]
    assert asked[2:4] == [("ab", 1), ("cd", 1)]
    assert asked[8:] == [("a", 4), ("b", 4), ("c", 4), ("d", 4)]


def test_names_are_told_once_as_they_are_settled() -> None:
    world, told = World([(60, frozenset("b"))], 1), list[str]()
    worths = Worths(NAMES, world.margin, heard=told.extend)

    settle([NAMES], world, worths, work=1, go_on=lambda: True)

    assert told[0] == "b"
    assert sorted(told) == list(NAMES)
