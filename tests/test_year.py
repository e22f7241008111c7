"""A year of weather: held against measured years, and against the same run step by step."""

import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pvlib  # type: ignore[import-untyped]
import pytest

import optimiser
from optimiser import library
from optimiser.basis import volts
from optimiser.builds import from_json
from optimiser.case import Climate, Place
from optimiser.catalogue import Catalogue
from optimiser.fitted import Fit, fit_of
from optimiser.physics import solar
from optimiser.physics.energy import battery_step_wh
from optimiser.reading import read_case, shipped_cases
from optimiser.yearly import Habits, Weather, WeatherProblem, figures_of, made_of, read_weather, run, stays
from optimiser.yearly.monthly import ALIKE, PRECISION, SPREAD_K, WARM_ALIKE
from optimiser.yearly.running import Flows, flows_of
from optimiser.yearly.staying import CERTAINTIES, MOST_NIGHTS, nights
from optimiser.yearly.weather import DAY_H, DAYS, HOURS, middles, month_of_day
from tests.reading_help import problems_of

DATA = Path(os.path.dirname(pvlib.__file__)) / "data"
GREENSBORO = Place(latitude=36.1, longitude=-79.95, utc_offset_h=-5, altitude_m=270, record_low_c=-20, record_high_c=40)
SAND_POINT = Place(
    latitude=55.317, longitude=-160.517, utc_offset_h=-9, altitude_m=7, record_low_c=-30, record_high_c=30
)
MEASURED = {"723170TYA.CSV": GREENSBORO, "703165TY.csv": SAND_POINT}
BUILDS = Path(__file__).parent / "builds"


@pytest.fixture(params=["tiny-trailer", "travelling-clinic"])
def fit(request: pytest.FixtureRequest) -> Fit:
    case = optimiser.read(request.param)
    build = from_json((BUILDS / f"{request.param}-cheapest.json").read_text(encoding="utf-8"))
    return fit_of(case.case, case.catalogue, build)


# --- weather ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "sum_kwh"), [("723170TYA.CSV", 1566.2), ("703165TY.csv", 829.24)])
def test_the_typical_years_that_come_with_pvlib(name: str, sum_kwh: float) -> None:
    """NREL's TMY3 of Greensboro and Sand Point, as pvlib carries them: light on level ground over the year."""
    weather = read_weather(DATA / name, MEASURED[name])

    assert weather.ghi.sum() / 1000 == pytest.approx(sum_kwh, rel=1e-4)
    assert weather.years == 1 and not weather.made
    by_hour = weather.ghi.reshape(-1, DAY_H).mean(axis=0)
    assert int(by_hour.argmax()) in (11, 12, 13)  # on the clock of the case


def test_a_file_is_moved_to_the_clock_of_the_case() -> None:
    """The same sky, three hours further on the clock."""
    here = read_weather(DATA / "723170TYA.CSV", GREENSBORO)
    there = read_weather(DATA / "723170TYA.CSV", GREENSBORO.model_copy(update={"utc_offset_h": -2}))

    assert np.array_equal(np.roll(here.ghi, 3), there.ghi)
    assert "km from" not in here.told
    far = GREENSBORO.model_copy(update={"latitude": 45.0})
    assert "of a place 99" in read_weather(DATA / "723170TYA.CSV", far).told  # 8.9 degrees of 111 km


