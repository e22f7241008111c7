"""Strings: which panels in series and parallel on which regulator, or on the alternator charger's solar input."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise, product
from typing import NamedTuple

from optimiser.basis import volts
from optimiser.basis.money import CostAndMass
from optimiser.builds import PanelArray
from optimiser.model.context import Figure, FitOut
from optimiser.model.decisions import ArrayOption, Bool, Slot, Strings, Value, total
from optimiser.model.slots import add_slot, at_voltage, options_of
from optimiser.parts import AlternatorCharger, Body, Panel, Regulator, StringFuse
from optimiser.units import MILLI, at_least, at_most

ALTERNATOR = "alternator_charger"  # the slot whose solar input may take an array
MOST_SERIES = 8
MOST_PARALLEL = 4
MOST_REGULATORS = 4
_ANY_MV = 10**9  # above any string


def decide(ctx: FitOut) -> None:
    """Regulators, and the array on each."""
    wanted = ctx.is_active("string.regulators")
    places = ctx.case.limits.regulators_at_most if wanted else MOST_REGULATORS
    options = options_of(ctx, "regulators")
    for k in range(1, places + 1):
        name = f"regulator_{k}"
        ctx.d.slots[name] = add_slot(ctx, name, options)
        _add_strings(ctx, name)
    if any(c.solar_v_max for c in ctx.catalogue.of("alternator_chargers").values()):
        _add_strings(ctx, ALTERNATOR)


def _add_strings(ctx: FitOut, regulator: str) -> None:
    panels = ctx.catalogue.of("panels")
    options: dict[ArrayOption, Bool] = {}
    x_mm, y_mm = ctx.wiring_at
    for plane, zones in ctx.case.roof_planes.items():
        for panel in panels.values():
            most = sum(len(ctx.d.at_least.get((zone.name, panel.name), ())) for zone in zones)
            for series, parallel in product(range(1, MOST_SERIES + 1), range(1, MOST_PARALLEL + 1)):
                if series * parallel > most:
                    continue
                for fuse in _fuses(ctx, panel, series, parallel):
                    option = ArrayOption(plane, panel, series, parallel, fuse)
                    fused = f":{fuse.name}" if fuse else ""
                    flag = ctx.flag(f"{regulator}:{plane}:{panel.name}:{series}s{parallel}p{fused}")
                    options[option] = flag
                    if fuse:
                        ctx.count(ctx.tables.cost_and_mass(fuse).times(parallel), flag, x_mm=x_mm, y_mm=y_mm)
    if ctx.case.brief.portable:
        option = ArrayOption("", panels[ctx.case.brief.portable.panel], 1, 1)
        options[option] = ctx.flag(f"{regulator}:portable")
    used = ctx.flag(f"{regulator}:used")
    ctx.define(total(options.values()) == used)
    ctx.d.strings[regulator] = Strings(f"array_{len(ctx.d.strings) + 1}", regulator, options, used)


def _fuses(ctx: FitOut, panel: Panel, series: int, parallel: int) -> Iterator[StringFuse | None]:
    """What each string may be fused with: nothing where so few need none, else whatever no other is cheaper and lighter
    than; of those alike the smallest."""
    if not ctx.is_active("string.parallel") or parallel < ctx.case.rules["string_fuse_from"]:
        yield None
        return
    found: dict[CostAndMass, StringFuse] = {}
    for fuse in sorted(ctx.catalogue.of("string_fuses").values(), key=lambda fuse: fuse.rating_a):
        checks = (
            ("string.fuse_over_load", fuse.rating_a >= volts.string_fuse_a(ctx.case, panel)),
            ("string.fuse_under_panel", fuse.rating_a <= panel.fuse_max_a),
            ("string.fuse_voltage", at_most(fuse.volt_max_v, MILLI) >= series * ctx.tables.cold_voc_mv(panel)),
        )
        if all([enough or not ctx.is_active(name) for name, enough in checks]):  # ask each: asking posts it
            found.setdefault(ctx.tables.cost_and_mass(fuse), fuse)
    for worth, fuse in found.items():
        if not any(w != worth and w.cents <= worth.cents and w.grams <= worth.grams for w in found):
            yield fuse


def require(ctx: FitOut) -> None:
    """Strings take up the panels; each suits its regulator, cold and hot."""
    for plane, zones in ctx.case.roof_planes.items():
        for panel in ctx.catalogue.of("panels").values():
            placed = [ctx.d.panels[key] for z in zones if (key := (z.name, panel.name)) in ctx.d.panels]
            strung = total(
                o.panels * var
                for strings in ctx.d.strings.values()
                for o, var in strings.options.items()
                if o.roof_plane == plane and o.panel is panel
            )
            if placed:
                ctx.define(total(placed) == strung)
    _portable(ctx)
    for name, strings in ctx.d.strings.items():
        slot = ctx.d.slots[name]
        if name == ALTERNATOR:
            inputs = total(v for key, v in slot.pick.items() if slot.options[key].body.solar_v_max)
            ctx.define(strings.used <= inputs)
        else:
            ctx.define(strings.used == slot.present)
        _electrics(ctx, strings, slot)
    _in_order(ctx)


def _portable(ctx: FitOut) -> None:
    inputs = total(var for strings in ctx.d.strings.values() for o, var in strings.options.items() if not o.roof_plane)
    if ctx.case.brief.portable:
        ctx.define(inputs <= 1)
        ctx.require("string.portable", inputs >= 1)


class Solar(NamedTuple):
    """A solar input, whoever has it."""

    volt_max_v: float
    isc_max_a: float
    start_above_v: float
    out_a: float
    over_panel_ratio: float


def _solar(part: Body) -> Solar:
    if isinstance(part, AlternatorCharger):
        return Solar(
            part.solar_v_max,
            part.solar_isc_max_a,
            part.solar_start_above_v,
            part.solar_out_a,
            part.solar_over_panel_ratio,
        )
    assert isinstance(part, Regulator)
    return Solar(part.pv_v_max, part.pv_isc_max_a, part.start_above_v, part.out_a, part.over_panel_ratio)


def _electrics(ctx: FitOut, strings: Strings, slot: Slot) -> None:
    tables, rules, name = ctx.tables, ctx.case.rules, strings.name

    def of_strings(weigh: Callable[[ArrayOption], int]) -> list[Figure]:
        return [(weigh(o), var) for o, var in strings.options.items()]

    inputs = {key: _solar(option.body) for key, option in slot.options.items()}

    def of_input(weigh: Callable[[Solar], int]) -> list[Figure]:
        return [(weigh(inputs[key]), var) for key, var in slot.pick.items()]

    strings.by_voltage = at_voltage(ctx, slot)

    def at_v(weigh: Callable[[Solar, float], int]) -> list[Figure]:
        return [(weigh(inputs[key], volts.nominal_v(v)), var) for (key, v), var in strings.by_voltage.items()]

    share = rules["regulator_voltage_share"]
    cold = of_strings(lambda o: o.series * tables.cold_voc_mv(o.panel))
    ctx.cover("string.cold_voltage", cold, of_input(lambda i: at_most(i.volt_max_v * share, MILLI)), name)
    ctx.cover("string.ceiling", cold, [(at_most(rules["solar_ceiling_v"], MILLI), 1)], name)
    short = of_strings(lambda o: tables.solar_ma(o.panel, o.parallel))
    ctx.cover("string.short_circuit", short, of_input(lambda i: at_most(i.isc_max_a, MILLI)), name)
    watt = of_strings(lambda o: at_least(o.panels * o.panel.watt_w))
    allowed = at_v(lambda i, v: at_most(i.over_panel_ratio * i.out_a * v))
    ctx.cover("string.over_panelling", watt, allowed, name)
    # an alternator charger may stand there without an array
    idle = [(_ANY_MV, 1 - strings.used)] if strings.regulator == ALTERNATOR else []
    open_circuit = of_strings(lambda o: o.series * tables.hot_voc_mv(o.panel))
    start = [
        (at_least(volts.charging_v(v) + inputs[key].start_above_v, MILLI), var)
        for (key, v), var in strings.by_voltage.items()
    ]
    ctx.cover("string.start_voltage", start, [*open_circuit, *idle], name)
    at_work = of_strings(lambda o: o.series * tables.hot_vmp_mv(o.panel))
    go_on = [(at_least(volts.charging_v(v) + volts.RUN_ABOVE_V, MILLI), x) for (_, v), x in strings.by_voltage.items()]
    ctx.cover("string.hot_voltage", go_on, [*at_work, *idle], name)


def _in_order(ctx: FitOut) -> None:
    """Regulators are alike until filled: the array with the higher number comes first."""
    ours = [s for s in ctx.d.strings.values() if s.regulator != ALTERNATOR]
    for first, second in pairwise(ours):
        rank = {option: i for i, option in enumerate(first.options, start=1)}
        ctx.define(
            total(rank[o] * v for o, v in first.options.items())
            >= total(rank[o] * v for o, v in second.options.items())
        )


def read(ctx: FitOut, value: Value) -> tuple[PanelArray, ...]:
    """The arrays of the build."""
    return tuple(
        PanelArray(
            name=strings.name,
            panel=option.panel.name,
            roof_plane=option.roof_plane,
            series=option.series,
            parallel=option.parallel,
            fuse=option.fuse.name if option.fuse else "",
            regulator=strings.regulator,
        )
        for strings in ctx.d.strings.values()
        for option, var in strings.options.items()
        if value(var)
    )
