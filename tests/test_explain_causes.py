"""Several causes, one after the other: each conflict is what is left with all the others mended, and no less."""

from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Cause, Why, negotiable
from optimiser.explaining.easing import base_of
from optimiser.moves import Move, moved
from optimiser.pipeline import Explanation
from optimiser.printing import explanation_object, explanation_sheet
from optimiser.solve import Impossible, Question, Solved, requirements_of
from tests import handmade
from tests.conflicting import heat_and_inverter, hitch_and_autonomy
from tests.explaining import STOP, inputs_of
from tests.knobs import altered, changed
from tests.test_explain_proofs import why

TWO = altered(handmade.world(), ("vehicle.payload_kg", 1), ("limits.budget", 1))


@cache
def why_two() -> Why:
    return why(TWO.case, TWO.catalogue)


def with_all_but(case: Case, catalogue: Catalogue, found: Why, cause: Cause) -> Case:
    assert found.brief is not None
    for eased in found.brief.eased:
        if eased.move.address != cause.eased.move.address:
            case = moved(case, catalogue, Move(eased.move.address, f"={eased.move.after}")).case
    return case


def possible(case: Case, catalogue: Catalogue, kept: Iterable[str]) -> bool:
    """Whether these requirements can hold together with all that brief and survey have no word in."""
    asked, kept = set(negotiable(case, catalogue, requirements_of(case, catalogue))), set(kept)
    question = Question(case, catalogue, active=lambda name: name not in asked or bool({name, base_of(name)} & kept))
    outcome = question.any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


def held(case: Case, catalogue: Catalogue, found: Why) -> None:
    """Each conflict against plain solves: none of it can be left out, and all of it has no build."""
    for cause in found.causes:
        left, names = with_all_but(case, catalogue, found, cause), {reason.name for reason in cause.reasons}
        assert cause.needed and cause.minimal and not cause.doubtful
        assert not possible(left, catalogue, names)
        for name in names:
            assert possible(left, catalogue, names - {name})


def test_each_of_two_limits_is_a_conflict_of_its_own() -> None:
    found = why_two()

    told = {cause.eased.move.address: [reason.name for reason in cause.reasons] for cause in found.causes}
    assert told == {"vehicle.payload_kg": ["mass.payload"], "limits.budget": ["money.budget"]}
    assert all(cause.least and cause.smallest for cause in found.causes)
    held(TWO.case, TWO.catalogue, found)


@pytest.mark.slow
def test_a_conflict_of_three_is_told_beside_a_budget() -> None:
    built = heat_and_inverter()
    case = changed(replace(TWO, case=built.case, catalogue=built.catalogue), "limits.budget", 1).case

    found = why(case, built.catalogue)

    told = {cause.eased.move.address: {reason.name for reason in cause.reasons} for cause in found.causes}
    assert told == {"load.kettle.watt_w": built.conflict, "limits.budget": {"money.budget"}}
    held(case, built.catalogue, found)


@pytest.mark.slow
def test_one_conflict_is_told_as_one_though_the_nearest_brief_moves_two_values() -> None:
    """Fewer days and a heavier hitch mend it together by fewer steps than either alone."""
    built = hitch_and_autonomy()

    found = why(built.case, built.catalogue)

    assert not found.causes and {reason.name for reason in found.reasons} == built.conflict


def test_page_and_object_tell_each_conflict_with_what_mends_it_and_no_list_of_names() -> None:
    found = why_two()
    first, second = found.causes
    open_ = replace(found, causes=(first, replace(second, minimal=False, smallest=False, doubtful=("energy.floor",))))

    for known, state in ((found, "a smallest conflict, proven"), (open_, "which others was not decided in time")):
        explained = Explanation("impossible", known, seconds=20)
        lines = explanation_sheet(inputs_of(TWO.case, TWO.catalogue), explained)
        text = "\n".join(line for line in lines if isinstance(line, str))

        assert state in text and "energy.floor" not in text
        assert ("--seconds 900" in text) == (known is open_)
        assert text.index("mended by: payload: 1 kg there") < text.index("mended by: budget: 1 cu there")
        shown = explanation_object(explained)
        assert shown["conflict"] is None
        assert [cause["address"] for cause in shown["causes"]] == ["vehicle.payload_kg", "limits.budget"]


def test_where_no_conflict_was_found_in_time_that_is_a_sentence_and_a_command() -> None:
    names = negotiable(TWO.case, TWO.catalogue, requirements_of(TWO.case, TWO.catalogue))
    explained = Explanation("impossible", Why(len(names), doubtful=names), seconds=250)

    lines = explanation_sheet(inputs_of(TWO.case, TWO.catalogue), explained)

    text = "\n".join(line for line in lines if isinstance(line, str))
    assert "which of them conflict was not found in time" in text and "--seconds 900" in text
    assert not any(name in text for name in names)
