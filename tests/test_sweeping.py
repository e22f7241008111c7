"""One value swept: the curve of cost and mass, and what changes along it. Figures on the sheet are the audit's."""

import re
import threading
from collections.abc import Callable
from concurrent.futures import wait as really_wait
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from optimiser.auditing import audit, breaches
from optimiser.cautions import CAUTIONS
from optimiser.fitted import cost_and_mass
from optimiser.moves import moved, set_to
from optimiser.pipeline import Inputs
from optimiser.pipeline.sweeping import Sweep, Swept, sweep
from optimiser.printing import sweep_object
from optimiser.printing.trying import REFUSED, sweep_sheet, swept_line
from optimiser.solve import Solved, Undecided, optimise
from tests.trying_help import STOP, printed, refused

DAYS = "autonomy_days=0.5:1:0.25"
TEACHES = {
    "autonomy_days=1:-1:-1": "limits.autonomy_days==-1: '-1' is not allowed; expected a number from 0 to 30",
    "autonomy_dais=1:2:1": "autonomy_dais: no such value; expected autonomy_days",
    "regulators_at_most=1:2:0.5": "limits.regulators_at_most==1.5: '1.5' is not a whole number; "
    "expected a whole number from 1 to 4",
    "autonomy_days=1:2": "autonomy_days=1:2: '1:2' is not a sweep; "
    "expected from:to:step in plain numbers, as autonomy_days=1:3:0.25",
}


def swept(
    inputs: Inputs, text: str, *, begin: Callable[[str], None] = lambda _: None, told: list[Swept] | None = None
) -> Sweep:
    tell = (told if told is not None else []).append
    return sweep(inputs, text, want="cheapest", stop=STOP, watch=lambda _: None, begin=begin, tell=tell)


def solves(monkeypatch: pytest.MonkeyPatch, end: Callable[[Solved], Any] = lambda found: found) -> list[Any]:
    """Every case solved from now on; each solve ends as given."""
    cases: list[Any] = []

    def optimised(case: Any, *given: Any, **options: Any) -> Any:
        cases.append(case)
        found = optimise(case, *given, **options)
        return end(found) if isinstance(found, Solved) else found

    monkeypatch.setattr("optimiser.pipeline.trying.optimise", optimised)
    return cases


def test_the_curve_is_the_audits_and_never_falls_as_days_rise(
    inputs: Inputs, capsys: pytest.CaptureFixture[str]
) -> None:
    told: list[Swept] = []
    found = swept(inputs, DAYS, told=told)
    text = printed(capsys, sweep_sheet(inputs, found))

    assert (found.address, found.unit, found.before, found.state, found.code) == (
        "limits.autonomy_days", "days", "1", "whole", 0,
    )  # fmt: skip
    assert tuple(told) == found.rows
    worths = []
    for value, row in zip(("0.5", "0.75", "1"), found.rows, strict=True):
        case = moved(inputs.case, inputs.catalogue, set_to("autonomy_days", Decimal(value))).case
        assert row.answer.build is not None
        assert breaches(audit(case, inputs.catalogue, row.answer.build)) == ()
        total = cost_and_mass(case, inputs.catalogue, row.answer.build)
        worths.append(total)
        shown = re.search(rf"^ +{re.escape(value)} +proven +([\d.]+) cu +([\d.]+) kg", text, re.MULTILINE)
        assert shown, value
        assert tuple(map(float, shown.groups())) == (total.cents / 100, total.grams / 1000)
        assert swept_line(inputs, row) == f"proven, {shown[1]} cu, {shown[2]} kg"
    assert all(old.cents <= new.cents for old, new in pairwise(worths))
    assert worths[0].cents < worths[2].cents  # so that the curve has something to show
    one_line = " ".join(text.split())
    change = re.search(
        r"What changes: 0\.5 to 0\.75 days: two module-100 modules for one;.*?: (\S+) cu, (\S+) kg", one_line
    )
    assert change
    assert float(change[1]) == (worths[1].cents - worths[0].cents) / 100
    assert float(change[2]) == (worths[1].grams - worths[0].grams) / 1000
    assert one_line.count(" days: ") == 1  # from 0.75 to 1 nothing does
    assert re.search(r"^ +1 .* as in the case$", text, re.MULTILINE)
    assert set(CAUTIONS) <= set(text.splitlines())


