"""``compare`` as it is by default: what is worth choosing between, what that is proven to stand for, what is kept."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from click.testing import Result

from optimiser import library, pipeline
from optimiser.auditing import audit, breaches
from optimiser.differences import changes
from optimiser.fitted import cost_and_mass
from optimiser.library import Unusable
from optimiser.measures import MEASURES
from optimiser.packing import Wanted, make
from optimiser.pipeline import Extent, Inputs
from optimiser.solve import Question, Room, Stop, Unanswered
from tests import handmade
from tests.cli_help import run
from tests.comparing_help import EARLIER, POINTS, Solves, compared, never, rows, to_choose, write_fronted
from tests.conftest import Folders
from tests.test_comparing import breached

pytestmark = pytest.mark.usefixtures("shelf")

STOP = Stop(60, 1, 1)
# 100 g of 15.41 kg are 0.65 %; 30 cu of 645.75 are 4.6 %.
APART = [POINTS[0], POINTS[2]]
STANDS_FOR = "beside whatever else can be built, one of them is at most 0.2 % worse in cost and 1 % in mass"


def words(text: str) -> str:
    return " ".join(text.split())


# --- the sheet, the object -------------------------------------------------------------------------------


def test_builds_worth_choosing_between(fronted: Folders, tmp_path: Path) -> None:
    result = to_choose(fronted, "--out", tmp_path / "builds")

    assert result.exit_code == 0 and rows(result.stdout) == APART
    assert f"Status: proven: 2 options; {STANDS_FOR} Front of" in words(result.stdout)
    told = [line for line in result.stderr.splitlines() if re.match(r"point \d: \d", line)]
    assert told == [f"point {k}: {c / 100:.2f} cu, {g / 1000:.3f} kg" for k, (c, g) in enumerate(APART, start=1)]
    assert len(list((tmp_path / "builds").iterdir())) == 2


def test_a_tolerance_of_one_s_own(fronted: Folders) -> None:
    """The second is 0.6489 % lighter than the first, the last 0.6662 % lighter than the third."""
    assert rows(to_choose(fronted, "--apart", "0.2,0.648").stdout) == POINTS
    for percent in ("0.649", "0.666"):
        assert rows(to_choose(fronted, "--apart", f"0.2,{percent}").stdout) == [POINTS[0], POINTS[2], POINTS[3]]
    assert rows(to_choose(fronted, "--apart", "0.2,0.667").stdout) == [POINTS[0], POINTS[2]]
    assert rows(to_choose(fronted, "--apart", "20,0.5").stdout) == POINTS[3:]
    assert rows(to_choose(fronted, "--apart", "0,0").stdout) == POINTS
    one = to_choose(fronted, "--apart", "0.2,5")
    assert rows(one.stdout) == POINTS[:1]
    assert "1 option; beside whatever else can be built, it is at most 0.2 % worse in cost and 5 % in mass" in (
        words(one.stdout)
    )


def test_the_tolerance_goes_with_the_measures(fronted: Folders) -> None:
    """0.2 % of cost and 1 % of any other, whichever comes first."""
    answer = json.loads(to_choose(fronted, "--measures", "mass,cost", "--json").stdout)

    assert answer["apart"] == {"mass": 1, "cost": 0.2}
    assert {name: scale.apart_percent for name, scale in MEASURES.items()} == {
        "cost": 0.2, "mass": 1, "days_without_sun": 1, "spare_payload": 1, "annual_surplus": 1,
    }  # fmt: skip
    # From the lightest on: 0.1 kg more is within 1 % of 15.01 kg, and 30 cu cheaper; likewise of 15.41 kg.
    assert [(point["cost"], point["mass"]) for point in answer["points"]] == [(645.75, 15.01), (555.75, 15.41)]


def test_as_json(fronted: Folders) -> None:
    answer = json.loads(to_choose(fronted, "--json").stdout)

    assert (answer["status"], answer["apart"], answer["why"]) == ("front to a tolerance", {"cost": 0.2, "mass": 1}, "")
    assert [point["best_in"] for point in answer["points"]] == [["cost"], []]
    assert all(point["proven"] for point in answer["points"])
    whole = json.loads(compared(fronted, "--json").stdout)
    assert whole["apart"] is None and [p["best_in"] for p in whole["points"]] == [["cost"], [], [], ["mass"]]


@pytest.mark.parametrize("given", ["0.2", "0.2,1,3", "a,b", "-1,1", "0.2,100", "nan,1", "inf,1", ""])
def test_a_tolerance_that_is_none(fronted: Folders, solves: Solves, given: str) -> None:
    solves.instead = never

    result = to_choose(fronted, "--apart", given)

    assert (result.exit_code, result.stdout) == (2, "")
    told = words(re.sub(r"[│╭╮╰╯─]", " ", result.stderr))
    assert f"{given!r}; expected two percentages below 100 with a comma between, as 0.2,1" in told


@pytest.mark.parametrize(
    "two", [("--all", "--points", "3"), ("--apart", "1,1", "--all"), ("--apart", "1,1", "--points", "2")]
)
def test_one_extent_at_a_time(fronted: Folders, tmp_path: Path, two: tuple[str, ...]) -> None:
    result = to_choose(fronted, *two)
    packing = run("pack", "tiny-trailer", tmp_path / "none.json", "--out", tmp_path / "pack", *two)

    for refused in (result, packing):
        assert (refused.exit_code, refused.stdout) == (2, "")
        assert "--apart, --points, --all: expected one of the three" in refused.stderr


def test_the_library_takes_the_same(trailer: Folders) -> None:
    case = library.read(str(trailer.case), [str(trailer.catalogue)])

    found = library.compare(case, apart=(1, 1))

    assert found.state == "front to a tolerance" and found.apart == (1, 1) and len(found.choices) == 1
    with pytest.raises(ValueError, match="expected one of the three"):
        library.compare(case, points=2, whole=True)
    with pytest.raises(ValueError, match="expected 0 or more, and less than 100"):
        library.compare(case, apart=(-1, 1))
    with pytest.raises(ValueError, match="expected one of the three"):
        library.pack(case, handmade.build(), trailer.case / "pack", options=True, points=2, apart=(1, 1))
    assert not issubclass(ValueError, Unusable)


# --- few questions, and what is kept between runs --------------------------------------------------------


def test_a_question_a_point_and_one_more(fronted: Folders, solves: Solves) -> None:
    to_choose(fronted)

    assert (solves.count, solves.within) == (3, 0)


@pytest.fixture(scope="module")
def anew(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Result]:
    """What is told where nothing is known of an earlier run, asked once: a solve of each point."""
    folders = write_fronted(tmp_path_factory.mktemp("anew"))
    return cache(lambda *options: to_choose(folders, *options, "--fresh"))


@pytest.mark.parametrize(
    ("first", "then"),
    [
        pytest.param(("--all",), (), id="the whole first"),
        pytest.param((), ("--all",), id="to a tolerance first"),
        pytest.param(("--apart", "0.2,5"), (), id="coarser first"),
        pytest.param(("--apart", "20,0.5"), (), id="other points first"),
        pytest.param(("--points", "2"), (), id="both ends first"),
    ],
)
def test_no_tolerance_colours_another(
    fronted: Folders, anew: Callable[..., Result], first: tuple[str, ...], then: tuple[str, ...]
) -> None:
    """Builds serve all of them, and no more than as builds."""
    fresh = anew(*then)
    to_choose(fronted, *first, "--fresh")

    again = to_choose(fronted, *then)

    assert rows(again.stdout) == rows(fresh.stdout) == (POINTS if then else APART)
    assert EARLIER in again.stderr
    status = [line for line in again.stdout.splitlines() if line.startswith("Status: ")]
    assert status == [line for line in fresh.stdout.splitlines() if line.startswith("Status: ")]


def test_a_second_run_is_one_question(fronted: Folders, solves: Solves) -> None:
    first = to_choose(fronted)
    solves.count = 0

    again = to_choose(fronted)

    assert (again.exit_code, rows(again.stdout)) == (0, rows(first.stdout))
    assert solves.count == 1 and again.stderr.count(EARLIER) == 2


# --- what ends it early ----------------------------------------------------------------------------------


def test_a_stop_claims_nothing_of_what_is_left(fronted: Folders, solves: Solves) -> None:
    solves.instead = lambda number, found: found if number == 1 else Unanswered("time is up")

    result = to_choose(fronted, "--json")

    answer = json.loads(result.stdout)
    assert (result.exit_code, answer["status"], answer["why"]) == (4, "part of the front", "time is up")
    assert [(point["cost"], point["proven"]) for point in answer["points"]] == [(555.75, True)]
    assert STANDS_FOR not in words(to_choose(fronted).stdout)


def test_a_build_that_fails_its_audit_is_neither_shown_nor_kept(fronted: Folders, solves: Solves, shelf: Path) -> None:
    solves.instead = breached

    result = to_choose(fronted)

    assert result.exit_code == 1 and "Status: breach" in result.stdout and rows(result.stdout) == []
    assert not any('"cost_cents": 1,' in file.read_text(encoding="utf-8") for file in shelf.iterdir())


def test_impossible_is_impossible(fronted: Folders) -> None:
    result = run(
        "compare", fronted.case, "--catalogue", fronted.catalogue, "--workers", "1", "--apart", "1,1",
    )  # fmt: skip
    assert result.exit_code == 0
    case = fronted.case / "case.toml"
    case.write_text(case.read_text(encoding="utf-8").replace("budget = 2000", "budget = 200"), encoding="utf-8")

    assert "Status: impossible" in to_choose(fronted).stdout


# --- nothing changes without a reason --------------------------------------------------------------------


@pytest.fixture
def inputs(fronted: Folders) -> Inputs:
    return pipeline.read(str(fronted.case), [str(fronted.catalogue)])


def test_of_builds_as_good_the_one_that_changes_least(inputs: Inputs) -> None:
    """Made like one whose parts stand elsewhere, it has them there too; the chargers it was chosen for stay."""
    question = Question(inputs.case, inputs.catalogue)
    cheap = question.best(("cost", "mass"), stop=STOP)
    light = question.best(("mass", "cost"), Room(), stop=STOP)
    assert cheap.build and light.build  # type: ignore[union-attr]
    worth = light.figures  # type: ignore[union-attr]

    like = question.likened(light.build, worth, cheap.build, stop=STOP)  # type: ignore[union-attr]

    its = cost_and_mass(inputs.case, inputs.catalogue, like)
    assert {"cost": its.cents, "mass": its.grams} == worth
    assert not breaches(audit(inputs.case, inputs.catalogue, like))
    told = [change.text for change in changes(inputs.catalogue, cheap.build, like)]  # type: ignore[union-attr]
    assert told == [
        "alternator-charger-30-light for alternator-charger-30",
        "mains-charger-30-light for mains-charger-30",
    ]
    assert like.claim == light.build.claim  # type: ignore[union-attr]


def test_it_stands_as_it_is_where_nothing_was_found_in_time(inputs: Inputs) -> None:
    question = Question(inputs.case, inputs.catalogue)
    cheap = question.best(("cost", "mass"), stop=STOP)
    build = cheap.build  # type: ignore[union-attr]
    assert build is not None

    assert question.likened(build, {"cost": 1}, build, stop=STOP) == build  # none costs a cent
    assert question.likened(build, {}, build, stop=replace(STOP, seconds=0.0)) == build


def test_options_of_a_pack_are_made_like_the_build_it_is_of(inputs: Inputs) -> None:
    own = Question(inputs.case, inputs.catalogue).best(("mass", "cost"), stop=STOP).build  # type: ignore[union-attr]
    assert own is not None

    made, _ = make(
        inputs, own, Wanted(Extent(apart=(0.2, 1)), False), STOP, lambda _: None, lambda _: None, lambda _: None,
        lambda _: None,
    )  # fmt: skip

    told = {(option.worth.cents, option.worth.grams): option.line.partition(": ")[0] for option in made.options}
    assert told == {
        POINTS[0]: "alternator-charger-30 for alternator-charger-30-light; mains-charger-30 for mains-charger-30-light",
        POINTS[2]: "alternator-charger-30 for alternator-charger-30-light",
        POINTS[3]: "the build of this pack",
    }
