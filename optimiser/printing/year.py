"""A year of weather through a build, as a sheet and as an object."""

from collections.abc import Iterable, Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import Finding, breaches
from optimiser.fitted import Fit
from optimiser.plots.style import MONTHS
from optimiser.printing.as_json import CAUTION, findings_of
from optimiser.printing.objects_year import YearObject
from optimiser.printing.wording import caution_lines, table
from optimiser.units import at_least, at_most
from optimiser.yearly import CERTAINTIES, MOST_NIGHTS, MonthOfYear, YearFigures


def year_sheet(fit: Fit, found: YearFigures) -> list[RenderableType]:
    """Month by month, and how long stays last."""
    brief, habits = fit.case.brief, found.habits
    return [
        f"{brief.title} ({fit.case.name}): {'a year' if found.weather.years == 1 else f'{found.weather.years} years'}",
        f"Weather: {found.weather.told}",
        f"Beside the sun: {', '.join(_habits(found)) or 'nothing'}",
        f"Days on which nothing is short: {at_most(found.good_days_pct)} %; hours short: {at_least(found.short_h)} a "
        f"year; longest in a row: {found.longest_bad_days} days; offered to a full bank: "
        f"{at_most(found.spilled_kwh)} kWh a year",
        _months(found),
        _stays(found),
        *(() if habits.capacity_pct is None else (f"The bank is taken at {habits.capacity_pct:g} % of its nominal.",)),
        "short: what the loads want and the bank, at its floor, does not give. driving, hook-up: hours a day that "
        "would make up for it, on average; a dull spell takes more. Each month has the loads of the scenario nearest "
        "in the calendar, every day of it. Roofs lie in the open; a tilted zone faces as the survey says.",
        "",
        *caution_lines(fit.case.rules),
    ]


def _habits(found: YearFigures) -> Iterator[str]:
    if found.habits.driving_h:
        yield f"{found.habits.driving_h} h of driving a day"
    if found.habits.hook_up_h:
        yield f"{found.habits.hook_up_h} h on hook-up a day"


def _months(found: YearFigures) -> Table:
    made = table(
        "Month by month", "month", "loads as in", ">good days %", ">hours short", ">in a row", ">sun Wh/d",
        ">drawn Wh/d", ">short Wh/d", ">to a full bank Wh/d", ">driving h/d", ">hook-up h/d",
    )  # fmt: skip
    for m in found.months:
        made.add_row(
            MONTHS[m.month - 1],
            m.scenario,
            str(at_most(m.good_days_pct)),
            str(at_least(m.short_h)),
            str(m.longest_bad_days),
            str(at_most(m.given_wh)),
            str(at_least(m.drawn_wh)),
            str(at_least(m.short_wh)),
            str(at_most(m.spilled_wh)),
            _more(m.driving_h),
            _more(m.hook_up_h),
        )
    return made


def _more(hours: float | None) -> str:
    return "" if hours is None else f"{at_least(hours, 10) / 10:g}"


def _stays(found: YearFigures) -> Table:
    made = table(
        "Nights that a stay lasts, from a full bank in the evening, without driving or hook-up beyond that",
        "of 100 stays",
        *(f">{MONTHS[m.month - 1][:3]}" for m in found.months),
    )
    for sure in CERTAINTIES:
        made.add_row(f"{sure} last", *(_nights(m, sure) for m in found.months))
    return made


def _nights(month: MonthOfYear, sure: int) -> str:
    nights = month.stay.nights[sure]
    return f"{nights}+" if nights >= MOST_NIGHTS else str(nights)


def year_object(found: YearFigures | None, findings: Iterable[Finding] = ()) -> YearObject:
    """The same for programs; None: the build was refused."""
    return {
        "status": "run" if found else "breach",
        "weather": found.weather.told if found else None,
        "measured": not found.weather.made if found else None,
        "years": found.weather.years if found else None,
        "good_days_pct": found.good_days_pct if found else None,
        "short_h": found.short_h if found else None,
        "spilled_kwh": found.spilled_kwh if found else None,
        "longest_bad_days": found.longest_bad_days if found else None,
        "months": found.months if found else (),
        "breaches": findings_of(breaches(findings)),
        "caution": CAUTION,
    }