def test_an_impossible_value_is_settled_like_any_other(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    found = swept(inputs, "autonomy_days=2:1:-0.5")

    assert [row.answer.status for row in found.rows] == ["impossible", "impossible", "proven"]
    assert (found.state, found.code) == ("whole", 0)
    text = printed(capsys, sweep_sheet(inputs, found))
    assert "Status: whole sweep of 3 values: 2 impossible, 1 proven" in text
    assert re.search(r"^ +1\.5 +impossible$", text, re.MULTILINE)


@pytest.mark.parametrize(("text", "wanted"), TEACHES.items())
def test_a_value_out_of_range_teaches_before_anything_is_solved(
    inputs: Inputs, monkeypatch: pytest.MonkeyPatch, text: str, wanted: str
) -> None:
    monkeypatch.delattr("optimiser.pipeline.trying.optimise")
    assert refused(lambda: swept(inputs, text)) == (wanted,)


def test_the_same_case_is_not_solved_twice(inputs: Inputs, monkeypatch: pytest.MonkeyPatch) -> None:
    solved = solves(monkeypatch)

    found = swept(inputs, "inverters.transfer_a=10:20:10")  # the one inverter passes nothing on, whatever it could

    assert len(solved) == 1
    assert found.rows[0].answer is found.rows[1].answer
    assert found.unit == "A"
    assert len(swept(inputs, "limits.budget=1000:1500:500").rows) == len(solved) - 1  # two more cases


def test_ctrl_c_keeps_the_values_so_far(
    inputs: Inputs, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    pressed, heard = threading.Event(), threading.Event()

    def wait(tasks: Any, timeout: float) -> None:
        if pressed.is_set() and not heard.is_set():
            heard.set()
            raise KeyboardInterrupt
        really_wait(tasks, timeout=0.01)

    def begin(label: str) -> None:
        if label == "0.75 days":
            pressed.set()
            assert heard.wait(5)
            threading.Event().wait(0.3)  # until the main thread has passed it on

    monkeypatch.setattr("optimiser.pipeline.interrupt.wait", wait)
    found = swept(inputs, DAYS, begin=begin)

    assert [row.value for row in found.rows] == [Decimal("0.5")]
    assert (found.state, found.code) == ("part", 4)
    assert "Status: part of the sweep, 1 of 3 values: 1 proven" in printed(capsys, sweep_sheet(inputs, found))


def test_what_is_not_proven_is_code_4(inputs: Inputs, monkeypatch: pytest.MonkeyPatch) -> None:
    solves(monkeypatch, lambda f: Undecided(f.build, f.cost_cents, f.mass_g, 50_000, 1.0, "the time limit came"))

    found = swept(inputs, "autonomy_days=1:1:1")

    assert (found.state, found.code, found.rows[0].answer.status) == ("whole", 4, "best found")


def test_a_build_the_audit_refuses_ends_it_and_is_not_shown(
    inputs: Inputs, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def beside_its_board(found: Solved) -> Solved:
        first, *others = found.build.fitted
        return replace(found, build=replace(found.build, fitted=(replace(first, x_mm=5000), *others)))

    solved = solves(monkeypatch, beside_its_board)
    found = swept(inputs, DAYS)
    text = printed(capsys, sweep_sheet(inputs, found))

    assert (found.state, found.code, len(solved)) == ("breach", 1, 1)
    assert REFUSED in text
    assert " cu" not in text
    assert sweep_object(found)["rows"][0]["cost"] is None


def test_json_says_the_same(inputs: Inputs) -> None:
    found = swept(inputs, DAYS)
    content = sweep_object(found)

    assert content["status"] == "whole"
    assert (content["address"], content["unit"], content["before"]) == ("limits.autonomy_days", "days", "1")
    assert [row["value"] for row in content["rows"]] == [0.5, 0.75, 1.0]
    assert [row["cost"] for row in content["rows"]] == [row.answer.best / 100 for row in found.rows if row.answer.best]
    assert [row["changes"] for row in content["rows"]] == [False, True, False]
    assert [row["as_asked"] for row in content["rows"]] == [False, False, True]
    assert content["rows"][1]["line"] == found.rows[1].line
    # a module more, 17.00 and 0.5 kg, and two links of 190 + 420 mm: 13 steps of 0.25 and 10 g, 4 ends of 1.00
    assert content["rows"][1]["difference"] == {"cost": 24.25, "mass": 0.63}
    assert "build" not in content["rows"][0]
    assert content["caution"] == " ".join(CAUTIONS)
