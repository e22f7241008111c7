"""The options of a pack: the front with the build itself among it, what is otherwise, and what decides each."""

from dataclasses import replace

import pytest

from optimiser.builds import Build
from optimiser.fitted import cost_and_mass
from optimiser.packing import Wanted, make
from optimiser.packing import options as choosing
from optimiser.packing.options import CAPPED, NOT_EXPLAINED, options
from optimiser.packing.page.chart import stacks, ticks
from optimiser.packing.page.rendering import _option_row
from optimiser.pipeline import Comparison, Extent, Inputs, compare, read
from optimiser.solve import Stop
from tests.comparing_help import POINTS, write_fronted
from tests.packed_help import compared, inputs, packed
from tests.packing_help import shipped

STOP = Stop(60, 1, 2)


@pytest.fixture(scope="module")
def fronted(tmp_path_factory: pytest.TempPathFactory) -> Inputs:
    """A small trailer with a front of four points."""
    case, parts = write_fronted(tmp_path_factory.mktemp("fronted"))
    return read(str(case), [str(parts)])


@pytest.fixture(scope="module")
def front(fronted: Inputs) -> Comparison:
    """All of it."""
    return compare(fronted, ("cost", "mass"), Extent(), STOP, lambda _: None, lambda _: None, fresh=True)


def test_the_build_itself_is_the_point_it_equals(fronted: Inputs, front: Comparison) -> None:
    build = front.choices[2].build

    found = options(fronted, build, front, {})

    assert [(o.worth.cents, o.worth.grams) for o in found] == POINTS
    assert [o.chosen for o in found] == [False, False, True, False]
    assert [o.number for o in found] == [1, 2, 3, 4]
    assert found[2].fit.build is build and found[2].rows == ()
    assert all(row.differs for o in found for row in o.rows)
    assert all(o.line.endswith(" kg") and o.rows for o in found if not o.chosen)


def test_a_build_beside_the_front_is_an_option_of_its_own(fronted: Inputs, front: Comparison) -> None:
    """With a switch that has its own cable less well laid: dearer than the cheapest and no lighter."""
    build = _dearer(fronted, front.choices[0].build)
    its = cost_and_mass(fronted.case, fronted.catalogue, build)

    found = options(fronted, build, front, {})

    assert len(found) == len(POINTS) + 1
    own = next(o for o in found if o.chosen)
    assert own.worth == its and not own.proven
    assert all(o.proven for o in found if not o.chosen)


def test_an_own_build_is_said_to_be_off_the_front_only_where_another_beats_it(
    fronted: Inputs, front: Comparison
) -> None:
    build = _dearer(fronted, front.choices[0].build)
    for choices, wanted in (
        (front.choices, "not of the front: option 1 is no worse in both"),
        (front.choices[3:], "not known"),
    ):
        found = options(fronted, build, replace(front, choices=choices), {})
        own = next(o for o in found if o.chosen)
        assert _option_row(own, found, "cu")[3] == wanted


def _dearer(fronted: Inputs, build: Build) -> Build:
    lone = build.measuring[0]
    return replace(
        build,
        measuring=(*build.measuring, replace(lone, count=1)),
        claim=replace(build.claim, cost_cents=None, mass_g=None),
    )


def test_without_a_comparison_the_build_stands_alone() -> None:
    fit = shipped("tiny-trailer")

    found = options(inputs("tiny-trailer"), fit.build, None, {})

    assert [(o.number, o.chosen, o.proven) for o in found] == [(1, True, False)]


def test_what_decides_is_not_claimed_unasked() -> None:
    for option in packed("tiny-trailer").options:
        assert option.decided == NOT_EXPLAINED
    assert len(compared("tiny-trailer").choices) == 2


@pytest.mark.slow
def test_what_decides_is_found_for_every_option(fronted: Inputs, front: Comparison) -> None:
    """The ends as they are; between them with their own mass as the payload, which then decides with the rest."""
    begun, turns = list[str](), list[str]()

    made, _ = make(
        fronted, front.choices[0].build, Wanted(Extent(), True), STOP, lambda _: None, lambda _: None,
        begun.append, turns.append,
    )  # fmt: skip

    assert [CAPPED in option.decided for option in made.options] == [False, True, True, False]
    for option in made.options:
        assert "Nothing is " in option.decided and "because of these" in option.decided
    for between in made.options[1:3]:
        assert any(line.startswith("mass.payload: ") for line in between.deciders)
    assert not any(line.startswith("mass.payload: ") for line in made.options[0].deciders)
    assert begun == ["both ends", "option 2", "option 3"]
    assert {words.partition(",")[0] for words in turns} == set(begun)


@pytest.mark.slow
def test_an_option_is_not_asked_about_where_a_neighbour_is_nearly_the_same(
    fronted: Inputs, front: Comparison, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of 555.75, 585.75, 645.75 and 675.75 the third is within 10 % of the last, and the second of the first."""
    monkeypatch.setattr(choosing, "BY_PERCENT", 10.0)
    begun: list[str] = []

    known = choosing.what_decides(fronted, front, STOP, lambda _: None, begun.append, lambda _: None)

    assert begun == ["both ends"]
    assert {its: decided.of for its, decided in known.items()} == {
        POINTS[0]: None,
        POINTS[1]: POINTS[0],
        POINTS[2]: POINTS[3],
        POINTS[3]: None,
    }
    told = options(fronted, front.choices[0].build, front, known)[1].decided
    assert told.startswith("Not asked by itself, being within 10 % of the option of 555.75 cu, 15.410 kg")


def test_points_that_would_cover_each_other_are_one() -> None:
    assert stacks([(0, 0), (3, 4), (30, 4), (35, 16), (36, 17)]) == [[0, 1], [2], [3, 4]]
    assert stacks([(0, 0), (12.9, 0), (13.1, 0)]) == [[0, 1], [2]]
    assert stacks([(0, 0), (2, 90), (4, 1)]) == [[0, 2], [1]]  # one off the front between two on it


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [(3052.21, 3087.39, [3050, 3060, 3070, 3080, 3090]), (36.8, 47.5, [35, 40, 45, 50]), (5, 5, [4.9, 5, 5.1])],
)
def test_marks_of_an_axis_are_round_and_take_in_both_ends(low: float, high: float, wanted: list[float]) -> None:
    assert ticks(low, high) == pytest.approx(wanted)
