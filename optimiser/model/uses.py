"""What each run carries, and how much resistance it may have, by the part that sets its current."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from optimiser.basis import loads, volts
from optimiser.connections import CHARGERS, CONNECTIONS
from optimiser.model.context import FitOut
from optimiser.model.currents import charging_ma, dc_loads_ma
from optimiser.model.decisions import Bool, Carried, Literal, Option, Slot, Use, total
from optimiser.parts import StepDown
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most

NO_LOSS = 100 * NANO  # loop resistance of a run that carries nothing: any


def loop_nohm(share: float, volt: float, amps_ma: int) -> int:
    """Loop resistance at which a current loses that share of a voltage."""
    return at_most(share * volt / (amps_ma / MILLI), NANO) if amps_ma > 0 else NO_LOSS


def carried(ctx: FitOut) -> dict[str, Carried]:
    """Run -> what it has to carry; runs of data are not among them. Worked out once for all that ask."""
    if not ctx.d.carried:
        groups = (_bank, _solar, _chargers, _mains, _outlets, _loads)
        ctx.d.carried = {name: what for group in groups for name, what in group(ctx)}
    return ctx.d.carried


def _of(slot: Slot, share: float, amps: Callable[[Option], int], volt: Callable[[Option], float]) -> list[Use]:
    return [
        Use(var, amps(option), loop_nohm(share, volt(option), amps(option)))
        for key, var in slot.pick.items()
        for option in [slot.options[key]]
    ]


def step_downs(ctx: FitOut, system_v: int) -> list[StepDown | None]:
    """What may feed the 12 V loads from a bank: nothing between them, or one of the step-downs."""
    slot = ctx.d.slots.get("step_down")
    if system_v == 12 or slot is None:
        return [None]
    downs = [o.body for o in slot.options.values() if isinstance(o.body, StepDown)]
    return [d for d in downs if d.system_v == system_v] or [None]


@dataclass(frozen=True)
class Draw:
    """What loads and inverter take from the bank together, by the choices that set it."""

    system_v: int
    inverter_ma: int
    dc_ma: int
    when: tuple[Literal, ...]


def draws(ctx: FitOut) -> Iterator[Draw]:
    """Each that a build may have; of one build just one holds."""
    inverter = ctx.d.slots["inverter"]
    for system_v, at_v in ctx.d.voltage.items():
        for down in step_downs(ctx, system_v):
            dc_ma = ctx.tables.dc_loads_ma(system_v, down)
            when = (at_v,) if down is None else (at_v, ctx.d.slots["step_down"].pick[down.name])
            for key, option in inverter.options.items():
                if option.body.system_v == system_v:
                    yield Draw(system_v, ctx.tables.inverter_ma(option.body), dc_ma, (*when, inverter.pick[key]))
            none = [pick.negated() for pick in inverter.pick.values()]
            yield Draw(system_v, 0, dc_ma, (*when, *none))


def _bank(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """Bank to busbars, and busbars to inverter."""
    t, inverter, share = ctx.tables, ctx.d.slots["inverter"], ctx.case.rules["drop_share_inverter"]

    def dc(system_v: int) -> int:
        return min(t.dc_loads_ma(system_v, down) for down in step_downs(ctx, system_v))

    main = Carried(
        _of(inverter, share, lambda o: t.inverter_ma(o.body) + dc(o.body.system_v), lambda o: o.body.system_v)
    )
    for system_v, chosen in ctx.d.voltage.items():
        for down in step_downs(ctx, system_v):
            amps = t.dc_loads_ma(system_v, down)
            rated = total(
                loop_nohm(share, system_v, t.inverter_ma(o.body) + amps) * inverter.pick[key]
                for key, o in inverter.options.items()
            )
            alone = loop_nohm(share, system_v, amps)
            when = (chosen,) if down is None else (chosen, ctx.d.slots["step_down"].pick[down.name])
            main.also_nohm.append((rated + alone - alone * inverter.present, when))
    if len(ctx.d.voltage) == 1:
        (only,) = ctx.d.voltage
        main.uses.append(Use(1 - inverter.present, dc(only), loop_nohm(share, only, dc(only))))
    else:  # which voltage an absent inverter would have is not known here: the loops above hold it
        main.uses.append(Use(1 - inverter.present, min(map(dc, ctx.d.voltage)), NO_LOSS))
    main.also_ma.append((inverter.picked(lambda o: t.inverter_ma(o.body)) + dc_loads_ma(ctx), ()))
    main.also_ma += [(amps, ()) for amps in charging_ma(ctx).values()]
    yield "main", main
    yield "inverter", Carried(_of(inverter, share, lambda o: t.inverter_ma(o.body), lambda o: o.body.system_v))


def _solar(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """Roof to regulators, and regulators to busbars."""
    t, plain, solar = ctx.tables, ctx.case.rules["drop_share"], ctx.case.rules["drop_share_solar"]
    for name, strings in ctx.d.strings.items():
        if name.startswith("regulator_"):
            options = ctx.d.slots[name].options
            outs = [
                (at_least(options[key].body.out_a, MILLI), system_v, var)
                for (key, system_v), var in strings.by_voltage.items()
            ]
            yield name, Carried([Use(var, amps, loop_nohm(plain, v, amps)) for amps, v, var in outs])
        uses = []
        for option, var in strings.options.items():
            amps = t.solar_ma(option.panel, option.parallel)
            volt = option.series * t.hot_vmp_mv(option.panel) / MILLI
            uses.append(Use(var, amps, loop_nohm(solar, volt, amps)))
        yield strings.run, Carried(uses)


def _chargers(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """Each charger, and what feeds it at low voltage."""
    for connection in CONNECTIONS.values():
        if connection.serves not in CHARGERS or connection.kind != "dc":
            continue
        slot, share = ctx.d.slots[connection.serves], ctx.case.rules[connection.drop]
        if connection.end != "busbar":
            feed = _of(slot, share, lambda o: ctx.tables.feed_ma(o.body), lambda o: o.body.input_v)
            yield connection.name, Carried(feed)
            continue
        out = Carried(_of(slot, share, lambda o: at_least(o.body.charge_a, MILLI), lambda o: o.body.system_v))
        if strings := ctx.d.strings.get(slot.name):
            _with_sun(out, slot, share, strings.used)
        yield connection.name, out


def _with_sun(out: Carried, charger: Slot, share: float, used: Bool) -> None:
    """An alternator charger gives more where an array ends at it, if its solar output is the larger."""

    def most_ma(option: Option) -> int:
        return at_least(volts.alternator_output_a(option.body, with_solar=True), MILLI)

    with_sun = _of(charger, share, most_ma, lambda o: o.body.system_v)
    out.also_ma.append((total(u.amps_ma * u.flag for u in with_sun), (used,)))
    out.also_nohm.append((total(u.loop_nohm * u.flag for u in with_sun), (used,)))


def _mains(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """Everything at mains voltage."""
    t, slots, brief = ctx.tables, ctx.d.slots, ctx.case.brief
    mains_v, share = brief.place.mains_v, ctx.case.rules["drop_share_mains"]
    inverter, charger = slots["inverter"], slots["mains_charger"]
    yield "mains_feed", Carried(_of(charger, share, lambda o: t.mains_input_ma(o.body), lambda o: mains_v))
    inlet_a = brief.inlet.rating_a if brief.inlet else 0.0

    def out_ma(option: Option) -> int:
        passed_a = inlet_a if option.body.transfers else 0.0
        return at_least(max(option.body.watt_25c_w / mains_v, passed_a), MILLI)

    yield "inverter_out", Carried(_of(inverter, share, out_ma, lambda o: mains_v))
    if brief.inlet:
        inlet = at_least(brief.inlet.rating_a, MILLI)
        yield "mains_inlet", Carried([Use(1, inlet, loop_nohm(share, mains_v, inlet))])
        yield (
            "inverter_in",
            Carried(_of(inverter, share, lambda o: inlet if o.body.transfers else 0, lambda o: mains_v)),
        )


def _outlets(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """Mains circuits, from the mains box on."""
    mains_v, share = ctx.case.brief.place.mains_v, ctx.case.rules["drop_share_mains"]
    for circuit in ctx.case.brief.circuits:
        drawn = at_least(loads.circuit_w(ctx.case, circuit.name) / mains_v, MILLI)
        yield f"outlet_{circuit.name}", Carried([Use(1, drawn, loop_nohm(share, mains_v, drawn))])


def _loads(ctx: FitOut) -> Iterator[tuple[str, Carried]]:
    """The 12 V loads, and what passes a wall."""
    t, share = ctx.tables, ctx.case.rules["drop_share"]
    amps = at_least(t.peaks.dc_w / 12, MILLI)
    dc = Carried([Use(1, amps, loop_nohm(share, 12, amps))])
    if "step_down" in ctx.d.slots:
        down = ctx.d.slots["step_down"]
        through = _of(down, share, lambda o: t.dc_loads_ma(o.body.system_v, o.body), lambda o: o.body.system_v)
        yield "step_down", Carried(through)
        # behind the step-down no fuse: its cable stands what the step-down drives into a fault
        dc.also_ma.append((down.picked(lambda o: at_least(volts.step_down_fault_a(o.body), MILLI)), ()))
    yield "dc_loads", dc
    for circuit in ctx.case.brief.dc_circuits:
        if not circuit.wired:
            drawn = at_least(loads.circuit_w(ctx.case, circuit.name) / 12, MILLI)
            yield f"circuit_{circuit.name}", Carried([Use(1, drawn, loop_nohm(share, 12, drawn))])
    for outside in ctx.case.brief.pass_throughs:
        if outside.carries == "power":
            drawn = at_least(outside.current_a, MILLI)
            yield f"pass_{outside.name}", Carried([Use(1, drawn, loop_nohm(share, 12, drawn))])
