"""What a build comes to in each measure, as the solver sees it: bad figures rounded up, good ones down."""

from optimiser.basis import year
from optimiser.measures import Measure
from optimiser.model import energy, mass
from optimiser.model.context import FitOut
from optimiser.model.decisions import Expr, total
from optimiser.units import GRAMS, MILLI, at_least, at_most

_PER_MILLE = 1000
_MOST_DAYS = 100 * 100  # hundredths: beyond, a bank is as good as endless
_MOST_DRAWN_MW = 100_000_000  # no fit-out draws 100 kW on average
MOST_YEAR_WH = 100_000_000

WIDTH: dict[Measure, int] = {
    "cost": 10_000_000,  # cents: no fit-out costs more
    "mass": 10_000_000,  # g
    "days_without_sun": _MOST_DAYS + 1,
    "spare_payload": 10_000_000,
    "annual_surplus": 2 * MOST_YEAR_WH,
}
"""More than any two builds differ by, which keeps a tie-break exact."""


def figure(ctx: FitOut, measure: Measure) -> Expr:
    """A measure in whole numbers of its scale."""
    if measure not in ctx.d.figures:
        ctx.d.figures[measure] = _figure(ctx, measure)
    return ctx.d.figures[measure]


def _figure(ctx: FitOut, measure: Measure) -> Expr:
    if measure == "cost":
        return mass.cost_cents(ctx)
    if measure == "mass":
        return mass.mass_g(ctx)
    if measure == "spare_payload":
        return at_most(ctx.case.brief.vehicle.payload_kg, GRAMS) - mass.mass_g(ctx)
    return _days(ctx) if measure == "days_without_sun" else _surplus_wh(ctx)


def _days(ctx: FitOut) -> Expr:
    """Hundredths of a day; the largest for which what is drawn is there."""
    usable, drawn = energy.without_sun(ctx)
    days = ctx.number(0, _MOST_DAYS, "measure:days")
    power = ctx.number(0, _MOST_DRAWN_MW, "measure:drawn")
    ctx.define(power == drawn)
    spent = ctx.number(0, _MOST_DAYS * _MOST_DRAWN_MW, "measure:spent")
    ctx.m.add_multiplication_equality(spent, [days, power])
    ctx.define(24 * spent <= 100 * usable)
    return days


def _surplus_wh(ctx: FitOut) -> Expr:
    """What the panels give in a year behind their regulators, less all that is drawn."""
    dc, sockets = year.loads_wh(ctx.case)
    drawn = energy.dc_factor(ctx, at_least(dc)) + ctx.d.slots["inverter"].picked(
        lambda o: at_least(sockets / (o.body.efficiency_pct / 100))
    )
    given = [_array_wh(ctx, name) for name in ctx.d.strings]
    # The idle draw is in mW: in thousandths of Wh the sum stays whole.
    surplus = ctx.number(-MOST_YEAR_WH, MOST_YEAR_WH, "measure:surplus")
    own = year.hours_of_year() * ctx.d.idle_mw
    own = own + total(24 * days * energy.heater_mw(ctx, day) for days, day in year.months(ctx.case))
    ctx.define(MILLI * surplus <= MILLI * (total(given) - drawn) - own)
    return surplus


def _array_wh(ctx: FitOut, name: str) -> Expr:
    """An array's year, as its regulator converts it."""
    strings, slot = ctx.d.strings[name], ctx.d.slots[ctx.d.strings[name].regulator]
    offers = {
        option: at_most(
            option.panels
            * year.panel_wh(
                ctx.case, ctx.case.roof_planes[option.roof_plane][0] if option.roof_plane else None, option.panel
            )
        )
        for option in strings.options
    }
    given = ctx.number(0, max(offers.values(), default=0), f"measure:{name}:year")
    raw = total(offers[option] * var for option, var in strings.options.items())
    efficiencies = sorted({o.body.efficiency_pct for o in slot.options.values()}, reverse=True)
    for k, percent in enumerate(efficiencies):
        ours = [slot.pick[key] for key, o in slot.options.items() if o.body.efficiency_pct == percent]
        when = [] if k == 0 else [ctx.is_sum(ours, f"measure:{name}:{percent}")]
        ctx.define(_PER_MILLE * given <= at_most(percent, 10) * raw, when)
    return given
