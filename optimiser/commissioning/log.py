"""A monitor's log: read, and held hour by hour against the design."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, create_model

from optimiser.basis import bank as banks
from optimiser.basis import volts
from optimiser.case import Load
from optimiser.commissioning import spread
from optimiser.commissioning.check import NotTested
from optimiser.commissioning.expecting import FULL_PCT, Expectation, Moment, all_expected, load_row
from optimiser.commissioning.expecting_sun import Expected
from optimiser.commissioning.judged import JudgedReading, judged, untested
from optimiser.connections import CHARGERS, SLOTS, State
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import above_floor, idle_w
from optimiser.reading.problems import Gathered
from optimiser.reading.sheets import read_sheet

# --- A monitor's log as CSV: a column a channel, named as the build names its parts -------------------


_DAY: dict[str, Any] = {
    "air_c": Annotated[float, Field(ge=-50, le=60)],
    "irradiance_w_m2": Annotated[float, Field(ge=0, le=1400)],
    "clearness": Annotated[float, Field(ge=0, le=1)],
    "driving": bool,
    "hook_up": bool,
    "portable": bool,
}
"""What a log may tell of the day, beside its channels."""

_AMPS = Annotated[float, Field(ge=-1e4, le=1e4)]  # or volts, of any channel
_BANK: dict[str, Any] = {
    "bank.current_a": _AMPS,
    "bank.volt_v": Annotated[float, Field(ge=1, le=100)],
    "bank.soc_pct": Annotated[float, Field(ge=0, le=100)],
}


@dataclass(frozen=True)
class LogRow:
    """One instant. ``values`` hold what was logged of channels and day, nothing for an empty cell."""

    line: int
    at: datetime  # on the clock of the case
    values: dict[str, Any]

    def get(self, name: str) -> Any:
        """A value, or None."""
        return self.values.get(name)


def sources(fit: Fit) -> tuple[str, ...]:
    """Slots that charge the bank."""
    return (*fit.regulators, *(slot for slot in CHARGERS if fit.build.slot(slot)))


def channels(fit: Fit) -> tuple[str, ...]:
    """Names of the columns a log may hold, the day's left out."""
    arrays = [f"{array.name}.{key}" for array in fit.build.arrays for key in ("volt_v", "current_a")]
    slots = [*sources(fit), *(["inverter"] if fit.inverter else [])]
    names = [*slots, *(load.name for load in fit.case.loads)]
    return tuple(dict.fromkeys([*_BANK, *arrays, *(f"{name}.current_a" for name in names)]))


def read_log(path: Path, fit: Fit) -> tuple[LogRow, ...]:
    """The rows of a log, as they stand.

    Raises
    ------
    CaseProblems
        With every fault of the file.
    """
    problems, file = Gathered(), str(path)
    kinds = {name: _BANK.get(name, _AMPS) for name in channels(fit)} | _DAY
    optional: dict[str, Any] = {name: (kind | None, None) for name, kind in kinds.items()}
    model = create_model("Log", __config__=ConfigDict(frozen=True, extra="forbid"), time=(str, ...), **optional)
    rows = tuple(_rows(fit, file, read_sheet(path, file, model, problems).good, problems))
    problems.raise_any()
    return rows


def _rows(fit: Fit, file: str, good: list[tuple[int, BaseModel]], problems: Gathered) -> Iterator[LogRow]:
    for line, row in good:
        values = row.model_dump(exclude_none=True)
        text = values.pop("time")
        try:
            at = clock_time(text, fit.case.brief.place.utc_offset_h)
        except ValueError:
            problems.add(file, line, "time", f"{text!r} is not a time; expected {EXPECTED}")
            continue
        yield LogRow(line, at, values)


# --- A monitor's log checked against the design, reading by reading --------------------------------------


LEAST_LIGHT_W_M2 = 100.0  # dusk and shade decide below it (common practice, no source)
_ABSORBING_V = 14.2  # of a 12 V bank: from here on chargers hold back (common practice, no source)
_METER = {"A": 0.2, "V": 0.2}  # what a channel may read for nothing, or be off by (common practice, no source)
_BALANCE_SHARE, _BALANCE_A = 0.05, 0.5  # of the currents that are added up (common practice, no source)
_DRIFT_PCT, _DRIFT_SHARE, _DRIFT_FROM_PCT = 3.0, 0.15, 10.0  # common practice, no source
_STATES: dict[State, str] = {"driving": "the engine ran", "hook_up": "there was hook-up"}
_GAP_H = 1.0  # a longer gap between rows counts nothing reliably


