"""Air of the bays: heat of the parts and what carries it off, vents, and the gas of lead-acid batteries."""

from collections.abc import Iterator

from optimiser.basis import air
from optimiser.basis.vents import EDGE_MM, high_enough, opening_mm, wall_mm
from optimiser.case import Bay
from optimiser.connections import CHARGERS, slot_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Slot, Stand, total
from optimiser.parts import AlternatorCharger, Inverter, Module, Regulator
from optimiser.physics import heat
from optimiser.units import MILLI, at_least, at_most

STATES = ("driving", "hook_up")
_MOST_MW = 10_000_000  # no part gives off 10 kW


def require(ctx: FitOut) -> None:
    """Heat, vents and hydrogen of every bay."""
    for bay in ctx.case.bays:
        _heat(ctx, bay)
        _vents(ctx, bay)


def _heat(ctx: FitOut, bay: Bay) -> None:
    """Walls and vents carry off what parts give, at the warmest air allowed; in the bank's bay, that it charges in."""
    given = {state: total(_given(ctx, bay, state)) for state in STATES}
    airs: list[tuple[float, list[Bool]]] = [(ctx.case.limits.bay_air_max_c, [])]
    airs += [(air_c, [here]) for air_c, here in _bank_airs(ctx, bay)]
    for air_c, when in airs:
        carried = _carried(ctx, bay, air_c)
        for use in [[]] if when or _cool(ctx, bay, air_c) else _uses(ctx, bay):
            for watt in given.values():
                ctx.require("bay.heat", watt <= carried, bay.name, [*when, *use])


def _cool(ctx: FitOut, bay: Bay, air_c: float) -> bool:
    """Whether its air is no warmer by itself, so that it need not be known whether the bay is used."""
    return ctx.tables.bay_walls_mw(bay, air_c) + ctx.tables.stack_mw(bay, bay.vent_cm2, air_c) >= 0


def _uses(ctx: FitOut, bay: Bay) -> list[list[Bool]]:
    """Flags of which one holds wherever something is in the bay; nothing that stays and warms it waits for them."""
    if any(k.heat_w for k in ctx.case.existing if k.kind != "part" and ctx.case.board_of[k.board].bay == bay.name):
        return [[]]
    places = [slot.at for slot in ctx.d.slots.values()] + [row.at for row in ctx.d.rows.values()]
    bodies = [at[bay.name] for at in places if bay.name in at]
    routes = [route for run in ctx.d.runs.values() for route in run.routes]
    through = [r.var for r in routes if any(bay.name in (way.start, way.end) for way in r.path.ways)]
    return [[flag] for flag in (*bodies, *through)]


def _bank_airs(ctx: FitOut, bay: Bay) -> Iterator[tuple[float, Bool]]:
    """Warmest air that banks still charge in, where it is below that allowed: with whether such a bank is here."""
    here: dict[float, list[Bool]] = {}
    for stand in ctx.d.slots["bank"].stands:
        assert isinstance(stand.option.body, Module)
        if stand.board.bay == bay.name:
            here.setdefault(stand.option.body.charge_max_c, []).append(stand.var)
    for air_c, stands in here.items():
        if air_c < ctx.case.limits.bay_air_max_c:
            yield air_c, ctx.is_sum(stands, f"bank@{bay.name}:{air_c}")


def _carried(ctx: FitOut, bay: Bay, air_c: float) -> Expr:
    tables = ctx.tables
    cut: Expr = 0
    for vent in ctx.catalogue.of("vents").values():
        if (bay.name, vent.name) in ctx.d.vents:
            fan = vent.kind == "fan"
            each = tables.fan_mw(bay, vent.flow_m3_h, air_c) if fan else tables.stack_mw(bay, vent.free_area_cm2, air_c)
            cut = cut + each * ctx.d.vents[bay.name, vent.name]
    return tables.bay_walls_mw(bay, air_c) + tables.stack_mw(bay, bay.vent_cm2, air_c) + cut


