"""What the survey and the catalogue say that may be a slip, or leaves nothing that could be fitted."""

from collections.abc import Iterable, Iterator

from optimiser.basis import volts
from optimiser.case import Case, Scenario
from optimiser.catalogue import Catalogue
from optimiser.parts import AlternatorCharger, Inverter, MainsCharger, Module, Panel, Part, Regulator, StepDown
from optimiser.physics import heat
from optimiser.units import at_least

# --- what the survey says of vehicle, feeds and hours that may be a slip, or leaves nothing that could be fitted


Told = tuple[str, str]  # where, and what is odd of it

_PAYLOAD_KG = 1500  # no caravan or van has more left for a fit-out (common practice, no source)
_OFFSET_H = 3  # of a clock from the sun's; countries stay within it
_INVERTERS = ("inverters", "inverter_chargers")


def odd_survey(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    """Everything odd about vehicle, place, feeds, what stays and the start of scenarios."""
    yield from _of_masses(case)
    place = case.brief.place
    solar_h = place.longitude / 15
    if abs(place.utc_offset_h - solar_h) > _OFFSET_H:
        text = f"longitude {place.longitude:g} has its noon at UTC{solar_h:+.1f}, and utc_offset_h is"
        yield "place", f"{text} {place.utc_offset_h:+g}"
    yield from _of_feed(case, catalogue)
    yield from _of_inlet(case, catalogue)
    yield from _of_solar_cables(case, catalogue)
    yield from _of_existing(case, catalogue)
    yield from _of_sizes(case, catalogue)
    for scenario in case.scenarios:
        yield from _of_start(scenario)


def _of_masses(case: Case) -> Iterator[Told]:
    vehicle = case.brief.vehicle
    if vehicle.payload_kg > _PAYLOAD_KG:
        yield "vehicle", f"payload of {vehicle.payload_kg:g} kg; seldom is more than {_PAYLOAD_KG} left for a fit-out"
    for support in vehicle.supports:
        if support.base_kg > support.most_kg:
            yield support.name, f"carries {support.base_kg:g} kg before the fit-out, {support.most_kg:g} kg allowed"


def _of_feed(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    alternator = case.brief.alternator
    if alternator is None or case.brief.alternator_charger == "no":
        return
    allowed_a = min(case.rules["alternator_share"] * alternator.rating_a, alternator.plug_a or alternator.rating_a)
    chargers = [c for c in catalogue.of("alternator_chargers").values() if c.system_v in case.brief.system_voltages]
    takes = [volts.feed_current_a(c) for c in chargers if c.input_v == alternator.system_v]
    if not takes:
        banks = " or ".join(str(v) for v in case.brief.system_voltages)
        yield "alternator", f"no charger of the catalogue takes {alternator.system_v} V and charges a bank of {banks} V"
    elif min(takes) > allowed_a:
        yield "alternator", f"the smallest charger draws {min(takes):.1f} A of it, {allowed_a:.1f} A allowed"


def _of_inlet(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    inlet = case.brief.inlet
    most_a = max((c.ampacity_a for c in catalogue.of("cables").values() if c.kind == "mains"), default=0)
    if inlet and inlet.rating_a > most_a:
        yield (
            "inlet",
            f"rated {inlet.rating_a:g} A, and the thickest mains cable of the catalogue is rated {most_a:g} A",
        )


def _of_existing(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    alternator, inlet, ours = case.brief.alternator, case.brief.inlet, case.brief.system_voltages
    for row in case.existing:
        part = catalogue.find(row.part) if row.kind == "part" else None
        system_v = getattr(part, "system_v", ours)
        fits = system_v if isinstance(system_v, tuple) else (system_v,)
        if not set(fits) & set(ours):
            made, banks = (" or ".join(map(str, v)) for v in (fits, ours))
            yield f"existing {row.name}", f"{row.part} is for {made} V, and the bank may have {banks} V"
        if isinstance(part, AlternatorCharger) and alternator and part.input_v != alternator.system_v:
            text = f"{row.part} takes {part.input_v} V, and the alternator gives {alternator.system_v} V"
            yield f"existing {row.name}", text
        if isinstance(part, AlternatorCharger) and not alternator:
            yield f"existing {row.name}", f"{row.part} is fed from an alternator, and the brief has none"
        if isinstance(part, MainsCharger) and not inlet:
            yield f"existing {row.name}", f"{row.part} is fed on hook-up, and the brief has no inlet"


def _of_sizes(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    """Sizes asked for beyond all that the catalogue has for such a bank, or the zones have room for."""
    ours = case.brief.system_voltages
    inverters = [i for key in _INVERTERS for i in catalogue.of(key).values() if isinstance(i, Inverter)]
    chargers = [c for c in catalogue.of("mains_chargers").values() if isinstance(c, MainsCharger)]
    modules = [m for m in catalogue.of("modules").values() if isinstance(m, Module)]
    panels = [p for p in catalogue.of("panels").values() if isinstance(p, Panel) and p.kind != "portable"]
    charged_a = max(_largest_a(chargers, volt) + _largest_a(inverters, volt) for volt in ours)
    densest = max((panel.watt_w / (panel.length_mm * panel.width_mm) for panel in panels), default=0)
    most = (
        (
            *("mains_charge_a", "A", heat.charger_derate(air_c=case.limits.bay_air_max_c) * charged_a),
            "the largest mains charger and inverter-charger together, derated, give",
        ),
        (
            *("solar_w", "W", float(at_least(densest * sum(zone.length_mm * zone.width_mm for zone in case.zones)))),
            "zones full of the densest panels would have at most",
        ),
        (
            *("bank_ah", "Ah", max((_largest_ah(m, volt) for m in modules for volt in ours), default=0)),
            "the largest bank, counted at 12 V, has",
        ),
        (
            *("inverter_w", "W", max((i.watt_25c_w for i in inverters if i.system_v in ours), default=0)),
            "the largest inverter of the catalogue has",
        ),
    )
    for column, unit, there_is, what in most:
        asked = getattr(case.limits, column)
        if asked > there_is:
            yield "limits", f"{column} asks for {asked:g} {unit}, and {what} {there_is:g} {unit}"


def _largest_a(chargers: Iterable[MainsCharger | Inverter], volt: int) -> float:
    return max((charger.charge_a for charger in chargers if charger.system_v == volt), default=0)


def _largest_ah(module: Module, volt: int) -> float:
    """Of all that its maker allows in parallel; 0 where so many in series make no such voltage."""
    series = round(volts.nominal_v(volt) / module.nominal_v)
    return module.capacity_ah * module.parallel_max * volt / 12 if 1 <= series <= module.series_max else 0


def _of_start(scenario: Scenario) -> Iterator[Told]:
    if leaves_little(scenario):
        yield f"scenario {scenario.name}", too_high_words(scenario)


# --- the catalogue: parts outside what the trade sells, and kinds that are missing


_KG_M2 = {  # around what the trade has (memory)
    "rigid": (8, 16),  # glass in a frame: 11.2 to 11.6
    "flexible": (2, 5),  # 2.6 to 3.0
    "portable": (4, 12),  # folding, with cloth and legs
}
_WH_KG = (80, 160)  # of lithium iron phosphate modules, 98 to 121 in the trade (memory)
_LEAD_ACID = "25 to 50"  # likewise (memory)
_HEAT = (0.5, 2)  # of what the efficiency loses at rated load: rounded figures of two data sheets (common practice)
_CHARGING = 1.125  # volts of a bank while it charges, for each of its nominal ones
_NEEDED = {  # kind of cable -> class of parts that nothing else can connect, and what then cannot be
    "dc": ("modules", "nothing can be connected"),
    "solar": ("panels", "no panel can be connected"),
    "mains": ("mains_boxes", "no mains circuit can be fed"),
}


def odd_catalogue(catalogue: Catalogue) -> Iterator[Told]:
    """Kinds of cable that are missing, and parts unlike what the trade sells."""
    kinds = {cable.kind for cable in catalogue.of("cables").values()}
    for kind, (users, then) in _NEEDED.items():
        if kind not in kinds and catalogue.of(users):
            yield "cables.csv:kind", f"no row is {kind}, so {then}; expected a cable of that kind"
    for name, text in odd_parts(catalogue):
        yield f"part {name}", text


def odd_parts(catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """Name of a part, and what is odd about it."""
    for table in catalogue.tables.values():
        for part in table.values():
            for text in _of(part):
                yield part.name, text


def _of_solar_cables(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    """Panels whose current no solar cable carries, even in free air and by itself."""
    taken_twice = case.rules["solar_continuous_factor"]
    most_a = max((c.ampacity_a for c in catalogue.of("cables").values() if c.kind == "solar"), default=0)
    for panel in catalogue.of("panels").values():
        current_a = taken_twice * volts.solar_current_a(case, panel, parallel=1)
        if 0 < most_a < current_a:
            text = f"needs a cable of {current_a:.1f} A, and the largest solar one of cables.csv carries {most_a:g} A"
            yield f"part {panel.name}", text


def _of(part: Part) -> Iterator[str]:
    if isinstance(part, Panel):
        area_m2 = part.length_mm * part.width_mm / 1e6
        low, high = _KG_M2[part.kind]
        if not low <= part.mass_kg / area_m2 <= high:
            yield f"{part.mass_kg / area_m2:.2g} kg/m2, and {part.kind} panels have {low} to {high}"
    if isinstance(part, Module):
        energy_wh = part.nominal_v * part.capacity_ah
        low, high = _WH_KG
        if not low * part.mass_kg <= energy_wh <= high * part.mass_kg:
            known = f"lithium iron phosphate stores {low} to {high} Wh a kg, lead-acid {_LEAD_ACID}"
            yield f"{energy_wh:.0f} Wh in {part.mass_kg:g} kg, and {known}"
    lost_w = _lost_w(part)
    if lost_w is not None:
        heat_w = getattr(part, "heat_w", 0)
        if not _HEAT[0] * lost_w <= heat_w <= _HEAT[1] * lost_w:
            yield f"heats {heat_w:g} W, and by its efficiency it loses {lost_w:.0f} W at rated load"


def _lost_w(part: Part) -> float | None:
    """What a converter loses at its rating [W]; None for anything else."""
    out_w: float
    if isinstance(part, Inverter):
        out_w = part.watt_25c_w
    elif isinstance(part, Regulator):
        out_w = part.out_a * max(part.system_v) * _CHARGING
    elif isinstance(part, MainsCharger | AlternatorCharger):
        out_w = part.charge_a * part.system_v * _CHARGING
    elif isinstance(part, StepDown):
        out_w = part.out_a * 12 * _CHARGING
    else:
        return None
    return out_w * (100 / part.efficiency_pct - 1)


# --- what the charge at the start of a scenario leaves room for, in words -----------------------------


_MORNING_H = (4, 10)


def leaves_little(scenario: Scenario) -> bool:
    """Whether it begins before the sun fills the bank and must come back to where it began."""
    low, high = _MORNING_H
    return scenario.returns and scenario.start_pct < 100 and low <= scenario.start_h <= high


def too_high_words(scenario: Scenario) -> str:
    """What a day can fill of a bank that must end where it began, and which value says so."""
    start = f"{_begins(scenario)} and must end there: only the top {100 - scenario.start_pct:g} % can be filled"
    return f"{start}; a lower {_value(scenario)} leaves the day more to fill"


def too_low_words(case: Case, scenario: Scenario) -> str:
    """What can be drawn of a bank before a source comes, and which value says so."""
    floor = case.limits.soc_floor_pct
    left = f"{floor:g} % is the floor: only {scenario.start_pct - floor:g} % can be drawn before a source comes"
    return f"{_begins(scenario)}, {left}; a higher {_value(scenario)} leaves more to draw"


def _begins(scenario: Scenario) -> str:
    return f"begins at {scenario.start_pct:g} % at {scenario.start_h:02}:00"


def _value(scenario: Scenario) -> str:
    return f"scenario.{scenario.name}.start_pct"
