"""Battery: module type, how many in series and parallel, the block they stand in, and the system voltage."""

from collections.abc import Iterator
from functools import partial

from optimiser.basis import air, volts
from optimiser.builds import Bank
from optimiser.model.context import FitOut
from optimiser.model.currents import (
    bank_figures,
    bank_parallel,
    bank_series,
    charging_ma,
    dc_loads_ma,
    of_bank,
    system_v_of,
)
from optimiser.model.decisions import Option, Value, total
from optimiser.model.slots import add_slot, shut_out_by_gas
from optimiser.parts import Module, Voltage
from optimiser.units import MILLI, at_most

MOST_MODULES = 8
VOLTAGES: tuple[Voltage, ...] = (12, 24, 48)


def decide(ctx: FitOut) -> None:
    """The bank and its voltage."""
    allowed = ctx.case.brief.system_voltages if ctx.is_active("battery.voltage") else VOLTAGES
    ctx.d.voltage = {v: ctx.flag(f"voltage:{v}") for v in allowed}
    ctx.define(total(ctx.d.voltage.values()) == 1)
    options = [o for m in ctx.catalogue.of("modules").values() for o in _banks(ctx, m)]
    slot = ctx.d.slots["bank"] = add_slot(ctx, "bank", options, present=1)
    for key, option in slot.options.items():
        ctx.define(slot.pick[key] <= ctx.d.voltage[system_v_of(option)])


def _banks(ctx: FitOut, module: Module) -> Iterator[Option]:
    """Every bank of one module type, in every block of equal rows."""
    worth = ctx.tables.cost_and_mass(module)
    series_most = module.series_max if ctx.is_active("battery.series") else MOST_MODULES
    parallel_most = module.parallel_max if ctx.is_active("battery.parallel") else MOST_MODULES
    for series in range(1, series_most + 1):
        if not any(abs(module.nominal_v * series - volts.nominal_v(v)) < 0.01 for v in ctx.d.voltage):
            continue
        for parallel in range(1, min(parallel_most, MOST_MODULES // series) + 1):
            count = series * parallel
            for rows in (r for r in range(1, count + 1) if count % r == 0):
                key = f"bank:{module.name}:{series}:{parallel}:{rows}"
                yield Option(key, module, worth.times(count), count, rows, count // rows)


def require(ctx: FitOut) -> None:
    """Currents in and out. Where the bank may stand is settled by its candidates."""
    _discharge(ctx)
    _charge(ctx)
    _lead_acid(ctx)


def _discharge(ctx: FitOut) -> None:
    """Continuous and for a moment, at the system's nominal voltage."""
    tables, peaks, share = ctx.tables, ctx.tables.peaks, partial(volts.sharing, ctx.case)
    for name, watt, gives in (
        ("battery.discharge", peaks.inverter_w, lambda m, s, p: at_most(m.discharge_a * p * share(p), MILLI)),
        ("battery.surge", peaks.inverter_surge_w, lambda m, s, p: at_most(m.surge_a * p * share(p), MILLI)),
    ):
        inverter = ctx.d.slots["inverter"]
        alone = [(tables.inverter_loads_ma(o.body, watt), inverter.pick[k]) for k, o in inverter.options.items()]
        drawn = total(amps * flag for amps, flag in alone)
        ctx.require(name, drawn + dc_loads_ma(ctx) <= of_bank(ctx, gives))
        ctx.cover(name, alone, bank_figures(ctx, gives))


def _charge(ctx: FitOut) -> None:
    takes = of_bank(ctx, lambda m, s, p: at_most(m.charge_a * p * volts.sharing(ctx.case, p), MILLI))
    for state, amps in charging_ma(ctx).items():
        ctx.require("battery.charge", amps <= takes, state)


def _lead_acid(ctx: FitOut) -> None:
    """One that stays: sealed from the room, and no part that stays as well beside it; new ones are left out."""
    for bay in ctx.case.bays:
        if shut_out_by_gas(ctx, bay):
            beside = [slot.at[bay.name] for slot in ctx.d.slots.values() if slot.existing and bay.name in slot.at]
            ctx.define(total(beside) + int(air.breathes_cabin(bay)) <= 0)


def read(ctx: FitOut, value: Value) -> tuple[Voltage, Bank]:
    """System voltage and bank of the build."""
    slot = ctx.d.slots["bank"]
    system_v = next(v for v, var in ctx.d.voltage.items() if value(var))
    option = next(slot.options[key] for key, var in slot.pick.items() if value(var))
    return system_v, Bank(option.body.name, bank_series(option), bank_parallel(option), option.rows, option.columns)