def _given(ctx: FitOut, bay: Bay, state: str) -> Iterator[Expr]:
    """What each thing in a bay gives off while driving or on hook-up [mW]."""
    for existing in ctx.case.existing:
        if existing.kind != "part" and ctx.case.board_of[existing.board].bay == bay.name:
            yield at_least(existing.heat_w, MILLI)
    for slot in ctx.d.slots.values():
        stands = [s for s in slot.stands if s.board.bay == bay.name]
        if not stands or slot.name == "main_fuse":
            continue
        if slot.name in ctx.d.strings and slot.name.startswith("regulator_"):
            yield _regulator(ctx, bay, slot)
        elif slot.name == "alternator_charger":
            yield _alternator(ctx, bay, slot, stands, state)
        elif slot.name not in CHARGERS or state in slot_of(slot.name).works:
            yield total(_watt(ctx, stand, state) * stand.var for stand in stands)


def _watt(ctx: FitOut, stand: Stand, state: str) -> int:
    body, watt = stand.option.body, ctx.tables.heat_mw(stand.option.body, stand.option.count)
    if isinstance(body, Inverter) and body.transfers and state == "hook_up":
        return max(watt, ctx.tables.charging_heat_mw(body))
    return watt


def _regulator(ctx: FitOut, bay: Bay, slot: Slot) -> Expr:
    """More volts are more watts to convert, so the heat is that of part and system voltage together."""
    strings = ctx.d.strings[slot.name]
    heats = [
        (ctx.tables.regulator_heat_mw(body, system_v), var)
        for (key, system_v), var in strings.by_voltage.items()
        for body in [slot.options[key].body]
        if isinstance(body, Regulator)
    ]
    return _where(ctx, total(watt * var for watt, var in heats), f"{slot.name}:heat:{bay.name}", [slot.at[bay.name]])


def _alternator(ctx: FitOut, bay: Bay, slot: Slot, stands: list[Stand], state: str) -> Expr:
    """Warm while driving; on hook-up only by its own panels, where it has some."""

    def heats(with_solar: bool) -> Expr:
        bodies = [(s.option.body, s.var) for s in stands if isinstance(s.option.body, AlternatorCharger)]
        return total(ctx.tables.alternator_heat_mw(body, with_solar=with_solar) * var for body, var in bodies)

    own = ctx.d.strings.get(slot.name)
    alone = heats(False) if state == "driving" else 0
    if own is None:
        return alone
    watt = _where(ctx, heats(True), f"{slot.name}:heat:{bay.name}:{state}", [own.used])
    if not isinstance(alone, int):
        ctx.define(watt >= alone)
    return watt


def _where(ctx: FitOut, watt: Expr, name: str, when: list[Bool]) -> Expr:
    """A heat that counts only where all of ``when`` hold."""
    if isinstance(watt, int):
        return watt
    counted = ctx.number(0, _MOST_MW, name)
    ctx.define(counted >= watt, when)
    return counted


def _vents(ctx: FitOut, bay: Bay) -> None:
    ours = {v: n for v in ctx.catalogue.of("vents").values() if (n := ctx.d.vents.get((bay.name, v.name))) is not None}
    cut = total(at_least(v.cut_out_cm2, MILLI) * n for v, n in ours.items())
    cm2 = ctx.limit(f"bay.{bay.name}.cut_out_max_cm2", bay.cut_out_max_cm2, lambda cm2: at_most(cm2, MILLI))
    ctx.require("bay.vents", cut <= cm2, bay.name)
    side_by_side = total((opening_mm(bay, v)[0] + EDGE_MM) * n for v, n in ours.items())
    ctx.require("bay.vent_place", side_by_side <= max(0, wall_mm(ctx.case, bay) - EDGE_MM), bay.name)
    too_high = total(n for v, n in ours.items() if not high_enough(bay, v))
    ctx.require("bay.vent_place", too_high == 0, bay.name)
    gas = ctx.case.rules["hydrogen_gas_ma_per_ah"]
    wanted = sum(  # of all that stand there, since they share the air
        heat.hydrogen_vent_cm2(cells=k.cells, capacity_ah=k.capacity_ah, gas_ma_per_ah=gas)
        for k in ctx.case.existing
        if k.kind == "lead_acid" and k.board.split(".")[0] == bay.name
    )
    if wanted:
        free = total(at_most(v.free_area_cm2, MILLI) * n for v, n in ours.items() if v.kind == "grille")
        out = 0 if air.breathes_cabin(bay) else free + at_most(bay.vent_cm2, MILLI)  # into the room is not out
        ctx.require("bay.hydrogen", out >= at_least(wanted, MILLI), bay.name)
