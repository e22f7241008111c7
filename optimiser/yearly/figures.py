"""What a year run comes to, month by month: days without want, hours short, what is missing and what is spilled."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from pydantic import Field

from optimiser.basis import volts, year
from optimiser.fitted.fit import Fit
from optimiser.yearly.running import Habits, YearRun, flows_of
from optimiser.yearly.staying import Stay, stays
from optimiser.yearly.weather import DAY_H, Floats, Weather


@dataclass(frozen=True)
class MonthOfYear:
    """A month, on average over the years; hours of driving or hook-up are what would make up for what is missing."""

    month: Annotated[int, Field(description="1 to 12")]
    scenario: Annotated[str, Field(description="whose loads it has")]
    days: Annotated[float, Field(description="of the month")]
    good_days_pct: Annotated[float, Field(description="days on which nothing is short")]
    short_h: Annotated[float, Field(description="hours in which something is, in the month")]
    longest_bad_days: Annotated[int, Field(description="days in a row on which something is, of all years")]
    lowest_pct: Annotated[float, Field(description="charge of the bank, of all years")]
    given_wh: Annotated[float, Field(description="a day by the sun, as offered")]
    drawn_wh: Annotated[float, Field(description="a day, own draw included")]
    short_wh: Annotated[float, Field(description="a day, wanted and not given")]
    spilled_wh: Annotated[float, Field(description="a day, offered and not taken")]
    worst_short_wh: Annotated[float, Field(description="the most that is short on one day, of all years")]
    driving_h: Annotated[float | None, Field(description="a day that would make up for it; null without a charger")]
    hook_up_h: Annotated[float | None, Field(description="likewise on hook-up")]
    stay: Annotated[Stay, Field(description="how long a stay lasts that begins in it")]


@dataclass(frozen=True)
class YearFigures:
    """A year run as people ask about it; ``hourly_pct``: mean charge by month and hour of the day."""

    weather: Weather
    habits: Habits
    months: tuple[MonthOfYear, ...]
    good_days_pct: float
    short_h: float  # a year
    spilled_kwh: float  # a year
    longest_bad_days: int
    hourly_pct: Floats


def figures_of(fit: Fit, ran: YearRun, habits: Habits) -> YearFigures:
    """Month by month, with how long a stay lasts there."""
    weather = ran.weather
    lasting = stays(flows_of(fit, weather, habits), weather)
    names = {day.month: day.name for _, day in year.months(fit.case)}
    months = tuple(_month(fit, ran, names[m], stay) for m, stay in zip(range(1, 13), lasting, strict=True))
    by_hour = ran.soc_pct.reshape(-1, DAY_H)
    hourly = np.array([by_hour[weather.month_of_day == m].mean(axis=0) for m in range(1, 13)])
    return YearFigures(
        weather=weather,
        habits=habits,
        months=months,
        good_days_pct=100 * float(ran.good_days.mean()),
        short_h=float((ran.short_wh > 0).sum()) / weather.years,
        spilled_kwh=float(ran.spilled_wh.sum()) / 1000 / weather.years,
        longest_bad_days=_in_a_row(~ran.good_days),
        hourly_pct=hourly,
    )


def _month(fit: Fit, ran: YearRun, scenario: str, stay: Stay) -> MonthOfYear:
    weather, month = ran.weather, stay.month
    here = weather.month_of_day == month
    hours = np.repeat(here, DAY_H)

    def a_day(wh: Floats) -> float:
        return float(wh[hours].sum()) / int(here.sum())

    short_by_day = ran.short_wh.reshape(-1, DAY_H).sum(axis=1)[here]
    missing = a_day(ran.short_wh)
    bus_v = volts.nominal_v(fit.system_v)
    engine_w = fit.charger_a("alternator_charger") * bus_v if fit.alternator_charger else 0.0
    mains_w = fit.hook_up_a * bus_v
    through_bank = volts.CHARGE_EFFICIENCY * volts.DISCHARGE_EFFICIENCY  # what is missing is missed at other hours
    return MonthOfYear(
        month=month,
        scenario=scenario,
        days=int(here.sum()) / weather.years,
        good_days_pct=100 * float(ran.good_days[here].mean()),
        short_h=float((ran.short_wh[hours] > 0).sum()) / weather.years,
        longest_bad_days=_in_a_row(~ran.good_days & here),
        lowest_pct=float(ran.soc_pct[hours].min()),
        given_wh=a_day(ran.given_w["sun"]),
        drawn_wh=a_day(ran.loads_w),
        short_wh=missing,
        spilled_wh=a_day(ran.spilled_wh),
        worst_short_wh=float(short_by_day.max()),
        driving_h=missing / (engine_w * through_bank) if engine_w else None,
        hook_up_h=missing / (mains_w * through_bank) if mains_w else None,
        stay=stay,
    )


def _in_a_row(flags: np.ndarray) -> int:
    longest = now = 0
    for flag in flags.tolist():
        now = now + 1 if flag else 0
        longest = max(longest, now)
    return longest
