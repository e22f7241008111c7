"""What if: a case as asked beside the same as changed. Figures on the sheets are the audit's."""

import re
from dataclasses import replace
from typing import Any

import pytest

from optimiser.auditing import audit, breaches
from optimiser.auditing.finding import checked
from optimiser.case import Case
from optimiser.cautions import CAUTIONS
from optimiser.fitted import cost_and_mass, measured
from optimiser.pipeline import Answer, Inputs
from optimiser.pipeline.trying import Trial
from optimiser.printing import trial_object
from optimiser.printing.trying import FOR_NOW, GIVES_UP, MOVED_RULES, REFUSED, trial_sheet
from optimiser.solve import Impossible, Solved, Undecided, optimise
from tests.trying_help import UNREACHED, printed, tried


def numbers(pattern: str, text: str) -> tuple[float, ...]:
    found = re.search(pattern, text)
    assert found, f"{pattern} not in\n{text}"
    return tuple(map(float, found.groups()))


def test_the_numbers_on_the_sheet_are_those_of_the_audit(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    trial = tried(inputs, drops=("energy.autonomy", "money.budget"))
    text = printed(capsys, trial_sheet(inputs, trial))

    assert trial.before.build and trial.after.build
    old, new = (
        cost_and_mass(inputs.case, inputs.catalogue, one.build) for one in (trial.before, trial.after) if one.build
    )
    assert new.cents < old.cents  # one module is enough then
    assert numbers(r"As asked: proven: ([\d.]+) cu, ([\d.]+) kg", text) == (old.cents / 100, old.grams / 1000)
    assert numbers(r"Changed:  proven: ([\d.]+) cu, ([\d.]+) kg", text) == (new.cents / 100, new.grams / 1000)
    assert numbers(r"Change: .*: (-[\d.]+) cu, (-[\d.]+) kg", text) == pytest.approx(
        ((new.cents - old.cents) / 100, (new.grams - old.grams) / 1000)
    )
    days, wanted = numbers(r"Given up: energy.autonomy: the bank carries ([\d.]+) days without sun, ([\d.]+)", text)
    carried = measured(inputs.case, inputs.catalogue, trial.after.build)["days_without_sun"]
    assert wanted == inputs.case.limits.autonomy_days
    assert days == pytest.approx(carried, abs=0.0006)  # shown to 0.001
    assert days < wanted
    assert "Drop:     energy.autonomy (brief)" in text
    assert "money.budget is met all the same" in text
    row = next(row for row in trial.rows if row.what == "cost")
    assert (row.before, row.after) == (f"{old.cents / 100:.2f} cu", f"{new.cents / 100:.2f} cu")
    assert re.search(rf"cost +{row.before} +{row.after} +\*\n", text)
    findings = audit(inputs.case, inputs.catalogue, trial.after.build)
    assert breaches(findings) == trial.given_up
    assert f"{len(findings)} changed; all are met but the 1 given up." in text
    assert GIVES_UP in " ".join(text.split())
    assert set(CAUTIONS) <= set(text.splitlines())
    assert (trial.status, trial.code) == ("proven", 0)


def test_a_move_that_changes_nothing_says_so(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    trial = tried(inputs, "limits.budget=+500")
    text = printed(capsys, trial_sheet(inputs, trial))

    assert trial.line == "no change: +0.00 cu, +0.0 kg"
    assert "Set:      limits.budget: 2000 -> 2500" in text
    assert not any(row.differs for row in trial.rows)
    assert "*" not in text
    assert FOR_NOW in " ".join(text.split())


def test_of_two_builds_as_good_it_is_the_one_as_asked(inputs: Inputs, monkeypatch: pytest.MonkeyPatch) -> None:
    def shifted(case: Case, *given: Any, **options: Any) -> Any:
        found = optimise(case, *given, **options)
        assert isinstance(found, Solved)
        if case == inputs.case:
            return found
        first, *others = found.build.fitted
        return replace(found, build=replace(found.build, fitted=(replace(first, x_mm=first.x_mm + 1), *others)))

    monkeypatch.setattr("optimiser.pipeline.trying.optimise", shifted)

    trial = tried(inputs, "limits.budget=+500")

    assert trial.line == "no change: +0.00 cu, +0.0 kg"
    assert trial.before.build and trial.after.build
    assert trial.after.build.fitted == trial.before.build.fitted


def test_moves_follow_each_other_and_what_follows_of_them_is_told(
    inputs: Inputs, capsys: pytest.CaptureFixture[str]
) -> None:
    trial = tried(inputs, "bay.locker.length_mm=+50", "bay.locker.length_mm=+50")

    assert [(move.before, move.after) for move in trial.moves] == [("1000", "1050"), ("1050", "1100")]
    assert "with it board.locker.wall.length_mm: 1050 -> 1100" in printed(capsys, trial_sheet(inputs, trial))


def test_each_build_is_priced_by_its_own_catalogue(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    trial = tried(inputs, "part.module-100.price=+40")
    claims = [one.build.claim.cost_cents for one in (trial.before, trial.after) if one.build]

    assert trial.totals and trial.totals.cents == 2 * 4000  # two modules
    assert claims[1] == claims[0] + 8000  # type: ignore[operator]
    assert trial.line == "no change: +80.00 cu, +0.0 kg"
    assert [row.what for row in trial.rows if row.differs] == ["cost"]
    assert not trial.only_to_compare  # money


def test_a_moved_rule_is_for_comparison_only(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    trial = tried(inputs, "rule.drop_share_inverter=0.03")

    assert trial.only_to_compare
    assert MOVED_RULES in " ".join(printed(capsys, trial_sheet(inputs, trial)).split())


def test_what_makes_it_impossible_is_code_3(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    trial = tried(inputs, "limits.autonomy_days=2")
    text = printed(capsys, trial_sheet(inputs, trial))

    assert (trial.before.status, trial.status, trial.code) == ("proven", "impossible", 3)
    assert re.search(r"As asked: proven: 555\.75 cu.*\nChanged:  impossible: .*proven, .*confirmed", text)
    assert (trial.rows, trial.line) == ((), "")


def test_what_makes_it_possible_shows_the_build(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    short = tried(inputs, "limits.budget=500").moves[0]
    trial = tried(replace(inputs, case=short.case), "limits.budget=+500")
    text = printed(capsys, trial_sheet(inputs, trial))

    assert (trial.before.status, trial.status, trial.code) == ("impossible", "proven", 0)
    assert "As asked: impossible" in text
    assert trial.totals is None
    assert {row.before for row in trial.rows} == {""}
    assert re.search(r"cost +555\.75 cu", text)


def test_a_breach_of_anything_else_is_a_fault(
    inputs: Inputs, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def beside_its_board(*given: Any, **options: Any) -> Any:
        found = optimise(*given, **options)
        assert isinstance(found, Solved)
        first, *others = found.build.fitted
        return replace(found, build=replace(found.build, fitted=(replace(first, x_mm=5000), *others)))

    monkeypatch.setattr("optimiser.pipeline.trying.optimise", beside_its_board)
    trial = tried(inputs, drops=("money.budget",))
    text = printed(capsys, trial_sheet(inputs, trial))

    assert (trial.status, trial.code) == ("breach", 1)
    assert REFUSED in text
    assert "cu" not in text
    assert (trial.rows, trial_object(trial)["changed"]["cost"]) == ((), None)


def test_a_fault_is_not_hidden_by_an_impossible_case(inputs: Inputs) -> None:
    broken = checked("money.budget", limit=1, actual=2)
    refused = Answer("cheapest", Undecided(None, None, None, 0, 1.0, "stopped"), None, (broken,))

    trial = Trial((), (), refused, Answer("cheapest", Impossible(1.0), None, ()))

    assert (trial.status, trial.code) == ("breach", 1)


def test_no_proof_is_code_4(
    inputs: Inputs, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*given: Any, **options: Any) -> Any:
        found = optimise(*given, **options)
        assert isinstance(found, Solved)
        if options["active"]("money.budget"):
            return found
        return Undecided(found.build, found.cost_cents, found.mass_g, 50_000, 1.0, "the time limit came")

    monkeypatch.setattr("optimiser.pipeline.trying.optimise", stopped)
    trial = tried(inputs, drops=("money.budget",))

    assert (trial.status, trial.code) == ("best found", 4)
    text = " ".join(printed(capsys, trial_sheet(inputs, trial)).split())
    # 55.75 of 555.75 are 10.03 %, rounded up
    assert "Changed: best found, gap 10.1 %: 555.75 cu, 15.410 kg; none can be below 500.00 cu" in text


def test_json_says_the_same(inputs: Inputs) -> None:
    trial = tried(inputs, UNREACHED, drops=("bay.reach",))
    found = trial_object(trial)

    (only,) = found["sets"]
    assert dict(only) == {"address": "board.locker.wall.reach", "before": "yes", "after": "no", "also": []}
    assert found["drops"] == ["bay.reach"]
    assert [given["sentence"] for given in found["given_up"]] == [f.sentence for f in trial.given_up]
    assert found["changed"]["cost"] == 555.75
    assert found["difference"] == {"cost": 0.0, "mass": 0.0}
    assert found["only_to_compare"] is True
    assert "build" not in found["changed"]
    assert found["caution"] == " ".join(CAUTIONS)
