"""The year on the road: which scenario stands for which month, and what it gives and takes."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from pvlib.location import Location  # type: ignore[import-untyped]

from optimiser.basis import sun, year
from optimiser.case import Case, Load
from optimiser.parts import Panel
from tests import handmade

DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]


def case_of(*months: int, **other: object) -> Case:
    """The handmade case with a scenario in each of these months, named by it; more hook-up than anyone wants."""
    case = handmade.case()
    days = [
        case.scenarios[0].model_copy(update={"name": str(month), "month": month, "start_h": 17, "hours": 9, **other})
        for month in months
    ]
    return replace(case, scenarios=tuple(days))


def cold_panel() -> Panel:
    """Gives its rating whatever its cells' temperature."""
    panel = handmade.catalogue().find("panel-100")
    assert isinstance(panel, Panel)
    return panel.model_copy(update={"power_pct_k": 0.0})


def nearest(case: Case) -> list[int]:
    return [int(day.name) for _, day in year.months(case)]


def test_each_month_is_its_nearest_scenario() -> None:
    assert nearest(case_of(3, 7)) == [
        3,
        3,
        3,
        3,
        3,
        7,
        7,
        7,
        7,
        7,
        3,
        3,
    ]  # May and November: as near to both, so the first


def test_december_lies_beside_january() -> None:
    assert nearest(case_of(1, 6)) == [1, 1, 1, 6, 6, 6, 6, 6, 6, 1, 1, 1]
    assert nearest(case_of(6, 12)) == [12, 12, 6, 6, 6, 6, 6, 6, 6, 12, 12, 12]
    assert nearest(case_of(11, 2)) == [2, 2, 2, 2, 2, 2, 11, 11, 11, 11, 11, 11]


def test_one_scenario_stands_for_the_whole_year() -> None:
    found = list(year.months(case_of(5)))

    assert [days for days, _ in found] == DAYS
    assert [(day.month, day.day, day.start_h, day.hours) for _, day in found] == [(m, 15, 0, 24) for m in range(1, 13)]
    assert {day.clearness for _, day in found} == {0.7}


def test_hours_of_the_year() -> None:
    assert year.hours_of_year() == 8760 == 24 * sum(DAYS)


# --- what is drawn -----------------------------------------------------------------------------------


def test_loads_of_a_year() -> None:
    dc, sockets = year.loads_wh(case_of(1))

    assert dc == pytest.approx(365 * (60 * 0.4 * 24 + 30 * 5))  # the fridge and the lamps
    assert sockets == pytest.approx(365 * 600)  # the kettle; the heater runs on hook-up only


def test_loads_of_a_scenario_count_in_its_months() -> None:
    case = case_of(1, 7)  # January stands for 181 days less those of May and June, July for the rest
    winter = Load(name="blanket", supply="dc", watt_w=100, from_h=20, to_h=22, scenarios=("1",))
    with_it = replace(case, loads=(*case.loads, winter))
    days = sum(n for n, name in zip(DAYS, nearest(case), strict=True) if name == 1)

    assert days == 31 + 28 + 31 + 30 + 31 + 30 + 31  # April and October lie between: the first; so January to April
    assert year.loads_wh(with_it)[0] - year.loads_wh(case)[0] == pytest.approx(200 * days)


def test_loads_month_by_month() -> None:
    found = year.loads_month_wh(case_of(1))

    assert [dc for dc, _ in found] == pytest.approx([days * (60 * 0.4 * 24 + 30 * 5) for days in DAYS])
    assert [sockets for _, sockets in found] == pytest.approx([days * 600 for days in DAYS])


# --- what the sun gives ------------------------------------------------------------------------------


def clear_kwh_m2(case: Case) -> float:
    """A year of cloudless days from pvlib's own Haurwitz model, every five minutes of each month's middle."""
    place = case.brief.place
    there = Location(place.latitude, place.longitude)
    total = 0.0
    for month, days in enumerate(DAYS, start=1):
        start = pd.Timestamp(year=2026, month=month, day=15) - pd.Timedelta(hours=place.utc_offset_h)
        times = pd.date_range(start, periods=288, freq="5min", tz="UTC")
        total += days * float(there.get_clearsky(times, model="haurwitz")["ghi"].sum()) / 12
    return total / 1000


@pytest.mark.parametrize("latitude", [-33.9, 0.0, 54.0])
def test_a_flat_panel_under_a_clear_sky(latitude: float) -> None:
    case = case_of(1, 7, clearness=1)
    place = case.brief.place.model_copy(update={"latitude": latitude})
    case = replace(case, brief=case.brief.model_copy(update={"place": place}))
    panel = cold_panel()

    found = year.panel_wh(case, case.zones[0], panel)

    full_sun_hours = found / panel.watt_w / sun.FIELD_SHARE
    assert full_sun_hours == pytest.approx(clear_kwh_m2(case), rel=0.002)  # an hour at a time against five minutes


def test_cloud_takes_its_share_month_by_month() -> None:
    panel, case = cold_panel(), case_of(1, 7, clearness=1)
    grey = replace(case, scenarios=(case.scenarios[0], case.scenarios[1].model_copy(update={"clearness": 0.4})))
    zone, clear = case.zones[0], {}
    for days, day in year.months(case):
        clear[day.month] = days * float(sun.panel_hour_w(case, day, zone, panel).sum())
    dull = sum(wh for month, wh in clear.items() if nearest(case)[month - 1] == 7)

    assert year.panel_wh(case, zone, panel) == pytest.approx(sum(clear.values()))
    assert year.panel_wh(grey, zone, panel) == pytest.approx(sum(clear.values()) - 0.6 * dull)


def test_without_light_nothing_is_given() -> None:
    case = case_of(1, clearness=0)

    assert year.panel_wh(case, case.zones[0], cold_panel()) == 0


def test_a_portable_panel_gives_only_while_it_is_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sun, "panel_hour_w", lambda *_: np.arange(24.0))
    panel, out = cold_panel(), {"portable_from_h": 9, "portable_to_h": 12}

    assert year.panel_wh(case_of(1, **out), None, panel) == 365 * (9 + 10 + 11)
    assert year.panel_wh(case_of(1), None, panel) == 0
    assert year.panel_wh(case_of(1), handmade.case().zones[0], panel) == 365 * sum(range(24))
    only_in_july = case_of(1, 7)
    one, other = only_in_july.scenarios
    only_in_july = replace(only_in_july, scenarios=(one, other.model_copy(update=out)))
    days = sum(n for n, name in zip(DAYS, nearest(only_in_july), strict=True) if name == 7)
    assert year.panel_wh(only_in_july, None, panel) == days * 30


def test_a_panel_month_by_month(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sun, "panel_hour_w", lambda _, day, *__: np.full(24, float(day.month)))
    case = case_of(1)

    assert year.panel_month_wh(case, case.zones[0], cold_panel()) == tuple(24 * m * d for m, d in enumerate(DAYS, 1))
    assert year.panel_month_wh(case, None, cold_panel()) == (0,) * 12  # never out


def test_a_portable_panel_lies_flat() -> None:
    case = case_of(1, portable_from_h=0, portable_to_h=24)

    assert year.panel_wh(case, None, cold_panel()) == pytest.approx(year.panel_wh(case, case.zones[0], cold_panel()))
