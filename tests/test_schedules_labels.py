"""Labels by hand: what stands on each, where it goes, and how many of it."""

from __future__ import annotations

import pytest

from optimiser.schedules.labels import labels
from optimiser.schedules.table import Cell
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import SOLVED, shipped
from tests.schedules_help import fit_made, rows_of


def _rows(what: str, of: str = "", made: World | None = None) -> list[dict[str, Cell]]:
    return [r for r in rows_of(labels(fit_made(made or world()))) if r["what"] == what and of in ("", r["of"])]


def _texts(what: str, of: str = "", made: World | None = None) -> list[Cell]:
    return [row["text"] for row in _rows(what, of, made)]


def test_labels_of_panels_count_along_their_string() -> None:
    assert _texts("panel") == ["P1: a.1, panel 1 of 2: panel-100", "P2: a.1, panel 2 of 2: panel-100"]


def test_labels_of_panels_go_under_them() -> None:
    assert [row["where"] for row in _rows("panel")] == [
        "under the panel, roof, x 600, y 200",
        "under the panel, roof, x 1630, y 200",
    ]


def test_the_label_at_an_end_names_the_other_one() -> None:
    """Two cores, from the bank in the box to the busbar in the locker."""
    there = [(row["where"], row["text"]) for row in _rows("run end", "main")]

    assert there == [
        ("bank, box", "main +: to busbar, locker (50 mm2)"),
        ("bank, box", "main -: to busbar, locker (50 mm2)"),
        ("busbar, locker", "main +: to bank, box (50 mm2)"),
        ("busbar, locker", "main -: to bank, box (50 mm2)"),
    ]


def test_a_mains_cable_has_one_label_an_end_with_its_voltage() -> None:
    assert _texts("run end", "mains_inlet") == [
        "mains_inlet: to mains_box, locker (2.5 mm2, mains 230 V)",
        "mains_inlet: to inlet, inlet_point (2.5 mm2, mains 230 V)",
    ]


def test_labels_of_fuses_have_the_rating_and_the_holder() -> None:
    (main,), (loads,) = _rows("fuse", "main"), _rows("fuse", "dc_loads")

    assert main["text"] == "main: 200 A bolt-in. Replace by the same only."
    assert main["where"] == "on the bank's terminal, box.floor; holder-main"
    assert loads["where"] == "fuse_row, 5 of 5: locker.wall, x 50, y 350; holder-row"
    assert loads["text"] == "dc_loads: 10 A bolt-in. Replace by the same only."


def test_labels_of_parts_say_what_they_are() -> None:
    assert _texts("part", "fuse_row") == ["fuses"]
    assert _texts("part", "measuring_row") == ["shunts"]
    assert _texts("part", "isolator") == ["battery isolator: off here. The panels and chargers stay live."]
    assert _texts("part", "regulator_1") == ["regulator_1: regulator-20, panels of a"]
    assert _texts("part", "inverter") == ["inverter: inverter-1500"]
    assert _texts("part", "bank") == ["battery: lithium iron phosphate, 12 V, 200 Ah, 2 x module-100"]


def test_both_openings_of_a_vent_get_a_label() -> None:
    assert [row["copies"] for row in _rows("vent")] == [2]
    three = changed(world(), "vents.locker.count", 3)
    assert [row["copies"] for row in _rows("vent", made=three)] == [6]


def test_entries_are_labelled_with_the_runs_in_them() -> None:
    assert [(row["where"], row["text"]) for row in _rows("entry")] == [
        ("roof plane sun, inside", "solar_a"),
        ("nose.side, inside", "pass_aerial"),
    ]


def test_a_warning_at_the_bank_has_the_voltage_of_a_full_one() -> None:
    """Four cells of lithium iron phosphate at 3.65 V, from memory; twice as many for 24 V."""
    (at_12,), (at_24,) = (_texts("warning", "bank", changed(world(), "build.system_v", v)) for v in (12, 24))

    assert str(at_12).startswith("battery up to 14.6 V") and str(at_24).startswith("battery up to 29.2 V")


def test_warnings_hang_where_the_danger_is() -> None:
    where = {row["of"]: row["where"] for row in _rows("warning")}

    assert where == {
        "bank": "box.floor",
        "alternator_charger": "locker.wall",
        "a": "locker.wall",
        "mains_box": "locker.wall",
        "inverter": "locker.wall",
        "inlet": "at inlet_point",
    }
    aside = changed(world(), "fitted.regulator_1.board", "nose.side")
    assert [row["where"] for row in _rows("warning", "a", aside)] == ["nose.side"]


@pytest.mark.parametrize("name", SOLVED)
def test_a_charger_that_the_engine_feeds_warns_of_its_second_source(name: str) -> None:
    fit = shipped(name)
    warned = [row for row in rows_of(labels(fit)) if row["what"] == "warning" and row["of"] == "alternator_charger"]
    told = [row for row in warned if "engine" in str(row["text"])]
    assert len(told) == (1 if fit.alternator_charger else 0)