def _of_days(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Month, share of a clear sky's light (none where there is hardly any) and mean air of each day of a year."""
    place, weather = MEASURED[name], read_weather(DATA / name, MEASURED[name])
    clear = solar.clear_sky(
        latitude=place.latitude, longitude=place.longitude, times=middles(place), altitude_m=place.altitude_m
    )
    light, most = (each.reshape(-1, DAY_H).sum(axis=1) for each in (weather.ghi, clear))
    return month_of_day(), light / most, weather.air_c.reshape(-1, DAY_H).mean(axis=1)


def test_days_differ_as_they_do_in_measured_years() -> None:
    """The figures in `monthly` are medians over the months of both years."""
    precision, alike, spread, warm = [], [], [], []
    for name in MEASURED:
        months, share, air = _of_days(name)
        for month in range(1, 13):
            here, warmth = share[months == month], air[months == month]
            mean = here.mean()
            precision.append(mean * (1 - mean) / here.var() - 1)
            alike.append(np.corrcoef(here[:-1], here[1:])[0, 1])
            spread.append(warmth.std())
            warm.append(np.corrcoef(warmth[:-1], warmth[1:])[0, 1])

    assert np.median(precision) == pytest.approx(PRECISION, rel=0.1)
    assert np.median(alike) == pytest.approx(ALIKE, abs=0.05)
    assert np.median(spread) == pytest.approx(SPREAD_K, rel=0.1)
    assert np.median(warm) == pytest.approx(WARM_ALIKE, abs=0.05)


@pytest.mark.parametrize("name", MEASURED)
def test_made_weather_is_like_the_measured_year_it_has_the_means_of(fit: Fit, name: str) -> None:
    """Its light over the year, and how often a day is dull."""
    months, share, air = _of_days(name)
    rows = tuple(
        Climate(
            month=m, clearness=min(1.0, float(share[months == m].mean())),
            temp_min_c=float(air[months == m].mean()) - 4, temp_max_c=float(air[months == m].mean()) + 4,
        )
        for m in range(1, 13)
    )  # fmt: skip
    brief = fit.case.brief.model_copy(update={"place": MEASURED[name]})
    made = made_of(replace(fit.case, brief=brief, climate=rows), years=30, seed=3)
    measured = read_weather(DATA / name, MEASURED[name])

    assert made.ghi.sum() / 30 == pytest.approx(measured.ghi.sum(), rel=0.04)
    assert made.air_c.mean() == pytest.approx(measured.air_c.mean(), abs=0.5)
    clear = made.ghi.reshape(30, -1).max(axis=0).reshape(-1, DAY_H).sum(axis=1)
    dull = (made.ghi.reshape(-1, DAY_H).sum(axis=1) / np.tile(clear, 30) < 0.3).mean()
    assert dull == pytest.approx((share < 0.3).mean(), abs=0.06)


def test_made_weather_hangs_on_the_seed_alone(fit: Fit) -> None:
    one, again, other = (made_of(fit.case, years=2, seed=seed) for seed in (1, 1, 2))

    assert np.array_equal(one.ghi, again.ghi) and np.array_equal(one.air_c, again.air_c)
    assert not np.array_equal(one.ghi, other.ghi)
    assert one.years == 2 and one.made and "seed 1" in one.told


EPW_HEAD = "\n".join([
    "LOCATION,Made,-,-,made,0,44.0,3.0,1.0,400.0", "DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0", "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,none", "COMMENTS 2,none",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
])  # fmt: skip


def _epw(path: Path, hours: int = HOURS) -> Path:
    """Light of 100 W/m2 in the hour that ends at thirteen, air as warm as the month's number."""
    months = np.repeat(month_of_day(), DAY_H)
    first = np.searchsorted(month_of_day(), np.arange(1, 13))
    rest = "0,0,0,0,0,0,0,1,5,5,20,7000,9,0,0,0,0,0,0,0,0"
    rows = []
    for k in range(hours):
        day, hour = 1 + k // DAY_H - first[months[k] - 1], k % DAY_H
        light = 100 * (hour == 12)
        rows.append(f"2026,{months[k]},{day},{hour + 1},0,?,{months[k]},0,50,101325,0,0,300,{light},{rest}")
    path.write_text(EPW_HEAD + "\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_an_epw_file(tmp_path: Path, fit: Fit) -> None:
    place = fit.case.brief.place.model_copy(update={"utc_offset_h": 1})
    weather = read_weather(_epw(tmp_path / "made.epw"), place)

    assert weather.ghi.sum() == 100 * DAYS
    assert set(np.flatnonzero(weather.ghi) % DAY_H) == {12}
    assert weather.air_c[0] == 1 and weather.air_c[-1] == 12
    assert weather.told.startswith("EPW file made.epw")


def _pvgis(path: Path, slope: str = "0 deg.", columns: str = "Gb(i),Gd(i),Gr(i)") -> Path:
    head = (
        "Latitude (decimal degrees):\t44.000\nLongitude (decimal degrees):\t3.000\nElevation (m):\t400\n"
        f"Radiation database:\tmade\n\n\nSlope: {slope}\nAzimuth: 0 deg.\n\ntime,{columns},H_sun,T2m,WS10m,Int\n"
    )
    times = [
        f"{year}{t:%m%d}:{t:%H}10"
        for year in (2021, 2022)
        for t in middles(GREENSBORO.model_copy(update={"utc_offset_h": 0}))
    ]
    path.write_text(
        head + "\n".join(f"{t},10.0,20.0,0.0,30.0,15.0,1.0,0.0" for t in times) + "\n\nmade\n", encoding="utf-8"
    )
    return path


def test_an_hourly_file_of_pvgis(tmp_path: Path, fit: Fit) -> None:
    weather = read_weather(_pvgis(tmp_path / "made.csv"), fit.case.brief.place)

    assert weather.years == 2 and weather.told.startswith("PVGIS file made.csv")
    assert set(weather.ghi) == {30.0} and set(weather.air_c) == {15.0}


def test_files_that_will_not_do_say_why(tmp_path: Path) -> None:
    (tmp_path / "other.csv").write_text("month,rain\n1,30\n", encoding="utf-8")
    (tmp_path / "cut.epw").write_text(_epw(tmp_path / "x.epw", 100).read_text(encoding="utf-8"), encoding="utf-8")
    for name, said in (
        ("none.epw", "No such file"),
        ("other.csv", "begins with 'month,rain'; expected a file as EPW, TMY3 or PVGIS"),
        ("cut.epw", "100 hours beside leap days; expected whole years of 8760"),
    ):
        with pytest.raises(WeatherProblem, match=said):
            read_weather(tmp_path / name, GREENSBORO)


# --- the run ---------------------------------------------------------------------------------------------


def by_steps(flows: Flows) -> tuple[list[float], list[float], list[float]]:
    """The naive twin: what lies above the floor as a bank of its own, moved hour by hour."""
    stored, kept, short, spilled = flows.capacity_wh, list[float](), list[float](), list[float]()
    for net, takes, floor in zip(flows.net_w, flows.takes_w, flows.floor_wh, strict=True):
        base = min(stored, float(floor))
        step = battery_step_wh(
            stored_wh=stored - base, net_w=float(net), hours=1.0, capacity_wh=flows.capacity_wh - base,
            charge_efficiency=volts.CHARGE_EFFICIENCY, discharge_efficiency=volts.DISCHARGE_EFFICIENCY,
            charge_max_w=float(takes), discharge_max_w=float("inf"),
        )  # fmt: skip
        stored = base + step.stored_wh
        kept.append(stored)
        short.append(step.short_wh)
        spilled.append(step.curtailed_wh)
    return kept, short, spilled


def test_the_run_is_that_of_a_bank_step_by_step(fit: Fit) -> None:
    weather = made_of(fit.case, years=1, seed=5)
    flows, ran = flows_of(fit, weather, Habits()), run(fit, weather)
    kept, short, spilled = by_steps(flows)

    assert np.allclose(ran.soc_pct * flows.capacity_wh / 100, kept)
    assert np.allclose(ran.short_wh, short, atol=1e-6) and np.allclose(ran.spilled_wh, spilled, atol=1e-6)
    assert (ran.short_wh > 0).any() and (ran.spilled_wh > 0).any()


def test_energy_is_neither_made_nor_lost(fit: Fit) -> None:
    weather = made_of(fit.case, years=1, seed=5)
    flows, ran = flows_of(fit, weather, Habits()), run(fit, weather)
    net = flows.net_w + ran.short_wh - ran.spilled_wh  # what went into the bank, or came out of it

    stored = np.where(net > 0, net * volts.CHARGE_EFFICIENCY, net / volts.DISCHARGE_EFFICIENCY).sum()
    assert stored == pytest.approx((ran.soc_pct[-1] / 100 - 1) * flows.capacity_wh, abs=1.0)


def test_stays_are_those_tried_one_by_one(fit: Fit) -> None:
    weather = made_of(fit.case, years=1, seed=5)
    flows = flows_of(fit, weather, Habits())
    lasted = nights(flows)

    for day in range(0, DAYS, 37):
        turned = [
            np.roll(each, -(day * DAY_H + 18))[: MOST_NIGHTS * DAY_H]
            for each in (flows.net_w, flows.takes_w, flows.floor_wh)
        ]
        net, takes, floor = turned
        cut = Flows({"sun": np.maximum(net, 0)}, np.maximum(-net, 0), takes, floor, flows.capacity_wh)
        short = np.flatnonzero(np.array(by_steps(cut)[1]) > 1e-9)
        assert lasted[day] == (short[0] // DAY_H if len(short) else MOST_NIGHTS)
    for stay in stays(flows, weather):
        ours = lasted[weather.month_of_day == stay.month]
        for sure in CERTAINTIES:
            assert (ours >= stay.nights[sure]).mean() >= sure / 100
            assert (ours >= stay.nights[sure] + 1).mean() < sure / 100 + 1 / len(ours) or stay.nights[
                sure
            ] == MOST_NIGHTS


def test_what_is_done_beside_the_sun_helps() -> None:
    case = optimiser.read("grey-month-van")
    build = from_json((BUILDS / "grey-month-van-cheapest.json").read_text(encoding="utf-8"))
    van = fit_of(case.case, case.catalogue, build)
    weather = made_of(van.case, years=1, seed=1)

    def short_h(habits: Habits) -> float:
        return figures_of(van, run(van, weather, habits), habits).short_h

    alone = short_h(Habits())
    assert short_h(Habits(driving_h=2)) < alone and short_h(Habits(hook_up_h=3)) < alone
    assert short_h(Habits(capacity_pct=60)) > alone


def test_figures_of_months_add_up_to_those_of_the_run(fit: Fit) -> None:
    weather = made_of(fit.case, years=2, seed=1)
    ran = run(fit, weather)
    found = figures_of(fit, ran, Habits())

    assert sum(m.days for m in found.months) == DAYS
    assert sum(m.short_h for m in found.months) == pytest.approx(found.short_h)
    assert sum(m.spilled_wh * m.days for m in found.months) / 1000 == pytest.approx(found.spilled_kwh)
    days = sum(m.good_days_pct * m.days for m in found.months) / DAYS
    assert days == pytest.approx(found.good_days_pct)
    assert max(m.longest_bad_days for m in found.months) <= found.longest_bad_days


def test_hours_of_driving_make_up_for_what_is_missing() -> None:
    """A bank that is never full, and a charger of known size: on average what is short is then covered."""
    case = optimiser.read("grey-month-van")
    build = from_json((BUILDS / "grey-month-van-cheapest.json").read_text(encoding="utf-8"))
    van = fit_of(case.case, case.catalogue, build)
    weather = Weather(np.zeros(HOURS), np.full(HOURS, 15.0), "dark", made=False)
    dark = figures_of(van, run(van, weather), Habits())

    january = dark.months[1]
    assert january.driving_h is not None and january.given_wh == 0
    charged = january.driving_h * van.charger_a("alternator_charger") * volts.nominal_v(12) * volts.CHARGE_EFFICIENCY
    charged *= volts.DISCHARGE_EFFICIENCY  # it goes through the bank
    assert charged == pytest.approx(january.short_wh)


# --- asked and shown ---------------------------------------------------------------------------------------


def test_a_case_without_monthly_means_needs_a_file(folder: Path, catalogue: Catalogue) -> None:
    case = optimiser.read("tiny-trailer")
    bare = replace(case, case=replace(case.case, climate=()))
    with pytest.raises(library.Misfit, match=r"the case has no climate\.csv"):
        optimiser.year(bare, BUILDS / "tiny-trailer-cheapest.json")
    found = optimiser.year(bare, BUILDS / "tiny-trailer-cheapest.json", weather=DATA / "723170TYA.CSV")
    assert found.found and not found.found.weather.made


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"weather": DATA / "723170TYA.CSV", "years": 3}, "years: the weather file has as many years as it has"),
        ({"hook_up": 3}, "hook_up: the case has no inlet"),
    ],
)
def test_what_does_not_fit_is_refused(asked: dict[str, Any], said: str) -> None:
    with pytest.raises(library.Misfit, match=said):
        optimiser.year(optimiser.read("tiny-trailer"), BUILDS / "tiny-trailer-cheapest.json", **asked)


