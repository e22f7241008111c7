"""What the brief asks for as such stands apart from limits; each limit says whose it is, and what is to spare."""

import time
from functools import cache

import pytest

from optimiser.explaining import Budget, Deciding, negotiable, what_decides
from optimiser.fitted import cost_and_mass
from optimiser.packing.options import Decided, options
from optimiser.pipeline import Explanation, Inputs
from optimiser.printing import explanation_object
from optimiser.printing.explaining import explanation_sheet
from optimiser.reading import shipped_cases
from optimiser.requirements import REGISTER, Requirement
from optimiser.solve import Solved, optimise, requirements_of
from tests import handmade
from tests.conflicting import heat_and_inverter
from tests.explaining import STOP, Solving
from tests.test_explain_proofs import sheet, why

WISHES = {
    "inverter.present",
    "charge.asked_for",
    "mains.changeover",
    "string.portable",
    "measure.switch",
    "measure.channels",
    "measure.display",
}


@cache
def decided() -> tuple[Inputs, Deciding]:
    world = handmade.world()
    inputs = Inputs(shipped_cases(), world.case, world.catalogue)  # the folder is not read for a sheet
    best = optimise(world.case, world.catalogue, "cheapest", stop=STOP)
    assert isinstance(best, Solved)
    names = negotiable(world.case, world.catalogue, requirements_of(world.case, world.catalogue))
    budget = Budget(time.monotonic() + 60)
    return inputs, what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), budget)


@pytest.mark.parametrize("requirement", REGISTER.values(), ids=lambda known: known.name)
def test_a_wish_is_the_briefs_and_each_requirement_has_a_setter(requirement: Requirement) -> None:
    assert requirement.asked_for == (requirement.name in WISHES)
    assert not requirement.asked_for or requirement.setter == "the brief"
    assert set(requirement.setter.split(" and ")) <= {
        *("the brief", "the survey", "the shop", "the maker", "a rule", "common practice", "what a build is")
    }
    if requirement.set_by == "brief and survey":
        assert requirement.setter in ("the brief", "the survey", "the shop")
    if requirement.set_by == "definition":
        assert requirement.setter == "what a build is"


def test_wishes_of_a_best_build_stand_in_one_line_before_its_limits() -> None:
    inputs, deciding = decided()
    shown = explanation_sheet(inputs, Explanation("possible", None, (deciding,)))
    lines = [line for part in shown if isinstance(part, str) for line in part.splitlines()]
    wished = {d.name for d in deciding.deciders if d.name.partition("[")[0] in WISHES}
    limits = [d for d in deciding.deciders if d.name not in wished]
    assert wished and limits

    (line,) = [line for line in lines if "asked for by the brief: " in line]

    assert all(f"{name} " in line for name in wished)
    assert not any(other.strip().startswith(name) for other in lines for name in wished if other != line)
    for decider in limits:
        (own,) = [k for k, other in enumerate(lines) if other.startswith(f"  {decider.name}")]
        assert own > lines.index(line)
        assert decider.finding is not None
        assert f"{decider.finding.sentence}; " in lines[own]
        assert " to spare; " in lines[own]
        assert lines[own].endswith(f"; set by {REGISTER[decider.finding.name].setter}")


def test_each_limit_on_a_page_of_the_pack_says_whose_it_is() -> None:
    inputs, deciding = decided()
    its = cost_and_mass(inputs.case, inputs.catalogue, deciding.best.build)

    (option,) = options(inputs, deciding.best.build, None, {its: Decided(deciding, capped=False)})

    first, *rest = option.deciders
    assert first.startswith("asked for by the brief: ")
    assert rest
    assert all("; set by the " in line or "; set by a rule" in line or "only together" in line for line in rest)


def test_wishes_of_a_conflict_stand_apart_too() -> None:
    built = heat_and_inverter()
    found = why(built.case, built.catalogue)

    lines = sheet(built.case, built.catalogue, found).splitlines()

    assert (
        "  asked for by the brief: inverter.present; with any one of these given up there is a build (proven)" in lines
    )
    assert any(line.startswith("  inverter.power: ") and line.endswith("; set by the maker") for line in lines)
    assert any(line.startswith("  bay.heat[locker]: ") and line.endswith("; set by the brief") for line in lines)
    conflict = explanation_object(Explanation("impossible", found))["conflict"]
    assert conflict is not None
    rows = conflict["requirements"]
    assert {(row["requirement"], row["asked_for"], row["setter"]) for row in rows} == {
        ("inverter.present", True, "the brief"),
        ("inverter.power", False, "the maker"),
        ("bay.heat[locker]", False, "the brief"),
    }
