"""Currents and bank figures as expressions over the decisions; more than one family stands on them."""

from collections.abc import Callable

from optimiser.connections import CHARGERS, connection_of, slot_of
from optimiser.model.context import Figure, FitOut
from optimiser.model.decisions import Expr, Option, total
from optimiser.parts import Module, Voltage
from optimiser.units import MILLI, at_least


def bank_series(option: Option) -> int:
    return int(option.key.split(":")[2])


def bank_parallel(option: Option) -> int:
    return int(option.key.split(":")[3])


def system_v_of(option: Option) -> Voltage:
    """System voltage that a bank makes [V]."""
    system_v: Voltage = round(bank_series(option) * option.body.nominal_v / 12.8 * 12)
    return system_v


def circuits_on_busbars(ctx: FitOut) -> Expr:
    """How many runs want a stud; of the step-down and the loads behind it only one is on the busbars."""
    apart = ("main", "step_down")
    runs = ctx.d.runs.items()
    return total(r.on for name, r in runs if name not in apart and "busbar" in connection_of(name).slots)


def of_bank(ctx: FitOut, weigh: Callable[[Module, int, int], int]) -> Expr:
    """Sum of a figure of (module, series, parallel) over the chosen bank."""
    slot = ctx.d.slots["bank"]
    return slot.picked(lambda o: weigh(o.body, bank_series(o), bank_parallel(o)))


def bank_figures(ctx: FitOut, weigh: Callable[[Module, int, int], int]) -> list[Figure]:
    """The same figure of each bank, with its flag."""
    slot = ctx.d.slots["bank"]
    return [(weigh(o.body, bank_series(o), bank_parallel(o)), slot.pick[key]) for key, o in slot.options.items()]


def dc_loads_ma(ctx: FitOut) -> Expr:
    """Bank current of the 12 V loads at their peak."""
    slot = ctx.d.slots.get("step_down")
    direct = ctx.tables.dc_loads_ma(12, None) * ctx.d.voltage[12] if 12 in ctx.d.voltage else 0
    through = slot.picked(lambda o: ctx.tables.dc_loads_ma(o.body.system_v, o.body)) if slot else 0
    return direct + through


def inlet_ma(ctx: FitOut, beside_w: float | None = None) -> Expr:
    """What comes in by the inlet at most: what it feeds and what an inverter-charger passes on, with all chargers.

    ``beside_w`` is what it feeds itself, if not the most of all hours on hook-up [W].
    """
    tables, brief, slots = ctx.tables, ctx.case.brief, ctx.d.slots
    volt, beside_w = brief.place.mains_v, tables.peaks.hook_up_w if beside_w is None else beside_w
    transferred = at_least(tables.peaks.inverter_w / volt, MILLI)
    drawn = slots["mains_charger"].picked(lambda o: tables.mains_input_ma(o.body)) + slots["inverter"].picked(
        lambda o: (tables.mains_input_ma(o.body) if o.body.transfers else 0) + (transferred if o.body.reached else 0)
    )
    return drawn + at_least(beside_w / volt, MILLI)


def charging_ma(ctx: FitOut) -> dict[str, Expr]:
    """All charging current that can come at once, driving or on hook-up, from chargers that no heat holds back."""
    slots = ctx.d.slots
    solar = total(
        slot.picked(lambda o: at_least(o.body.out_a, MILLI))
        for name, slot in slots.items()
        if name.startswith("regulator_")
    )
    alternator = slots["alternator_charger"]
    own_input: Expr = 0
    shared: Expr = alternator.picked(lambda o: at_least(o.body.charge_a, MILLI))  # one output for engine and sun
    if "alternator_charger" in ctx.d.strings:
        own_input = ctx.number(0, 10**6, "solar_input_ma")
        used = ctx.d.strings["alternator_charger"].used
        ctx.define(own_input >= alternator.picked(lambda o: at_least(o.body.solar_out_a, MILLI)), [used])
        engine, shared = shared, ctx.number(0, 10**6, "alternator_output_ma")
        ctx.define(shared >= engine)
        ctx.define(shared >= own_input)
    states = {"driving": solar + shared, "hook_up": solar + own_input}
    for name in (*CHARGERS, "inverter"):
        for state in slot_of(name).works if name != "alternator_charger" else ():
            states[state] = states[state] + slots[name].picked(lambda o: at_least(o.body.charge_a, MILLI))
    return states
