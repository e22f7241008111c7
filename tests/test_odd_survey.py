"""Nonsense a survey could hold: refused where it cannot be, called odd where it may."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from optimiser.case import Case, Existing, Inlet, Scenario, Trailer
from optimiser.catalogue import Catalogue
from optimiser.checking.odd_values import odd_survey
from optimiser.reading import read_case, shipped_cases
from tests.reading_help import change, problems_of


@pytest.fixture
def van(folder: Path, catalogue: Catalogue) -> Case:
    """The starter case."""
    return read_case(folder, catalogue)


@pytest.fixture
def trailer(catalogue: Catalogue) -> Case:
    """A towed one."""
    return read_case(shipped_cases() / "tiny-trailer", catalogue)


@pytest.mark.parametrize(
    ("file", "old", "inside", "outside", "column", "says"),
    [
        ("case.toml", "front_axle_x_mm = 4500", "front_axle_x_mm = 1101", "front_axle_x_mm = 1100",
         "vehicle.front_axle_x_mm", "1100 is not ahead of rear_axle_x_mm; expected above 1100"),
        ("loads.csv", "kettle,mains,galley,800,0,", "kettle,mains,galley,800,800,", "kettle,mains,galley,800,799,",
         "surge_w", "799 is below watt_w; expected 0, or at least watt_w"),
        ("loads.csv", "fan,dc,,15,25,60,12,20", "fan,dc,,15,25,60,12,13", "fan,dc,,15,25,60,12,12", "to_h",
         "12 is when it begins too; expected another hour: all day is 0 to 24"),
        ("scenarios.csv", "no,10,12,18,24", "no,10,11,18,24", "no,10,10,18,24", "drive_to_h",
         "10 is when it begins too; expected another hour: all day is 0 to 24"),
        ("ways.csv", "garage,1200,32", "garage,1200,5", "garage,1200,4", "bore_mm", "from 5 to 1000"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(
    file: str, old: str, inside: str, outside: str, column: str, says: str, folder: Path, catalogue: Catalogue
) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    if "axle" in old:
        old = next(line for line in text.split("\n") if line.startswith("front_axle_x_mm"))
        rear = next(line for line in text.split("\n") if line.startswith("rear_axle_x_mm")).split("=")[1].split("#")[0]
        inside, outside = f"front_axle_x_mm = {int(rear) + 1}", f"front_axle_x_mm = {int(rear)}"
        says = f"{int(rear)} is not ahead of rear_axle_x_mm; expected above {int(rear)}"
    change(path, old, inside)
    assert read_case(folder, catalogue)
    change(path, inside, outside)

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.file, problem.column) == (file, column)
    assert says in problem.message


def test_a_coupling_at_the_axle_is_refused(tmp_path: Path, catalogue: Catalogue) -> None:
    folder = tmp_path / "trailer"
    folder.mkdir()
    for path in (shipped_cases() / "tiny-trailer").iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    change(folder / "case.toml", "coupling_x_mm = 4150", "coupling_x_mm = 1701")
    assert read_case(folder, catalogue)
    change(folder / "case.toml", "coupling_x_mm = 1701", "coupling_x_mm = 1700")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert str(problem).endswith("vehicle.coupling_x_mm: 1700 is not ahead of axle_x_mm; expected above 1700")


def with_table(case: Case, table: str, **changes: Any) -> Case:
    """The case with a table of its brief changed."""
    new = getattr(case.brief, table).model_copy(update=changes)
    return replace(case, brief=case.brief.model_copy(update={table: new}))


def start(case: Case, **changes: Any) -> Case:
    """The case with its first scenario changed."""
    first: Scenario = case.scenarios[0].model_copy(update=changes)
    return replace(case, scenarios=(first, *case.scenarios[1:]))


def keeping(case: Case, part: str) -> Case:
    """The case with a part that stays."""
    size = {"length_mm": 9, "width_mm": 9, "depth_mm": 9}
    existing = Existing.model_validate(
        {"name": "old", "kind": "part", "part": part, "board": "a.b", "x_mm": 0, "y_mm": 0, **size}
    )
    return replace(case, existing=(existing,))


def fed_by(case: Case, **sources: Inlet | tuple[int, ...] | None) -> Case:
    """The case with another source or voltage, or without it."""
    return replace(case, brief=case.brief.model_copy(update=sources))


VAN: dict[str, tuple[Callable[[Case], Case], Callable[[Case], Case], str, str]] = {
    "payload": (
        lambda c: with_table(c, "vehicle", payload_kg=1500),
        lambda c: with_table(c, "vehicle", payload_kg=1501),
        "vehicle", "payload of 1501 kg",
    ),
    "rear axle": (
        lambda c: with_table(c, "vehicle", base_rear_kg=2000),
        lambda c: with_table(c, "vehicle", base_rear_kg=2001),
        "rear axle", "carries 2001 kg before the fit-out, 2000 kg allowed",
    ),
    "clock": (  # 45 degrees are 3 h
        lambda c: with_table(c, "place", longitude=c.brief.place.utc_offset_h * 15 + 45),
        lambda c: with_table(c, "place", longitude=c.brief.place.utc_offset_h * 15 + 46),
        "place", "has its noon at UTC",
    ),
    "small feed": (  # 20 A at 14.4 V out, 89 % of it, from 12.3 V: 26.3 A of the half of it
        lambda c: with_table(c, "alternator", rating_a=53),
        lambda c: with_table(c, "alternator", rating_a=52),
        "alternator", "the smallest charger draws 26.3 A of it, 26.0 A allowed",
    ),
    "feed of 24 V": (
        lambda c: with_table(c, "alternator", system_v=12),
        lambda c: with_table(c, "alternator", system_v=24),
        "alternator", "no charger of the catalogue takes 24 V and charges a bank of 12 V",
    ),
    "large inlet": (
        lambda c: fed_by(c, inlet=Inlet(rating_a=31, point="inlet")),
        lambda c: fed_by(c, inlet=Inlet(rating_a=32, point="inlet")),
        "inlet", "rated 32 A, and the thickest mains cable of the catalogue is rated 31 A",
    ),
    "existing for another voltage": (
        lambda c: keeping(c, "mains-charger-12-15"), lambda c: keeping(c, "mains-charger-24-15"),
        "existing old", "mains-charger-24-15 is for 24 V, and the bank may have 12 V",
    ),
    "existing regulator": (
        lambda c: keeping(c, "regulator-75-10"), lambda c: keeping(c, "regulator-150-25-48v"),
        "existing old", "regulator-150-25-48v is for 48 V, and the bank may have 12 V",
    ),
    "existing charger without an inlet": (
        lambda c: keeping(c, "mains-charger-12-15"), lambda c: fed_by(keeping(c, "mains-charger-12-15"), inlet=None),
        "existing old", "mains-charger-12-15 is fed on hook-up, and the brief has no inlet",
    ),
    "existing charger without an alternator": (
        lambda c: keeping(c, "alternator-charger-12-20"),
        lambda c: fed_by(keeping(c, "alternator-charger-12-20"), alternator=None),
        "existing old", "alternator-charger-12-20 is fed from an alternator, and the brief has none",
    ),
    "mains charging": (  # 60 A and 110 A of an inverter-charger, at 46 C 0.85 of it
        lambda c: with_table(c, "limits", mains_charge_a=144.5),
        lambda c: with_table(c, "limits", mains_charge_a=145),
        "limits", "mains_charge_a asks for 145 A, and the largest mains charger and inverter-charger together, "
        "derated, give 144.5 A",
    ),
    "solar": (  # 3400 x 1300 mm, 435 W on 1722 x 1134 mm: 984.6 W
        lambda c: with_table(c, "limits", solar_w=985),
        lambda c: with_table(c, "limits", solar_w=986),
        "limits", "solar_w asks for 986 W, and zones full of the densest panels would have at most 985 W",
    ),
    "bank": (  # 4 x 280 Ah
        lambda c: with_table(c, "limits", bank_ah=1120),
        lambda c: with_table(c, "limits", bank_ah=1121),
        "limits", "bank_ah asks for 1121 Ah, and the largest bank, counted at 12 V, has 1120 Ah",
    ),
    "bank of 24 V": (  # 4 x 280 Ah of two in series
        lambda c: fed_by(with_table(c, "limits", bank_ah=2240), system_voltages=(24,)),
        lambda c: fed_by(with_table(c, "limits", bank_ah=2241), system_voltages=(24,)),
        "limits", "bank_ah asks for 2241 Ah, and the largest bank, counted at 12 V, has 2240 Ah",
    ),
    "inverter": (
        lambda c: with_table(c, "limits", inverter_w=3000),
        lambda c: with_table(c, "limits", inverter_w=3001),
        "limits", "inverter_w asks for 3001 W, and the largest inverter of the catalogue has 3000 W",
    ),
    "start and return": (
        lambda c: start(c, start_pct=80, start_h=18, returns=True),
        lambda c: start(c, start_pct=80, start_h=6, returns=True),
        "scenario summer_weekend",
        "begins at 80 % at 06:00 and must end there: only the top 20 % can be filled; "
        "a lower scenario.summer_weekend.start_pct leaves the day more to fill",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", VAN)
def test_what_may_be_a_slip_is_called_odd(name: str, van: Case, catalogue: Catalogue) -> None:
    inside, outside, place, says = VAN[name]

    assert list(odd_survey(inside(van), catalogue)) == []
    ((where, text),) = odd_survey(outside(van), catalogue)
    assert where == place
    assert says in text


def test_a_hitch_overloaded_before_the_fit_out_is_odd(trailer: Case, catalogue: Catalogue) -> None:
    assert isinstance(trailer.brief.vehicle, Trailer)
    most = trailer.brief.vehicle.hitch_max_kg

    assert list(odd_survey(with_table(trailer, "vehicle", base_hitch_kg=most), catalogue)) == []
    ((where, text),) = odd_survey(with_table(trailer, "vehicle", base_hitch_kg=most + 1), catalogue)
    assert (where, text) == ("hitch", f"carries {most + 1:g} kg before the fit-out, {most:g} kg allowed")
