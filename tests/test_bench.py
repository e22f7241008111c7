"""The bench measures what it says: each part runs on something tiny, and its files have the columns it promises."""

import csv
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import networkx as nx
import pytest

from optimiser.model.packing import Item, PackResult, Sheet
from tests.bench import growth, questions, roof, table
from tests.bench.__main__ import main
from tests.bench.apart import Died, apart
from tests.bench.rows import columns
from tests.bench.solving import Row
from tests.bench.subjects import FULL_LOAD, GROUPS, HELD, Subject, subjects


def read(file: Path) -> list[dict[str, str]]:
    """The rows of a CSV file."""
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def run(tmp_path: Path, *args: str) -> int:
    """The command, writing there."""
    return main([*args, "--out", str(tmp_path), "--seconds", "300", "--subjects", "handmade", "--want", "cheapest"])


# --- what is solved ------------------------------------------------------------------------------------


def test_sixty_vehicles_and_half_of_them_never_tuned_to() -> None:
    assert [s.name for s in subjects(["unseen"])] == [f"vehicle-{seed}" for seed in range(31, 61)]
    assert len(subjects(HELD)) == 3 + len(FULL_LOAD) + 30 + 30


def test_subjects_by_group_name_and_seed_each_once() -> None:
    found = subjects(["2-3", "tiny-trailer", "3", "shipped"])
    assert [s.name for s in found] == [*GROUPS["shipped"], "vehicle-2", "vehicle-3"]


@pytest.mark.parametrize("text", ["61", "0-2", "4-3", "no-such-case"])
def test_no_such_subject(text: str) -> None:
    with pytest.raises(ValueError, match=text):
        subjects([text])


@pytest.mark.parametrize("name", FULL_LOAD)
def test_the_full_load_asks_more_of_the_clinic_and_eases_nothing(name: str) -> None:
    shipped, _ = Subject("shipped", "travelling-clinic").read()
    full, _ = Subject("full-load", name).read()
    before, after = ({load.name: load for load in case.loads} for case in (shipped, full))
    assert after["air_conditioner_dry"].duty_pct == 65 > before["air_conditioner_dry"].duty_pct
    assert full.brief == shipped.brief and full.scenarios == shipped.scenarios and full.bays == shipped.bays


# --- how it is measured --------------------------------------------------------------------------------


def _dies() -> None:
    raise SystemExit(3)


def _fails() -> None:
    raise ValueError("no")


@pytest.mark.slow
def test_what_a_process_dies_of_is_told() -> None:
    assert apart(_fails, seconds=5) == Died("ValueError: no")
    assert apart(_dies, seconds=5) == Died("the process ended with 3")


def row(subject: str, seconds: float, state: str = "proven", **other: Any) -> Row:
    """A row of the table."""
    return Row("vehicles", subject, "cheapest", 1, state, seconds, **other)


def test_a_summary_takes_medians_of_repeats_the_worst_state_and_the_nearest_rank() -> None:
    rows = [row(f"vehicle-{k}", float(k)) for k in range(1, 20)]  # 1 to 19 s
    rows += [row("vehicle-20", 1.0, first_s=1.5), row("vehicle-20", 30.0, "best found"), row("vehicle-20", 40.0)]

    (found,) = table.summaries(rows)

    assert (found.subjects, found.proven, found.best_found) == (20, 19, 1)
    assert (found.median_s, found.p95_s, found.worst_s) == (10.5, 19.0, 30.0)
    assert found.missed == "median_s p95_s worst_s best_found"


# --- larger cases --------------------------------------------------------------------------------------


def test_a_cut_roof_is_the_same_roof() -> None:
    case, catalogue = Subject("unseen", growth.BASE).read()
    cut, _ = growth.grown(case, catalogue, "zones", 6)
    (whole,) = case.zones
    assert len(cut.zones) == 6
    assert whole.length_mm - 6 < sum(zone.length_mm for zone in cut.zones) <= whole.length_mm
    assert all(one.x_mm + one.length_mm == other.x_mm for one, other in pairwise(cut.zones))


