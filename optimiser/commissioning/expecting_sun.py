"""What the strings should show: light on each zone, volts and amperes."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import hypot, log
from typing import Annotated

import pandas as pd
from pydantic import Field

from optimiser.basis import sun, year
from optimiser.builds import PanelArray
from optimiser.case import Scenario, Zone
from optimiser.commissioning import spread
from optimiser.commissioning.spread import Sky, Spread, band
from optimiser.fitted.fit import Fit
from optimiser.parts import Panel

_FLAT = (0.0, 0.0)  # tilt and azimuth of a panel laid flat
_DUSK_W_M2 = 50.0  # below it a regulator may not start (common practice, no source)


@dataclass(frozen=True)
class Expected:
    """One reading: what it should be, and between what it is no wonder."""

    id: Annotated[str, Field(description="its channel in a log")]
    what: Annotated[str, Field(description="is measured")]
    value: Annotated[float, Field(description="what it should be")]
    low: Annotated[float, Field(description="of its band")]
    high: Annotated[float, Field(description="likewise")]
    unit: Annotated[str, Field(description="of the reading")]
    spreads: Annotated[tuple[Spread, ...], Field(description="what its band is made of")]
    note: Annotated[str, Field(description="to be minded")] = ""
    pauses: Annotated[bool, Field(description="of a load that may be on or off, whose band is no tolerance")] = False


def summed(rows: Iterable[Expected]) -> tuple[float, float, float]:
    """Value, low and high of rows together.

    They are independent: widths add as squares, each side for itself. Those of loads with pauses just add, for all of
    them may be on, or off.
    """
    parts = tuple(rows)
    value = sum(row.value for row in parts)
    down = _width((row.value - row.low, row.pauses) for row in parts)
    return value, value - down, value + _width((row.high - row.value, row.pauses) for row in parts)


def _width(widths: Iterable[tuple[float, bool]]) -> float:
    found = tuple(widths)
    return hypot(*(width for width, pauses in found if not pauses)) + sum(width for width, pauses in found if pauses)


@dataclass(frozen=True)
class Roof:
    """Light and air in a moment."""

    scenario: Scenario
    air_c: float
    air_measured: bool
    zones: dict[str, float]  # light in the plane of each [W/m2]
    flat: float  # on a panel laid flat
    light: Spread

    def on(self, zone: Zone | None) -> float:
        """Light on a zone, or on the portable panel [W/m2]."""
        return self.zones[zone.name] if zone else self.flat

    def spreads(self, pct_k: float) -> tuple[Spread, Spread]:
        """What light and temperature do to a figure of that coefficient."""
        return self.light, spread.temperature(pct_k, measured=self.air_measured)


def roofs_at(fit: Fit, when: Sequence[tuple[datetime, Sky]], air_c: Sequence[float | None]) -> list[Roof]:
    """Light and air at times on the clock of the case, each under its sky; many at once take little longer than one."""
    if not when:
        return []
    place = fit.case.brief.place
    offset = timedelta(hours=place.utc_offset_h)
    times = pd.DatetimeIndex([at - offset for at, _ in when]).tz_localize("UTC")
    clearness = [sky.clearness for _, sky in when]
    faces = {(zone.tilt_deg, zone.azimuth_deg) for zone in fit.case.zones} | {_FLAT}
    seen = {
        face: sun.irradiance_w_m2(place, times, clearness=clearness, tilt_deg=face[0], azimuth_deg=face[1])
        for face in faces
    }
    found = []
    for n, ((at, sky), air) in enumerate(zip(when, air_c, strict=True)):
        zones = {zone.name: float(seen[zone.tilt_deg, zone.azimuth_deg][n]) for zone in fit.case.zones}
        scenario, warm = _air(fit, at, air)
        found.append(Roof(scenario, warm, air is not None, zones, float(seen[_FLAT][n]), sky.spread))
    return found


def metered_roof(fit: Fit, at: datetime, irradiance: float, air_c: float | None) -> Roof:
    """The same where a meter tells the light in the plane of the panels."""
    scenario, warm = _air(fit, at, air_c)
    zones = {zone.name: irradiance for zone in fit.case.zones}
    return Roof(scenario, warm, air_c is not None, zones, irradiance, spread.METERED)


def _air(fit: Fit, at: datetime, air_c: float | None) -> tuple[Scenario, float]:
    scenario = year.nearest(fit.case, at.month)
    return scenario, air_c if air_c is not None else float(sun.air_at_c(scenario, at.hour + at.minute / 60))


def array_watts(fit: Fit, roof: Roof, array: PanelArray, *, portable: bool) -> float:
    """What an array's panels give at their best point, in the field [W]."""
    strings = _strings(fit, array) if array.roof_plane or portable else []
    return sum(_watts(fit, roof, array, zones) for zones in strings)


