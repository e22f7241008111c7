"""Weather from a file: EPW, TMY3 or an hourly CSV of PVGIS, each read by pvlib."""

import warnings
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pandas as pd
from pvlib import iotools  # type: ignore[import-untyped]

from optimiser.basis.sun import YEAR
from optimiser.case import Place
from optimiser.yearly.weather import HOURS, Floats, Weather

_HALF_HOUR = pd.Timedelta(minutes=30)
_HORIZONTAL = ("poa_direct", "poa_sky_diffuse", "poa_ground_diffuse")
_FAR_KM = 100.0
_EARTH_KM = 6371.0


class WeatherProblem(Exception):
    """A weather file that cannot be used: what is wrong with it, and what was expected."""


class _Read(NamedTuple):
    kind: str
    hours: pd.DataFrame  # by the middle of each hour, with a time zone: ghi, temp_air
    latitude: float
    longitude: float


def read_weather(path: Path, place: Place) -> Weather:
    """Whole years of a file, moved to the clock of the case.

    Raises
    ------
    WeatherProblem
        If it is none of the three, or its hours have gaps.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            read = _read(path)
    except WeatherProblem:
        raise
    except OSError as fault:
        raise WeatherProblem(f"{path}: {fault.strerror or fault}; expected a weather file") from None
    except Exception as fault:  # whatever a reader stumbles over in what is not as it should be
        raise WeatherProblem(f"{path}: not read ({type(fault).__name__}: {fault}); expected {_KINDS}") from None
    return Weather(*_hours(path, read, place), told=f"{read.kind} file {path.name}{_far(read, place)}", made=False)


_KINDS = "a file as EPW, TMY3 or PVGIS (hourly, level plane, with its components) has it"


def _read(path: Path) -> _Read:
    text = path.read_text(encoding="utf-8", errors="replace")
    first, _, rest = text.partition("\n")
    if first.startswith("LOCATION,"):
        data, known = iotools.read_epw(path, coerce_year=YEAR)
        return _Read("EPW", _at(data, data.index + _HALF_HOUR), known["latitude"], known["longitude"])
    if rest.partition("\n")[0].startswith("Date (MM/DD/YYYY)"):
        data, known = iotools.read_tmy3(path, coerce_year=YEAR, map_variables=True)
        return _Read("TMY3", _at(data, data.index - _HALF_HOUR), known["latitude"], known["longitude"])
    if first.startswith("Latitude (decimal degrees)"):
        return _pvgis(path)
    raise WeatherProblem(f"{path}: begins with {first[:40]!r}; expected {_KINDS}")


def _pvgis(path: Path) -> _Read:
    data, known, *_ = iotools.read_pvgis_hourly(path, map_variables=True)
    where: dict[str, Any] = dict(known.get("inputs", known))
    missing = [column for column in _HORIZONTAL if column not in data]
    if missing:
        raise WeatherProblem(f"{path}: no {', '.join(missing)}; expected an hourly file with its components")
    slope = str(where.get("Slope", where.get("slope", "0"))).split()[0]
    if float(slope.rstrip("deg.") or 0) != 0:
        raise WeatherProblem(f"{path}: for a plane of {slope} degrees; expected one of 0, level ground")
    hours = pd.DataFrame({"ghi": data[list(_HORIZONTAL)].sum(axis=1), "temp_air": data["temp_air"]})
    middle = pd.DatetimeIndex(hours.index).floor("h") + _HALF_HOUR  # each is an instant within its hour
    return _Read("PVGIS", _at(hours, middle), float(where["latitude"]), float(where["longitude"]))


def _at(data: pd.DataFrame, middle: pd.DatetimeIndex) -> pd.DataFrame:
    return pd.DataFrame({"ghi": data["ghi"].to_numpy(), "temp_air": data["temp_air"].to_numpy()}, index=middle)


def _hours(path: Path, read: _Read, place: Place) -> tuple[Floats, Floats]:
    """Light and air from midnight on; the first hours of a file in another time zone come to its end."""
    at = pd.DatetimeIndex(read.hours.index)
    data = read.hours[~((at.month == 2) & (at.day == 29))]
    if len(data) == 0 or len(data) % HOURS:
        raise WeatherProblem(f"{path}: {len(data)} hours beside leap days; expected whole years of {HOURS}")
    if data.isna().to_numpy().any():
        raise WeatherProblem(f"{path}: hours without light or air temperature; expected each of them")
    local = pd.DatetimeIndex(data.index).tz_convert("UTC") + pd.Timedelta(hours=place.utc_offset_h)
    first = local[0]
    ahead = round((first - pd.Timestamp(year=first.year, month=1, day=1, tz="UTC")) / pd.Timedelta(hours=1) - 0.5)
    ahead = ahead - HOURS if ahead > HOURS / 2 else ahead
    light, air = (np.roll(data[column].to_numpy(dtype=np.float64), ahead) for column in ("ghi", "temp_air"))
    return np.maximum(light, 0.0), air


def _far(read: _Read, place: Place) -> str:
    """How far off it was measured, where that is far."""
    lat, lon, here, there = map(np.radians, (read.latitude, read.longitude, place.latitude, place.longitude))
    share = np.sin((here - lat) / 2) ** 2 + np.cos(lat) * np.cos(here) * np.sin((there - lon) / 2) ** 2
    km = 2 * _EARTH_KM * float(np.arcsin(np.sqrt(share)))
    return f", of a place {km:.0f} km from that of the case" if km > _FAR_KM else ""