def test_hours_and_picture_are_written(tmp_path: Path) -> None:
    found = optimiser.year(
        optimiser.read("tiny-trailer"), BUILDS / "tiny-trailer-cheapest.json", years=1,
        hours=tmp_path / "hours.csv", picture=tmp_path / "year.svg",
    )  # fmt: skip

    assert [path.name for path in found.written] == ["hours.csv", "year.svg"]
    lines = (tmp_path / "hours.csv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == HOURS + 1 and lines[0].startswith("year,day,hour,light_w_m2,air_c,sun_w,loads_w,charge_pct")
    picture = (tmp_path / "year.svg").read_text(encoding="utf-8")
    assert picture.startswith("<svg") and "Jan" in picture


@pytest.mark.parametrize("folder_of", sorted(shipped_cases().iterdir()), ids=lambda path: path.name)
def test_shipped_cases_have_monthly_means(folder_of: Path, catalogue: Catalogue) -> None:
    assert [row.month for row in read_case(folder_of, catalogue).climate] == list(range(1, 13))


def test_months_that_are_missing_or_double_are_told(folder: Path, catalogue: Catalogue) -> None:
    rows = [f"{month},0.6,5,15" for month in (*range(1, 12), 3)]
    (folder / "climate.csv").write_text("\n".join(["month,clearness,temp_min_c,temp_max_c", *rows]), encoding="utf-8")

    said = {(p.row, p.message) for p in problems_of(lambda: read_case(folder, catalogue)) if p.file == "climate.csv"}

    assert said == {
        (13, "3 stands in row 4 too; expected each month once"),
        (0, "no month 12; expected all twelve, or no such file"),
    }