def string_rows(
    fit: Fit, roof: Roof, bank_v: float, *, portable: bool, near_full: bool
) -> tuple[tuple[Expected, ...], tuple[Expected, ...]]:
    """Readings of each string, and of each array where its strings meet."""
    strings: list[Expected] = []
    arrays: list[Expected] = []
    for array in fit.build.arrays:
        ends = fit.input_of(array)
        if ends is None or not (array.roof_plane or portable):
            continue
        offered_w = array_watts(fit, roof, array, portable=portable) * ends.efficiency
        taken = min(1.0, ends.out_a * bank_v / offered_w) if offered_w > 0 else 1.0
        rows = []
        for number, zones in enumerate(_strings(fit, array), start=1):
            found = _string(fit, roof, array, zones, f"{array.name}.{number}", taken, near_full)
            strings += found
            rows.append(found)
        arrays += _array(array, rows)
    return tuple(strings), tuple(arrays)


def _strings(fit: Fit, array: PanelArray) -> list[list[Zone | None]]:
    if not array.roof_plane:
        return [[None] * array.series for _ in range(array.parallel)]
    placed = fit.roof_panels(array)
    names = [f"{array.name}.{number}" for number in range(1, array.parallel + 1)]
    return [[fit.zone_of[p.zone] for p in placed if p.string == name] for name in names]


def _cells(roof: Roof, panel: Panel, zone: Zone | None) -> float:
    return float(sun.cell_c(panel, roof.on(zone), roof.air_c))


def _watts(fit: Fit, roof: Roof, array: PanelArray, zones: list[Zone | None]) -> float:
    panel = fit.panel_of(array)
    return sum(float(sun.panel_w(panel, roof.on(zone), _cells(roof, panel, zone))) for zone in zones)


def _string(
    fit: Fit, roof: Roof, array: PanelArray, zones: list[Zone | None], name: str, taken: float,
    near_full: bool,
) -> list[Expected]:  # fmt: skip
    panel = fit.panel_of(array)
    least = min(roof.on(zone) for zone in zones)
    if least <= 0:
        dark = [("voc_v", "open", "V"), ("vmp_v", "at work", "V"), ("current_a", "at its regulator", "A")]
        return [Expected(f"{name}.{key}", f"{name} {what}", 0, 0, 0, unit, (), "no light") for key, what, unit in dark]
    dim = spread.low_light(log(sun.FULL_SUN_W_M2 / least))
    temperature = spread.temperature(panel.voc_pct_k, measured=roof.air_measured)
    open_parts = (spread.RATING, temperature, dim)
    voc = sum(sun.voc_v(panel, _cells(roof, panel, zone)) for zone in zones)
    work_parts = (spread.RATING, spread.temperature(panel.power_pct_k, measured=roof.air_measured), dim)
    vmp = sum(sun.vmp_v(panel, _cells(roof, panel, zone)) for zone in zones)
    amps = taken * _watts(fit, roof, array, zones) / vmp
    amp_parts = (*roof.spreads(panel.isc_pct_k), spread.DIRT, spread.RATING)
    low, high = band(amps, amp_parts)
    held_back, dusk = taken < 1 or near_full, least < _DUSK_W_M2
    note = "limited: between this and the open voltage" if held_back else ""
    note = note or ("so little light may not start its regulator" if dusk else "")
    volt_low, volt_high = band(vmp, work_parts)
    open_low, open_high = band(voc, open_parts)
    return [
        Expected(f"{name}.voc_v", f"{name} open", voc, open_low, open_high, "V", open_parts),
        Expected(f"{name}.vmp_v", f"{name} at work", vmp, volt_low, open_high if held_back or dusk else volt_high, "V",
                 work_parts, note),
        Expected(f"{name}.current_a", f"{name} at its regulator", amps, 0.0 if near_full or dusk else low, high, "A",
                 amp_parts, note),
    ]  # fmt: skip


def _array(array: PanelArray, rows: list[list[Expected]]) -> list[Expected]:
    """Strings in parallel: one voltage, and currents that add in the same light."""
    volt, amps = rows[0][1], [row[2] for row in rows]
    value, low, high = (sum(getattr(row, key) for row in amps) for key in ("value", "low", "high"))
    return [
        Expected(f"{array.name}.volt_v", f"{array.name} at its regulator", volt.value, volt.low, volt.high, "V",
                 volt.spreads, volt.note),
        Expected(f"{array.name}.current_a", f"{array.name} at its regulator", value, low, high, "A", amps[0].spreads,
                 amps[0].note),
    ]  # fmt: skip
