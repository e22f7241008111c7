"""Every number of a case and of a catalogue has a lower and an upper end, and what lies beyond is refused."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from optimiser.case import TABLES
from optimiser.catalogue import Catalogue
from optimiser.parts import PARTS
from optimiser.reading import read_case, read_catalogue, shipped_catalogue, write_starter
from optimiser.reading.wording import Schema, single
from optimiser.reference.columns import BRIEF
from tests.reading_help import line_of, problems_of


def numbers(model: type[BaseModel]) -> Iterator[tuple[str, Schema]]:
    """Name and schema of each field that is a number, or several."""
    schema = model.model_json_schema()
    for name, field in schema["properties"].items():
        found = single(field, schema.get("$defs", {}))
        found = found.get("items", found)
        if found.get("type") in ("integer", "number") and "enum" not in found:
            yield name, found


NUMBERS = [
    pytest.param(field, id=f"{model.__name__}.{name}")
    for model in dict.fromkeys([*BRIEF.values(), *TABLES.values(), *PARTS.values()])
    for name, field in numbers(model)
]


@pytest.mark.parametrize("field", NUMBERS)
def test_every_number_has_both_ends(field: Schema) -> None:
    assert "minimum" in field or "exclusiveMinimum" in field
    assert "maximum" in field or "exclusiveMaximum" in field


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("payload_kg = 400", "payload_kg = 1e300", "vehicle.payload_kg"),
        ("base_front_kg = 1450", "base_front_kg = 1e15", "vehicle.base_front_kg"),
        ("rear_max_kg = 2000", "rear_max_kg = 1e15", "vehicle.rear_max_kg"),
        ("balance_max_kg = 120", "balance_max_kg = 1e15", "vehicle.balance_max_kg"),
        ("# budget = 6000", "budget = 1e300", "limits.budget"),
        ("# recharge_h = 12", "recharge_h = 1e300", "limits.recharge_h"),
        ("# mains_charge_a = 20", "mains_charge_a = 5001", "limits.mains_charge_a"),
        ("# solar_w = 300", "solar_w = 30001", "limits.solar_w"),
        ("# bank_ah = 200", "bank_ah = 5001", "limits.bank_ah"),
        ("# inverter_w = 1500", "inverter_w = -1", "limits.inverter_w"),
        ("autonomy_days = 1 ", "autonomy_days = 1e300 ", "limits.autonomy_days"),
        ("labour_per_h = 70", "labour_per_h = 1e9", "labour_per_h"),
        ("rating_a = 180", "rating_a = 1e9", "alternator.rating_a"),
    ],
)
def test_numbers_of_the_brief_beyond_sense_are_refused(
    old: str, new: str, key: str, tmp_path: Path, catalogue: Catalogue
) -> None:
    write_starter(tmp_path / "van")
    path = tmp_path / "van" / "case.toml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")

    (problem,) = problems_of(lambda: read_case(tmp_path / "van", catalogue))

    assert (problem.file, problem.column) == ("case.toml", key)
    assert "is not allowed; expected a number" in problem.message


@pytest.mark.parametrize(
    ("file", "old", "new", "column", "expected"),
    [
        ("panels", "panel-50-rigid,60,", "panel-50-rigid,1e12,", "price", "from 0 to 10000000"),
        ("panels", "-0.29,-0.36,", "-0.29,-36,", "power_pct_k", "from -0.8 to -0.1"),
        ("modules", "50,50,100,50,4,4,7.5", "1e12,50,100,50,4,4,7.5", "capacity_ah", "above 0 and at most 5000"),
        ("modules", "50,50,100,50,4,4,7.5", "50,50,100,50,4,17,7.5", "series_max", "from 1 to 16"),
        ("modules", "50,50,100,50,4,4,7.5", "50,50,100,50,100000000,4,7.5", "parallel_max", "from 1 to 16"),
        ("modules", "200,14,6.5,60,195", "200,14,1e15,60,195", "mass_kg", "from 0 to 500"),
        ("vents", "fan,20,12,1.5", "fan,20,1e300,1.5", "flow_m3_h", "from 0 to 2000"),
        ("regulators", "45,0,12,75,13", "45,0,13,75,13", "system_v", "one of 12, 24, 48"),
        ("inverters", "1200,87,7,10.5", "1200,187,7,10.5", "efficiency_pct", "from 50 to 100"),
    ],
)
def test_numbers_of_the_catalogue_beyond_sense_are_refused(
    file: str, old: str, new: str, column: str, expected: str, tmp_path: Path
) -> None:
    copy = Path(shutil.copytree(shipped_catalogue(), tmp_path / "catalogue"))
    path = copy / f"{file}.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")

    found = problems_of(lambda: read_catalogue(copy))

    assert [(p.file, p.row, p.column) for p in found] == [(str(path), line_of(text, new), column)]
    assert found[0].message.endswith(expected)
