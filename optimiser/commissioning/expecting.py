"""What the meters should show at an instant: strings, sources, loads, and what the bank gives or takes for it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from optimiser.basis import loads, volts, year
from optimiser.case import Load
from optimiser.commissioning import spread
from optimiser.commissioning.expecting_sun import (
    Expected,
    Roof,
    array_watts,
    metered_roof,
    roofs_at,
    string_rows,
    summed,
)
from optimiser.commissioning.monitor import monitor_of
from optimiser.commissioning.spread import Sky, Spread, band
from optimiser.connections import SLOTS
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import idle_w, inverter_efficiency
from optimiser.physics.energy import dc_current_a

_ADDED = "bands of sources and loads: squares added, loads with pauses all on or all off"
FULL_PCT = 95.0  # from here on a bank turns current away (common practice, no source)


@dataclass(frozen=True, kw_only=True)
class Moment:
    """When, under which sky, and what is on. Of ``sky`` and ``irradiance_w_m2`` one is needed.

    ``running`` None: loads that the nearest scenario may have on, each on for its share of the time.
    """

    at: datetime  # on the clock of the case, without offset
    sky: Sky | None = None
    irradiance_w_m2: float | None = None  # as metered, in the plane of the panels
    air_c: float | None = None
    bank_v: float | None = None
    soc_pct: float | None = None
    running: tuple[str, ...] | None = None
    driving: bool = False
    hook_up: bool = False
    portable: bool = False

    @property
    def near_full(self) -> bool:
        """Whether the bank turns current away."""
        return self.soc_pct is not None and self.soc_pct >= FULL_PCT


@dataclass(frozen=True)
class Expectation:
    """What meters should show, and what that takes for granted."""

    moment: Moment
    scenario: str  # nearest in the calendar
    bank_v: float
    air_c: float
    light_w_m2: dict[str, float]  # zone -> light in its plane
    strings: tuple[Expected, ...]
    arrays: tuple[Expected, ...]
    sources: tuple[Expected, ...]
    loads: tuple[Expected, ...]
    measured: tuple[Expected, ...]  # several of the rows before as one channel shows them
    total: Expected
    assumed: tuple[str, ...]

    @property
    def rows(self) -> tuple[Expected, ...]:
        """All of it."""
        return (*self.strings, *self.arrays, *self.sources, *self.loads, *self.measured, self.total)


def expected(fit: Fit, moment: Moment) -> Expectation:
    """What meters should show in a moment.

    Powers, efficiencies and currents are those the audit calculates with; bands are common practice (see `spread`).

    Raises
    ------
    ValueError
        If the moment has neither a sky nor a metered light.
    """
    return next(iter(all_expected(fit, [moment])))


def all_expected(fit: Fit, moments: Sequence[Moment]) -> Iterator[Expectation]:
    """The same for many moments, the sun calculated for all of them together."""
    skies = [(moment.at, moment.sky, moment.air_c) for moment in moments if moment.irradiance_w_m2 is None]
    if any(sky is None for _, sky, _ in skies):
        raise ValueError("neither a sky nor a metered light")
    lit = iter(roofs_at(fit, [(at, sky) for at, sky, _ in skies if sky], [air for *_, air in skies]))
    for moment in moments:
        light = moment.irradiance_w_m2
        yield _under(fit, moment, next(lit) if light is None else metered_roof(fit, moment.at, light, moment.air_c))


def _under(fit: Fit, moment: Moment, roof: Roof) -> Expectation:
    running = loads_on(fit, moment)
    nominal_v = volts.nominal_v(fit.system_v)
    in_w = nominal_v * sum(row.value for row in _sources(fit, moment, roof, nominal_v, spread.VOLT_METER))
    out_w = sum(load_w(fit, load, hook_up=moment.hook_up) * _share(load, moment) for load in running)
    taking = in_w >= out_w + idle_w(fit)
    bank_v, volt = _bank_volt(fit, moment, taking=taking)
    sources = tuple(_sources(fit, moment, roof, bank_v, volt))
    how = {"cycles": moment.running is None, "hook_up": moment.hook_up}
    drawn = [(load, load_row(fit, load, bank_v, volt, **how)) for load in running]
    own = idle_w(fit) / bank_v
    idle = Expected("idle.current_a", "own draw of what is fitted", own, *band(own, (spread.OWN_DRAW, volt)), "A",
                    (spread.OWN_DRAW, volt))  # fmt: skip
    rows = (*(row for _, row in drawn if row), idle)
    by_supply = {supply: [row for load, row in drawn if row and load.supply == supply] for supply in ("dc", "mains")}
    measured = tuple(_measured(fit, moment, by_supply, bank_v, volt))
    strings, arrays = string_rows(fit, roof, bank_v, portable=moment.portable, near_full=moment.near_full)
    return Expectation(
        moment, roof.scenario.name, bank_v, roof.air_c, roof.zones, strings, arrays, sources, rows,
        measured, _total(fit, sources, rows), tuple(_assumed(fit, moment, roof, bank_v, taking)),
    )  # fmt: skip


def loads_on(fit: Fit, moment: Moment) -> tuple[Load, ...]:
    """The loads that are on, or may be."""
    if moment.running is None:
        return tuple(loads.on_at(fit.case, year.nearest(fit.case, moment.at.month), moment.at.hour))
    return tuple(load for load in fit.case.loads if load.name in moment.running)


def load_w(fit: Fit, load: Load, *, hook_up: bool = False) -> float:
    """What a load takes from the bank while it draws; 0 if hook-up carries it [W]."""
    if load.supply == "dc":
        return volts.dc_loads_w(load.watt_w, fit.step_down)
    through = hook_up and fit.inverter is not None and fit.inverter.passed
    if through or load.circuit not in fit.case.circuits_from("inverter"):
        return 0.0
    return dc_current_a(power_w=load.watt_w, efficiency=inverter_efficiency(fit), volt=1.0)


def load_row(
    fit: Fit, load: Load, bank_v: float, volt: Spread, *, cycles: bool, hook_up: bool = False
) -> Expected | None:
    """Current a load takes at the bank; None where hook-up feeds it. ``cycles``: a load may be off in its pauses."""
    watts = load_w(fit, load, hook_up=hook_up)
    if not watts:
        return None
    parts = (spread.NAMEPLATE, volt)
    amps = watts / bank_v
    low, high = band(amps, parts)
    what = f"{load.name}, through the inverter" if load.supply == "mains" else load.name
    row = Expected(f"{load.name}.current_a", what, amps, low, high, "A", parts)
    if not cycles or load.duty_pct == 100:
        return row
    note = f"on {load.duty_pct:g} % of the time, then {amps:.1f} A ({low:.1f} to {high:.1f}), else nothing"
    return replace(row, value=amps * load.duty_pct / 100, low=0.0, note=note, pauses=True)


def _share(load: Load, moment: Moment) -> float:
    return load.duty_pct / 100 if moment.running is None else 1.0


def _bank_volt(fit: Fit, moment: Moment, *, taking: bool) -> tuple[float, Spread]:
    if moment.bank_v is not None:
        return moment.bank_v, spread.VOLT_METER
    return (spread.TAKING_V if taking else spread.NOMINAL_V) * (fit.system_v / 12), spread.bank_volt(taking=taking)


# --- sources -----------------------------------------------------------------------------------------


def _chargers(fit: Fit, moment: Moment) -> Iterator[tuple[str, float]]:
    """Slot and current of each charger that works, other than from the sun [A]."""
    brief, inverter = fit.case.brief, fit.inverter
    for slot, charger in fit.chargers.items():
        if getattr(brief, SLOTS[slot].source) and any(getattr(moment, state) for state in SLOTS[slot].works):
            yield slot, charger.charge_a
    if moment.hook_up and brief.inlet and inverter and inverter.transfers:
        yield "inverter", inverter.charge_a


def _sources(fit: Fit, moment: Moment, roof: Roof, bank_v: float, volt: Spread) -> Iterator[Expected]:
    working = dict(_chargers(fit, moment))
    for slot in dict.fromkeys([*fit.regulators, *fit.chargers, *working]):
        parts = [row for row in (_solar(fit, moment, roof, slot, bank_v, volt), _charger(fit, working, slot)) if row]
        if parts:
            yield _emptied(_one_output(fit, _joined(slot, parts)), moment)


def _solar(fit: Fit, moment: Moment, roof: Roof, slot: str, bank_v: float, volt: Spread) -> Expected | None:
    arrays = [array for array in fit.build.arrays if array.regulator == slot]
    ends = fit.input_of(arrays[0]) if arrays else None
    if ends is None:
        return None
    watts = sum(array_watts(fit, roof, array, portable=moment.portable) for array in arrays)
    parts = (*roof.spreads(fit.panel_of(arrays[0]).power_pct_k), spread.DIRT, spread.RATING, volt)
    amps = watts * ends.efficiency / bank_v
    low, high = band(amps, parts)
    if amps <= ends.out_a:
        most_low, most = fit.derate * ends.out_a, (1 + spread.CHARGER.above) * ends.out_a
        return Expected(slot, "from the sun", amps, min(low, most_low), min(high, most), "A", parts)
    limits = (spread.CHARGER, spread.bay_heat(fit.derate))
    least, most = band(ends.out_a, limits)
    note = f"at its limit of {ends.out_a:g} A"
    return Expected(slot, "from the sun", ends.out_a, min(low, least), most, "A", (*parts, *limits), note)


def _charger(fit: Fit, working: dict[str, float], slot: str) -> Expected | None:
    amps = working.get(slot)
    if amps is None:
        return None
    parts = (spread.CHARGER, spread.bay_heat(fit.derate))
    source = "the engine" if slot == "alternator_charger" else SLOTS[slot].fed_by or "hook-up"
    return Expected(slot, f"from {source}", amps, *band(amps, parts), "A", parts)


def _joined(slot: str, parts: list[Expected]) -> Expected:
    """What one unit gives the bank from all that feeds it."""
    value, low, high = summed(parts)
    what = f"{slot} into the bank, {' and '.join(part.what for part in parts)}"
    spreads = tuple(dict.fromkeys(s for part in parts for s in part.spreads))
    return Expected(
        f"{slot}.current_a", what, value, low, high, "A", spreads, "; ".join(p.note for p in parts if p.note)
    )


def _one_output(fit: Fit, row: Expected) -> Expected:
    """An alternator charger gives no more by sun and engine together than its one output does."""
    most_a = fit.alternator_a
    if row.id != "alternator_charger.current_a" or row.value <= most_a:
        return row
    limits = (spread.CHARGER, spread.bay_heat(fit.derate))
    least, most = band(most_a, limits)
    note = "; ".join(x for x in (row.note, f"one output for both, at its limit of {most_a:g} A") if x)
    return replace(row, value=most_a, low=min(row.low, least), high=most, spreads=(*row.spreads, *limits), note=note)


def _emptied(row: Expected, moment: Moment) -> Expected:
    if not moment.near_full:
        return row
    return replace(row, low=0.0, note="; ".join(x for x in (row.note, "a bank near full turns current away") if x))


# --- total -------------------------------------------------------------------------------------------


def _total(fit: Fit, sources: tuple[Expected, ...], drawn: tuple[Expected, ...]) -> Expected:
    turned = [replace(row, value=-row.value, low=-row.high, high=-row.low) for row in drawn]
    value, low, high = summed([*sources, *turned])
    by = monitor_of(fit) or "by a clamp, or a monitor of it (none is in the build)"
    what = f"bank, as sources less loads, charge above 0: {by}"
    return Expected("bank.current_a", what, value, low, high, "A", (), _ADDED)


def _measured(
    fit: Fit, moment: Moment, by_supply: dict[str, list[Expected]], bank_v: float, volt: Spread
) -> Iterator[Expected]:
    """Sums that the build measures as one current (see the audit's ``measuring.currents``)."""
    if not fit.step_down:  # behind one they are measured at another voltage than the bank's
        yield _as_one("measured.dc_loads_a", "12 V loads together", by_supply["dc"])
    if fit.inverter and not (moment.hook_up and fit.inverter.transfers):  # else it charges: a source
        amps, parts = fit.inverter.idle_w / bank_v, (spread.OWN_DRAW, volt)
        own = Expected("", "", amps, *band(amps, parts), "A", parts)
        what = "direct current of the inverter: loads through it and its own draw"
        yield _as_one("measured.inverter_a", what, [*by_supply["mains"], own])


def _as_one(id: str, what: str, rows: list[Expected]) -> Expected:
    spreads = tuple(dict.fromkeys(part for row in rows for part in row.spreads))
    return Expected(id, what, *summed(rows), "A", spreads, "part of the rows above, not to be added to them")


def _assumed(fit: Fit, moment: Moment, roof: Roof, bank_v: float, taking: bool) -> Iterator[str]:
    name = roof.scenario.name
    if moment.air_c is None:
        nearest = f"{name}, the nearest scenario in the calendar"
        yield f"air {roof.air_c:.1f} C, as at that hour in {nearest}; a thermometer narrows it"
    if moment.running is None:
        yield f"loads that {name} may have on at that hour, each on for its share of the time"
    for load in loads_on(fit, moment):
        if not load_w(fit, load, hook_up=moment.hook_up):
            yield f"{load.name} fed by hook-up, if at all: nothing from the bank"
    if moment.bank_v is None:
        state = "taking charge" if taking else "under load"
        yield f"bank at {bank_v:.1f} V, {state} (common practice, no source); a voltmeter narrows it"
    if moment.soc_pct is None:
        yield "bank not near full: one that is turns current away"
    if not moment.driving and fit.alternator_charger:
        yield "engine not running"
    if not moment.hook_up and (fit.mains_charge_a or fit.case.brief.inlet):
        yield "no hook-up"
    if fit.case.brief.portable and not moment.portable:
        yield "portable panel not out"
    yield "panels unshaded, and no colder or warmer than their air and light make them"
