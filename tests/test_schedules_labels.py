"""Labels by hand: what stands on each, where it goes, and how many of it."""

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