def hold_log(fit: Fit, rows: Sequence[LogRow]) -> tuple[JudgedReading, ...]:
    """Every value of every channel: judged, or why not; then the count of charge over the whole log."""
    loads = {f"{load.name}.current_a": load for load in fit.case.loads}
    names = channels(fit)
    found: list[JudgedReading] = []
    for row, expectation in zip(rows, all_expected(fit, [_moment(row) for row in rows]), strict=True):
        seen = _Row(fit, row, expectation, loads)
        found += [seen.held(name) for name in names if row.get(name) is not None]
    return (*found, *_drift(fit, sorted(rows, key=lambda row: row.at)))


def _moment(row: LogRow) -> Moment:
    """What the row tells; no light where it tells none, which is then not checked against anything."""
    clearness, light = row.get("clearness"), row.get("irradiance_w_m2")
    sky = None if clearness is None or light is not None else spread.sky_of(clearness)
    return Moment(
        at=row.at,
        sky=sky,
        irradiance_w_m2=0.0 if light is None and sky is None else light,
        air_c=row.get("air_c"),
        bank_v=row.get("bank.volt_v"),
        soc_pct=row.get("bank.soc_pct"),
        running=(),
        driving=bool(row.get("driving")),
        hook_up=bool(row.get("hook_up")),
        portable=bool(row.get("portable")),
    )


class _Row:
    """One instant of a log, and what should be there then."""

    def __init__(self, fit: Fit, row: LogRow, expectation: Expectation, loads: dict[str, Load]) -> None:
        self.fit, self.row, self.expectation, self.loads = fit, row, expectation, loads
        self.dark = row.get("clearness") is None and row.get("irradiance_w_m2") is None
        self.expected = {one.id: one for one in expectation.rows}
        self.regulated = {f"{array.regulator}.current_a" for array in fit.build.arrays}

    def held(self, name: str) -> JudgedReading:
        """A channel's value."""
        measured, unit = float(self.row.get(name)), name.rpartition("_")[2].replace("pct", "%").upper()
        where = (self.row.line, self.row.at.isoformat(timespec="minutes"))
        try:
            want = self._want(name, measured)
        except NotTested as reason:
            return untested(name, name, unit, str(reason), measured=measured, where=where)
        slack = _METER.get(unit, 0.0)
        return judged(name, want.what, unit, measured, design=want.value, low=want.low - slack,
                      high=want.high + slack, where=where)  # fmt: skip

    def _want(self, name: str, measured: float) -> Expected:
        if name.startswith("bank."):
            return self._bank(name)
        if name == "inverter.current_a":
            return self._inverter()
        if name in self.loads and name not in {f"{slot}.current_a" for slot in sources(self.fit)}:
            return self._load(self.loads[name], measured)
        self._needs(name)
        silent = Expected(name, f"{name.partition('.')[0]}, nothing feeding it", 0.0, 0.0, 0.0, "A", ())
        return self.expected.get(name, silent)

    def _needs(self, name: str) -> None:
        """Complain of what the log does not tell and a source depends on."""
        array = next((a for a in self.fit.build.arrays if a.name == name.partition(".")[0]), None)
        slot = name.removesuffix(".current_a")
        for state in SLOTS[slot].works if slot in CHARGERS else ():
            if self.row.get(state) is None:
                raise NotTested(f"the log does not say whether {_STATES[state]} ({state})")
        if name in self.regulated or array:
            own = [a for a in self.fit.build.arrays if a is array or f"{a.regulator}.current_a" == name]
            if any(not a.roof_plane for a in own) and self.row.get("portable") is None:
                raise NotTested("the log does not say whether the portable panel was out (portable)")
            self._light()
        if self._near_full():
            raise NotTested("the bank was near full, or its chargers were limiting")

    def _light(self) -> None:
        if self.dark:
            raise NotTested("neither light nor sky was noted (irradiance_w_m2, clearness)")
        least = min([*self.expectation.light_w_m2.values()])
        if 0 < least < LEAST_LIGHT_W_M2:
            raise NotTested(f"less than {LEAST_LIGHT_W_M2:g} W/m2: too little to judge by")

    def _near_full(self) -> bool:
        volt = self.expectation.moment.bank_v
        absorbing = volt is not None and volt >= _ABSORBING_V * self.fit.system_v / 12
        return self.expectation.moment.near_full or absorbing

    def _load(self, load: Load, measured: float) -> Expected:
        if abs(measured) <= _METER["A"]:
            raise NotTested("off")
        taking = measured <= 0
        volt = spread.bank_volt(taking=taking) if self.expectation.moment.bank_v is None else spread.VOLT_METER
        hook_up = bool(self.row.get("hook_up"))
        row = load_row(self.fit, load, self.expectation.bank_v, volt, cycles=False, hook_up=hook_up)
        return row or Expected(f"{load.name}.current_a", f"{load.name}, on hook-up", 0.0, 0.0, 0.0, "A", ())

    def _inverter(self) -> Expected:
        inverter = self.fit.inverter
        assert inverter is not None  # the channel is there only with one
        most = volts.inverter_input_a(inverter, inverter.watt_25c_w)
        back = (1 + spread.CHARGER.above) * inverter.charge_a if self.row.get("hook_up") else 0.0
        return Expected("inverter.current_a", "inverter, within its rating", 0.0, -back, most, "A", ())

    # --- bank --------------------------------------------------------------------------------------------

    def _bank(self, name: str) -> Expected:
        fit = self.fit
        if name == "bank.soc_pct":
            warm_c = banks.RATED_C  # where the row does not tell how cold it was
            floor = 100 - 100 * above_floor(fit, self.row.values.get("air_c", warm_c))
            return Expected(name, "charge, above its floor or what cold keeps back", 100.0, floor, 100.0, "%", ())
        if name == "bank.volt_v":
            low = fit.inverter.cut_off_v if fit.inverter else 10.0 * fit.system_v / 12
            return Expected(name, "bank, from cut-off to full", volts.nominal_v(fit.system_v), low,
                            volts.full_v(fit.system_v), "V", ())  # fmt: skip
        return self._balance()

    def _balance(self) -> Expected:
        """The shunt against what all sources and loads say together."""
        into = [f"{slot}.current_a" for slot in sources(self.fit)]
        out = list(self.loads)
        missing = [name for name in (*into, *out) if self.row.get(name) is None]
        if missing or (self.fit.inverter and self.fit.inverter.reached):
            raise NotTested("not every source and load is in the log, so nothing adds up to the shunt's current")
        given = sum(self.row.get(name) for name in into)
        drawn = sum(self.row.get(name) for name in out)
        own = idle_w(self.fit) / self.expectation.bank_v
        width = _BALANCE_SHARE * (given + drawn) + _BALANCE_A
        value = given - drawn - own
        return Expected(
            "bank.current_a", "bank, as sources less loads", value, value - width, value + own + width, "A", ()
        )


