"""The order of work: dead first, in the order that keeps whoever works whole, and only of what the build has."""

from dataclasses import replace
from typing import Any

import pytest

from optimiser.builds import Run
from optimiser.fitted import Fit
from optimiser.packing.page.work import order_of_work
from tests.commission_help import fit
from tests.packing_help import SOLVED, WANTS, shipped
from tests.test_commission_rows import CHARGER, NO_INLET, without

BUILDS = [(name, want) for name in SOLVED for want in WANTS]
WHOLE = "grey-month-van"


def at(lines: list[str], *words: str) -> int:
    """Which step has these words; there is one."""
    found = [place for place, line in enumerate(lines) if all(word in line for word in words)]
    assert len(found) == 1, (words, [lines[place] for place in found])
    return found[0]


ORDER: list[tuple[str, ...]] = [
    ("Weigh",),
    ("Measure again",),
    ("Make the vehicle dead",),
    ("Look behind", "drill"),
    ("never by glue alone",),
    ("Cover the panels",),
    ("low-voltage and data runs", "not connected"),
    ("Fix the parts",),
    ("The bank is fixed", "rearward"),
    ("Make off", "no fuse in"),
    ("licensed electrician", "pulled and made off"),
    ("Dead tests",),
    ("Test each string before it is connected",),
    ("Join the bank",),
    ("main fuse", "polarity"),
    ("put in the fuses of the row",),
    ("resistor",),
    ("at each outlet",),
    ("licensed electrician", "live tests"),
    ("the bank first and the panels afterwards",),
    ("The fuse of alternator_feed while its feed is still dead",),
    ("Commission", "hand over"),
    ("To shut down",),
]
"""Words of steps, in their order."""


def test_the_steps_of_a_whole_build_are_in_their_order() -> None:
    lines = order_of_work(shipped(WHOLE))
    found = [at(lines, *words) for words in ORDER]
    assert found == sorted(found)
    assert len(lines) >= len(ORDER)


def test_the_fuses_of_the_strings_go_in_before_the_main_one() -> None:
    lines = order_of_work(shipped("travelling-clinic"))
    strings = at(lines, "fuses of the strings of modules", "main fuse still out")
    assert at(lines, "Join the bank") < strings < at(lines, "main fuse", "polarity")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_the_vehicle_is_dead_before_the_first_hole_and_weighed_before_all(name: str, want: str) -> None:
    lines = order_of_work(shipped(name, want))
    assert lines[0].startswith("Weigh")
    dead = lines[at(lines, "Make the vehicle dead")]
    assert "prove" in dead
    assert at(lines, "Make the vehicle dead") < at(lines, "Look behind")
    assert ("hook-up" in dead) == (shipped(name, want).case.brief.inlet is not None)
    assert ("tow plug" in dead) == (name != "grey-month-van")
    assert ("starter battery" in dead) == (name == "grey-month-van")
    assert ("lift_battery" in dead) == (name == "grey-month-van")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_mains_runs_are_the_licensed_electrician_s_alone(name: str, want: str) -> None:
    one = shipped(name, want)
    mains = [run.name for run in one.build.runs if run.name in ("mains_inlet", "mains_feed", "inverter_out")]
    lines = order_of_work(one)
    (step,) = [line for line in lines if "pulled and made off" in line]
    assert mains and all(run in step for run in mains)
    for line in lines:
        if line != step:
            assert not [run for run in mains if run in line]
    assert f"Pull the {len(one.build.runs) - len(mains)} low-voltage and data runs" in " ".join(lines)


def test_panels_are_covered_before_they_are_fixed_and_until_their_regulator_has_the_bank() -> None:
    lines = order_of_work(shipped(WHOLE))
    step = lines[at(lines, "Cover the panels")]
    assert step.index("Cover") < step.index("fix") and "capped" in step
    assert at(lines, "the bank first and the panels afterwards") > at(lines, "close the isolator", "resistor")


# --- only what is there ------------------------------------------------------------------------------


def no_runs(*starts: str) -> tuple[Run, ...]:
    """The trailer's runs but those whose names start so."""
    return tuple(run for run in fit().build.runs if not run.name.startswith(starts))


NO_SUN: dict[str, Any] = {"build__panels": (), "build__arrays": (), "build__runs": no_runs("solar")}
GONE: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {
    "sun": (NO_SUN, ("anel", "string", "in light", "regulator_1")),
    "inverter": (
        {**without("inverter"), "build__runs": no_runs("inverter")},
        ("nverter", "resistor"),
    ),
    "inlet": (NO_INLET, ("hook-up",)),
    "engine": (
        {
            **without("alternator_charger"),
            "build__runs": no_runs("alternator"),
        },
        ("alternator", "engine"),
    ),
    "vents": ({"build__vents": ()}, ("Cut the vents",)),
    "bank of one": ({"bank__parallel": 1}, ("match", "modules")),
}


@pytest.mark.parametrize("name", GONE)
def test_it_speaks_only_of_what_the_build_has(name: str) -> None:
    knobs, words = GONE[name]
    whole, less = (" ".join(order_of_work(one)) for one in (fit(), fit(**knobs)))
    for word in words:
        assert word in whole, word
        assert word not in less, word


def test_a_dry_build_has_no_electrician() -> None:
    assert "electrician" not in " ".join(order_of_work(_dry(fit())))
    assert "electrician" in " ".join(order_of_work(fit(**CHARGER)))


def _dry(one: Fit) -> Fit:
    """Neither hook-up nor inverter."""
    gone = ("inverter", "mains_charger", "mains_box")
    bodies = tuple(body for body in one.build.fitted if body.slot not in gone)
    runs = tuple(run for run in one.build.runs if not run.name.startswith(("mains", "inverter")))
    brief = one.case.brief.model_copy(update={"inlet": None})
    return replace(one, case=replace(one.case, brief=brief), build=replace(one.build, fitted=bodies, runs=runs))


def test_what_stays_is_disconnected_and_its_mains_side_by_the_electrician() -> None:
    one = shipped("grey-month-van")
    stay = ("mains_box", "alternator_charger")
    fitted = tuple(replace(body, existing=body.slot in stay) for body in one.build.fitted)
    line = next(
        line
        for line in order_of_work(replace(one, build=replace(one.build, fitted=fitted)))
        if "What is existing" in line
    )
    assert "alternator_charger, mains_box" in line
    assert "mains of mains_box by a licensed electrician" in line


def test_nothing_is_parted_where_nothing_stays() -> None:
    assert not [line for line in order_of_work(fit()) if "from its old wiring" in line]


def test_without_an_inverter_the_isolator_is_closed_without_more() -> None:
    bare = order_of_work(fit(**without("inverter")))
    assert at(bare, "Close the isolator.") > at(bare, "put in the fuses of the row")


def test_the_main_fuse_goes_in_while_the_isolator_is_off_and_the_row_is_empty() -> None:
    lines = order_of_work(fit())
    first = lines[at(lines, "put the main fuse in")]
    assert first.startswith("Isolator off, no fuse in the row") and first.index("main fuse") < first.index("close")
    row = lines[at(lines, "put in the fuses of the row")]
    assert "isolator off, no string joined, hook-up unplugged, the fuse of alternator_feed out" in row
    assert at(lines, "put the main fuse in") < at(lines, "put in the fuses of the row") < at(lines, "resistor")
