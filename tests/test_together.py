"""Loads of which only so many run at a time: what they draw at worst, and how it is told."""

from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from optimiser import case as c
from optimiser.auditing import audit
from optimiser.basis.loads import hourly, on_at, peaks, together_w, too_much_together
from optimiser.catalogue import Catalogue
from optimiser.commissioning.sheet import test_sheet as sheet_of
from optimiser.fitted import Fit
from optimiser.moves import levers
from optimiser.printing.findings import apart
from optimiser.reading import read_case
from optimiser.schedules import labels
from optimiser.solve import Impossible, Solved, optimise
from tests import handmade
from tests.asking import Change, finding, taken, world
from tests.explaining import STOP
from tests.reading_help import problems_of

KETTLE = handmade.case().loads[2]
IRON = KETTLE.model_copy(update={"name": "iron", "watt_w": 700.0, "surge_w": 0.0, "duty_pct": 1.0})
HOB = KETTLE.model_copy(update={"name": "hob", "watt_w": 500.0, "surge_w": 650.0, "duty_pct": 1.0})
LOADS: Change = ("loads", (*handmade.case().loads, IRON, HOB))  # kettle of 600 W, 800 W at its start, and both


def group(*loads: str, at_most: int = 1, by: str = "interlock", name: str = "kitchen") -> Change:
    return ("brief.together", (c.Together(name=name, loads=loads, at_most=at_most, by=by),))  # type: ignore[arg-type]


def test_peaks_are_of_the_worst_that_may_run_together() -> None:
    """Worked out by hand: 600, 700 and 500 W; a start adds 200 to the kettle, 150 to the hob."""
    all_on, one, two = (
        peaks(world(LOADS, *held).case)
        for held in ((), (group("kettle", "iron", "hob"),), (group("kettle", "iron", "hob", at_most=2),))
    )

    assert (all_on.inverter_w, all_on.inverter_surge_w) == (1800, 2000)
    assert (one.inverter_w, one.inverter_surge_w) == (700, 800)  # the iron; the kettle as it starts
    assert (two.inverter_w, two.inverter_surge_w) == (1300, 1500)  # kettle and iron; as the kettle starts
    for held in (one, two):
        assert (held.dc_w, held.hook_up_w) == (all_on.dc_w, all_on.hook_up_w)


@pytest.mark.parametrize("seed", range(40))
def test_it_is_the_worst_of_all_that_are_allowed(seed: int) -> None:
    """The naive twin goes through every set of loads."""
    random = Random(seed)
    names = [f"load_{k}" for k in range(7)]
    now = [
        KETTLE.model_copy(update={"name": n, "watt_w": float(w), "surge_w": float(random.choice([0, w + 100, 3 * w]))})
        for n in names
        for w in [random.randint(50, 900)]
    ]
    cut = random.randint(2, 5)
    groups = [c.Together(name="a", loads=tuple(names[:cut]), at_most=random.randint(1, cut - 1), by="interlock")]
    if len(names) - cut >= 2:
        groups.append(c.Together(name="b", loads=tuple(names[cut:]), by="agreement"))
    case = world(("brief.together", tuple(groups))).case
    allowed = [
        some
        for size in range(len(now) + 1)
        for some in combinations(now, size)
        if all(sum(load.name in held.loads for load in some) <= held.at_most for held in groups)
    ]

    assert together_w(case, now) == max(sum(x.watt_w for x in some) for some in allowed)
    for load in now:
        with_it = [some for some in allowed if load in some]
        most = max(sum(x.watt_w for x in some) for some in with_it) + load.surge_w - load.watt_w
        assert together_w(case, now, starting=load) == most


def test_what_they_take_in_a_day_stays() -> None:
    apart_, free = world(LOADS, group("kettle", "iron")), world(LOADS)
    for scenario in free.case.scenarios:
        one, other = hourly(apart_.case, scenario), hourly(free.case, scenario)
        assert list(one.inverter_w) == list(other.inverter_w)
        assert on_at(apart_.case, scenario, 8) == on_at(free.case, scenario, 8)


def test_an_inverter_too_small_for_all_does_for_one_at_a_time() -> None:
    """It gives 925 W in a bay of 50 C: 600 with 700 W is too much, 600 with 300 W is not."""
    apart_, together = world(LOADS, group("kettle", "iron", "hob")), world(LOADS)

    for at, fits in ((apart_, True), (together, False)):
        assert finding(at, "inverter.power").ok is fits
        assert taken(at) is fits
        assert isinstance(optimise(at.case, at.catalogue, "cheapest", stop=STOP), Solved if fits else Impossible)


def test_one_less_at_a_time_is_a_lever() -> None:
    at = world(LOADS, group("kettle", "iron", "hob", at_most=2))
    found = {lever.address: lever.step for lever in levers(at.case, at.catalogue, "inverter.power")}

    assert found["together.kitchen.at_most"] == -1
    at = world(LOADS, group("kettle", "iron", "hob"))
    assert "together.kitchen.at_most" not in {
        lever.address for lever in levers(at.case, at.catalogue, "inverter.power")
    }


def test_pairs_that_an_interlock_holds_apart_are_not_warned_of() -> None:
    """An agreement keeps nobody from switching on."""

    def named(*held: Change) -> list[tuple[str, str]]:
        return [(one.name, other.name) for one, other in too_much_together(world(LOADS, *held).case, 1250)]

    assert named() == [("kettle", "iron")]
    assert named(group("kettle", "iron")) == []
    assert named(group("kettle", "iron", by="agreement")) == [("kettle", "iron")]
    assert named(group("kettle", "iron", "hob", at_most=2)) == [("kettle", "iron")]


@pytest.mark.parametrize(
    ("by", "said"), [("interlock", "an interlock holds"), ("agreement", "no more than an agreement")]
)
def test_it_is_told_on_sheet_labels_and_test_sheet(by: str, said: str) -> None:
    at = world(LOADS, group("kettle", "iron", by=by))
    fit = Fit(at.case, at.catalogue, at.build)

    (line,) = apart(at.case)
    assert line.startswith("Of kettle, iron only 1 at a time") and said in line
    assert any("only 1 at a time: kettle, iron" in str(cell) for row in labels(fit).rows for cell in row)
    (check,) = (each for each in sheet_of(fit, audit(at.case, at.catalogue, at.build)) if "together" in each.id)
    assert check.id == "handover.together.kitchen"


GROUP = '[[together]]\nname = "kitchen"\nloads = [{}]\nby = "interlock"\n{}\n[[circuits]]'


@pytest.mark.parametrize(
    ("loads", "more", "column", "said"),
    [
        ('"fridge"', "", "together.1.loads", "fewer than two loads; expected those held apart"),
        ('"fridge", "lamp_of_gold"', "", "together.1.loads", "no load 'lamp_of_gold'"),
        ('"fridge", "lights"', "at_most = 2", "together.1.at_most", "2 of 2 loads; expected fewer than there are"),
    ],
)
def test_groups_that_say_nothing_are_refused(
    folder: Path, catalogue: Catalogue, loads: str, more: str, column: str, said: str
) -> None:
    text = (folder / "case.toml").read_text(encoding="utf-8")
    first = text.index("[[circuits]]")
    (folder / "case.toml").write_text(text[:first] + GROUP.format(loads, more) + text[first + len("[[circuits]]") :],
                                      encoding="utf-8")  # fmt: skip

    problems = {p.column: p.message for p in problems_of(lambda: read_case(folder, catalogue))}

    assert problems[column].startswith(said)