def _drift(fit: Fit, rows: Sequence[LogRow]) -> Iterator[JudgedReading]:
    """The charge the monitor shows against the current it counted, from first to last."""
    counted = [row for row in rows if row.get("bank.soc_pct") is not None and row.get("bank.current_a") is not None]
    if len(counted) < 2:
        return
    id, what = "bank.drift_pct", "charge shown, against what the shunt counted"
    steps = [(a, b, (b.at - a.at).total_seconds() / 3600) for a, b in pairwise(counted)]
    if max(hours for *_, hours in steps) > _GAP_H:
        yield untested(id, what, "%", f"gaps of more than {_GAP_H:g} h between rows")
        return
    if any(row.get("bank.soc_pct") >= FULL_PCT for row in counted):
        yield untested(id, what, "%", "the bank was near full, where monitors set themselves to 100 %")
        return
    ah = sum((a.get("bank.current_a") + b.get("bank.current_a")) / 2 * hours for a, b, hours in steps)
    design = 100 * ah / (fit.module.capacity_ah * fit.build.bank.parallel)
    if abs(design) < _DRIFT_FROM_PCT:
        yield untested(id, what, "%", f"less than {_DRIFT_FROM_PCT:g} % of the bank went in or out")
        return
    shown = counted[-1].get("bank.soc_pct") - counted[0].get("bank.soc_pct")
    width = _DRIFT_PCT + _DRIFT_SHARE * abs(design)
    yield judged(id, what, "%", shown, design=design, low=design - width, high=design + width)


# --- times as people and monitors write them, on the clock of a case ----------------------------------


EXPECTED = "a time as 2027-01-14T09:30, from 2000 to 2099"
_YEARS = range(2000, 2100)


def clock_time(text: str, utc_offset_h: float) -> datetime:
    """An ISO time on the clock of the case; one with an offset of its own is moved to it.

    Raises
    ------
    ValueError
        If it is no such time.
    """
    found = datetime.fromisoformat(text)
    if found.year not in _YEARS:
        raise ValueError(f"year {found.year}")
    if found.tzinfo is None:
        return found
    return (found.astimezone(UTC) + timedelta(hours=utc_offset_h)).replace(tzinfo=None)
