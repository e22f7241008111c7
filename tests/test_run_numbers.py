"""Numbers of runs: one for each, whatever the order of the file, and the same wherever a run is named."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest

from optimiser.fitted import fit_of
from optimiser.fitted.numbers import in_order, numbered, run_numbers
from optimiser.fitted.wiring import routed_runs
from optimiser.schedules import Schedule
from optimiser.schedules.links import RUN
from tests.packed_help import packed
from tests.packing_help import SOLVED, shipped

_NUMBER = re.compile(r"\b(R[1-9][0-9]*)(?:[+-][0-9]*)? ")


def test_runs_are_numbered_by_what_they_are_and_ten_comes_after_nine() -> None:
    """An array's run behind that of its regulator; one at the alternator charger behind those of all regulators."""
    wanted = [
        "main", "inverter", "regulator_9", "solar_b", "solar_d10", "regulator_10", "solar_a", "solar_d2", "solar_c",
        "alternator", "dc_loads", "switch", "pass_dish",
    ]  # fmt: skip
    at = {
        "b": "regulator_9",
        "d10": "regulator_9",
        "a": "regulator_10",
        "d2": "regulator_10",
        "c": "alternator_charger",
    }

    for seed in range(5):
        assert in_order(Random(seed).sample(wanted, len(wanted)), at) == wanted


@pytest.mark.parametrize("name", SOLVED)
def test_no_order_of_the_file_changes_a_number(name: str) -> None:
    fit = shipped(name)
    runs = list(fit.build.runs)
    for seed in range(5):
        Random(seed).shuffle(runs)
        other = fit_of(fit.case, fit.catalogue, replace(fit.build, runs=tuple(runs)))
        assert dict(run_numbers(other)) == dict(run_numbers(fit))


def test_a_run_that_is_not_there_has_no_number() -> None:
    assert numbered(shipped("tiny-trailer"), "alternator") == "alternator"


# --- the same everywhere -----------------------------------------------------------------------------------


def _lists(name: str) -> dict[str, Schedule]:
    return {schedule.key: schedule for schedule in packed(name).schedules}


def _texts(name: str) -> Iterator[tuple[str, str]]:
    """Whatever a pack says, and where."""
    made = packed(name)
    for sheet in made.sheets:
        yield sheet.key, " ".join(text.text for text in sheet.texts())  # a note's rows follow each other
    for check in made.checks:
        yield "test sheet", f"{check.what} {check.how}"
    for schedule in made.schedules:
        yield from ((schedule.key, str(cell)) for row in schedule.rows for cell in row)


@pytest.mark.parametrize("name", SOLVED)
def test_wherever_a_number_stands_with_a_name_they_belong_together(name: str) -> None:
    """In diagram, bays, vehicle, labels and test sheet; in bays a name may have spaces for its underscores.

    Beside cables and cable openings of a bay a number stands alone, and below with its name.
    """
    numbers = run_numbers(shipped(name))
    names = {number: run for run, number in numbers.items()}
    seen, alone = dict[str, set[str]](), dict[str, set[str]]()
    for where, text in _texts(name):
        for match in _NUMBER.finditer(text):
            run, told = names[match[1]], text[match.end() :]
            together = told.startswith((run, run.replace("_", " ")))
            assert together or where.startswith(("bay-", "opened-", "isometric-")), (where, told[:40])
            (seen if together else alone).setdefault(where, set()).add(match[1])
    assert alone and all(bare <= seen[where] for where, bare in alone.items())
    everything = set(names)
    dc = {number for run, number in numbers.items() if routed_runs(shipped(name))[run].cable.paired}
    assert seen["single-line"] | seen["single-line-mains"] == seen["labels"] == everything
    assert seen["vehicle-plan"] == seen["vehicle-side"] == everything
    assert seen["test sheet"] <= dc and len(seen["test sheet"]) > 3
    assert any(key.startswith("bay-") for key in seen)


@pytest.mark.parametrize("name", SOLVED)
def test_lists_have_the_number_beside_the_name(name: str) -> None:
    numbers = dict(run_numbers(shipped(name)))
    found = _lists(name)

    assert dict(zip(found["cables"].column("run"), found["cables"].column("no."), strict=True)) == numbers
    marks = list(zip(found["pieces"].column("run"), found["pieces"].column("piece"), strict=True))
    assert {str(run): re.split("[+-]", str(mark))[0] for run, mark in marks if run != RUN} == numbers
    of_links = [mark for run, mark in marks if run == RUN]  # of no run: marks of their own
    assert of_links == [f"B{number}" for number in range(1, 1 + len(of_links))]
    protected = zip(found["protection"].column("protects run"), found["protection"].column("run no."), strict=True)
    assert {run: number for run, number in protected if run}.items() <= numbers.items()


@pytest.mark.parametrize("name", SOLVED)
def test_both_ends_of_every_pole_carry_the_number_on_their_labels(name: str) -> None:
    fit = shipped(name)
    labels = _lists(name)["labels"]
    texts = [
        str(text) for what, text in zip(labels.column("what"), labels.column("text"), strict=True) if what == "cable"
    ]

    for run, number in run_numbers(fit).items():
        marks = Counter(text.partition(":")[0] for text in texts if f" {run}:" in text)
        poles = ("+", "-") if routed_runs(fit)[run].cable.paired else ("",)
        assert all(any(mark.startswith(f"{number}{pole}") for mark in marks) for pole in poles), run
        assert set(marks.values()) == {2}, run
