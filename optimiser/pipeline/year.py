"""A year of weather through a build: what was asked, the weather it runs in, and the hours as a table."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from optimiser.files import write_text
from optimiser.fitted import Fit
from optimiser.pipeline.commissioning import Misfit
from optimiser.pipeline.inputs import Unusable
from optimiser.plots import year_svg
from optimiser.yearly import (
    Habits,
    Weather,
    WeatherProblem,
    YearFigures,
    YearRun,
    figures_of,
    made_of,
    read_weather,
    run,
)
from optimiser.yearly.weather import DAY_H, DAYS

YEARS = 10
"""Made of monthly means, where nothing else is asked."""


def lived(
    fit: Fit, *, weather: Path | None, years: int | None, seed: int, habits: Habits
) -> tuple[YearRun, YearFigures]:
    """A build through its weather.

    Raises
    ------
    Misfit
        With each argument that fits neither case nor build.
    Unusable
        If the weather file cannot be used.
    """
    wrong = tuple(_unfit(fit, weather, years, habits))
    if wrong:
        raise Misfit(*wrong)
    ran = run(fit, _weather(fit, weather, years or YEARS, seed), habits)
    return ran, figures_of(fit, ran, habits)


def _unfit(fit: Fit, weather: Path | None, years: int | None, habits: Habits) -> Iterator[tuple[tuple[str, ...], str]]:
    if weather is None and not fit.case.climate:
        yield ("weather",), "the case has no climate.csv; expected that table with its twelve months, or a weather file"
    if weather is not None and years is not None:
        yield ("years",), "the weather file has as many years as it has; expected it left out"
    if habits.driving_h and not (fit.alternator_charger and fit.case.brief.alternator):
        yield ("driving",), "the build has no alternator charger; expected it left out"
    if habits.hook_up_h and not fit.case.brief.inlet:
        yield ("hook_up",), "the case has no inlet; expected it left out"


def _weather(fit: Fit, path: Path | None, years: int, seed: int) -> Weather:
    if path is None:
        return made_of(fit.case, years=years, seed=seed)
    try:
        return read_weather(path, fit.case.brief.place)
    except WeatherProblem as problem:
        raise Unusable(str(problem)) from None


def write_hours(path: Path, ran: YearRun) -> None:
    """Every hour as a row of a CSV file.

    Raises
    ------
    Unusable
        If it cannot be written.
    """
    sources = {name.replace("-", "_"): watts for name, watts in ran.given_w.items()}
    heads = ["year", "day", "hour", "light_w_m2", "air_c", *(f"{name}_w" for name in sources), "loads_w"]
    heads += ["charge_pct", "short_wh", "spilled_wh"]
    hours = np.arange(len(ran.soc_pct))
    numbers = (hours // (DAYS * DAY_H) + 1, hours // DAY_H % DAYS + 1, hours % DAY_H)
    figures = (ran.weather.ghi, ran.weather.air_c, *sources.values(), ran.loads_w, ran.soc_pct)
    rows = zip(*numbers, *figures, ran.short_wh, ran.spilled_wh, strict=True)
    lines = (",".join([*map(str, row[:3]), *(f"{value:.1f}" for value in row[3:])]) for row in rows)
    _write(path, "\n".join([",".join(heads), *lines]) + "\n")


def write_picture(path: Path, fit: Fit, found: YearFigures) -> None:
    """The year as a picture.

    Raises
    ------
    Unusable
        If it cannot be written.
    """
    _write(path, year_svg(fit, found))


def _write(path: Path, text: str) -> None:
    try:
        write_text(path, text)
    except OSError as fault:
        raise Unusable(f"{path}: {fault.strerror or fault}; expected a place to write a file") from None