def test_twelve_bays_are_all_joined() -> None:
    case, catalogue = Subject("unseen", growth.BASE).read()
    large, _ = growth.grown(case, catalogue, "bays", 12)
    assert len(large.bays) == 12
    graph = nx.Graph([(way.start, way.end) for way in large.ways])
    assert nx.is_connected(graph) and {bay.name for bay in large.bays} <= set(graph)
    assert all(any(board.bay == bay.name for board in large.boards) for bay in large.bays)


def test_eight_times_the_catalogue_and_no_two_alike() -> None:
    case, catalogue = Subject("unseen", growth.BASE).read()
    _, large = growth.grown(case, catalogue, "catalogue", 8)
    panels = large.of("panels").values()
    assert len(panels) == 8 * len(catalogue.of("panels"))
    assert len({(p.price, p.mass_kg) for p in panels}) == len(panels)
    assert all(fuse.holder in large.of("holders") for fuse in large.of("fuses").values())


# --- published packings --------------------------------------------------------------------------------

PALLET = roof.Instance("pallets", "x", Sheet(length=9, width=9), (Item(name="box", length=3, width=3),), 9, True)


@pytest.mark.parametrize(
    ("value", "bound", "checked", "state"),
    [
        (9, 9, True, "proven"),
        (8, 9, True, "open"),
        (10, 10, True, "better, proven"),
        (10, 11, False, "better"),
        (8, 8, True, "wrong"),
        (8, 8, False, "proven"),  # only printed, never proven: a proof of less is no contradiction
    ],
)
def test_what_a_packing_shows(value: int, bound: int, checked: bool, state: str) -> None:
    result = PackResult(placed=(), value=value, bound=bound)
    assert roof.state(replace(PALLET, checked=checked), result) == state


def test_what_is_not_at_hand_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(roof, "SHARED", tmp_path)
    assert list(roof.instances()) == []
    assert len(roof.missing()) == 2


# --- each part, on something tiny ----------------------------------------------------------------------


@pytest.mark.slow
def test_vehicles(tmp_path: Path) -> None:
    assert run(tmp_path, "vehicles") == 0
    (found,) = read(tmp_path / "vehicles.csv")
    assert list(found) == columns(Row)
    assert (found["subject"], found["state"], found["breaches"]) == ("handmade", "proven", "0")
    assert found["first_s"] and float(found["peak_mb"]) > 50
    (total,) = read(tmp_path / "vehicles-summary.csv")
    assert list(total) == columns(table.Summary)
    assert (total["subjects"], total["proven"]) == ("1", "1")
    assert (tmp_path / "vehicles.svg").read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.slow
def test_explain(tmp_path: Path) -> None:
    assert run(tmp_path, "explain") == 0
    (found,) = read(tmp_path / "explain.csv")
    assert list(found) == columns(questions.Explained)
    assert (found["subject"], found["verdict"], found["open_names"], found["why"]) == ("handmade", "possible", "0", "")
    assert 0 < float(found["first_s"]) < float(found["seconds"])
    assert int(found["exact"]) <= int(found["deciders"]) and int(found["questions"]) > int(found["deciders"])


@pytest.mark.slow
def test_growth(tmp_path: Path) -> None:
    assert run(tmp_path, "growth", "--base", "handmade", "--size", "1") == 0
    found = read(tmp_path / "growth.csv")
    assert [list(row) for row in found] == [columns(growth.Grown)] * 2
    assert [(row["axis"], row["size"], row["state"]) for row in found] == [
        ("zones", "1", "proven"), ("catalogue", "1", "proven"),
    ]  # fmt: skip
    assert int(found[0]["variables"]) > 100 and float(found[0]["peak_mb"]) > 50
    assert (tmp_path / "growth.svg").exists()


def test_roof(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(roof, "instances", lambda: iter([PALLET]))
    assert run(tmp_path, "roof") == 0
    (found,) = read(tmp_path / "roof.csv")
    assert list(found) == columns(roof.Packed)
    assert (found["state"], found["found"], found["published"]) == ("proven", "9", "9")
