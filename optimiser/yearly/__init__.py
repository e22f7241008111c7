"""A year of weather, hour by hour, and what a build runs in it: month by month, and for how long a stay.

Weather comes from a file, or is made of monthly means with the day-to-day spread that goes with them (`monthly`);
which of the two is always told. Of loads the case says nothing beyond its scenarios: each month has those of the
scenario nearest in the calendar.
"""

from optimiser.yearly.figures import MonthOfYear, YearFigures, figures_of
from optimiser.yearly.files import WeatherProblem, read_weather
from optimiser.yearly.monthly import made_of
from optimiser.yearly.running import Habits, YearRun, run
from optimiser.yearly.staying import CERTAINTIES, MOST_NIGHTS, Stay, stays
from optimiser.yearly.weather import Weather

__all__ = [
    "CERTAINTIES", "MOST_NIGHTS", "Habits", "MonthOfYear", "Stay", "Weather", "WeatherProblem", "YearFigures",
    "YearRun", "figures_of", "made_of", "read_weather", "run", "stays",
]  # fmt: skip
