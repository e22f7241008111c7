"""For each requirement, the values that a fitter could move to ease it.

The register says how far its limit moves; which way eases it is said here, as the limit of some stands on the
other side of the comparison: a longer board eases `bay.board`, a fuse that breaks more `run.fuse_breaking`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves import bays, runs
from optimiser.moves.lever import Lever
from optimiser.moves.lever_makers import Ask, Maker, files, one, rows, rule, starts, turned, watts
from optimiser.moves.move import MoveProblem
from optimiser.parts import AlternatorCharger
from optimiser.reading.wording import among, nearest
from optimiser.requirements import REGISTER

_REQUIREMENT = re.compile(r"([a-z._]+)(?:\[(.+)\])?")
_INVERTERS = ("inverters", "inverter_chargers")
_VOLTAGES = (12, 24, 48)


def levers(case: Case, catalogue: Catalogue, requirement: str) -> tuple[Lever, ...]:
    """The values that ease a requirement, which may carry a place; none where nothing of case or catalogue does.

    Raises
    ------
    MoveProblem
        If there is no such requirement, or no such place.
    """
    match = _REQUIREMENT.fullmatch(requirement)
    name, place = (match[1], match[2] or "") if match else (requirement, "")
    if name not in REGISTER:
        wanted = nearest(name, REGISTER) or f"one of {', '.join(REGISTER)}"
        raise MoveProblem(f"{requirement}: no such requirement; expected {wanted}")
    ask = Ask(case, catalogue, name, place)
    try:
        found = [lever for maker in _LEVERS.get(name, ()) for lever in maker(ask)]
    except MoveProblem as problem:
        known = str(problem).removeprefix(f"{requirement}: ")
        raise MoveProblem(f"{requirement}: {known}") from None
    return tuple(dict.fromkeys(found))


def _more_voltages(ask: Ask) -> Iterator[Lever]:
    allowed = ask.case.brief.system_voltages
    for volt in _VOLTAGES:
        if volt not in allowed:
            to = " ".join(str(v) for v in sorted({*allowed, volt}))
            yield Lever("case.system_voltages", None, "", f"a system of {volt} V allowed as well", act=True, to=to)


def _breaking(ask: Ask) -> Iterator[Lever]:
    """Of fuses at the voltage of what drives the fault: bank, alternator or 12 V panel."""
    alternator, found = ask.case.brief.alternator, set(ask.case.brief.system_voltages)
    if ask.place.startswith("pass_"):
        found = {12}
    elif alternator and ask.place == "alternator_feed":
        found = {alternator.system_v}
    elif alternator and not ask.place:
        found |= {alternator.system_v}
    for volt in sorted(found):
        words = f"breaking capacity of {{}} at {volt} V"
        yield from files("fuses", column=f"breaking_{volt}v_a", sign=+1, words=words)(ask)


_CHARGERS = {"alternator_charger": "an alternator charger", "mains_charger": "a mains charger"}


def _left_open(ask: Ask) -> Iterator[Lever]:
    """A charger that must or must not be there left open."""
    if ask.place and ask.place not in _CHARGERS:
        raise MoveProblem(f"no charger {ask.place!r}; expected {among(ask.place, _CHARGERS)}")
    for charger, what in _CHARGERS.items():
        choice = getattr(ask.case.brief, charger)
        if ask.place in ("", charger) and choice != "may":
            words = f"{what} {'no longer wanted by all means' if choice == 'must' else 'allowed'}"
            yield Lever(f"case.{charger}", None, "", words, act=True, to="may")


def _fed_on_hook_up(ask: Ask) -> Iterator[Lever]:
    """Circuits that need no inverter any more; all of them, or one is still there."""
    for circuit in ask.case.circuits_from("inverter"):
        words = f"circuit {circuit} fed on hook-up only"
        yield Lever(f"circuit.{circuit}.source", None, "", words, act=True, to="hook_up")


def _other_feeds(ask: Ask) -> Iterator[Lever]:
    """An alternator that some charger takes, where none takes the one there is."""
    made_for = {c.input_v for c in ask.catalogue.of("alternator_chargers").values() if isinstance(c, AlternatorCharger)}
    alternator = ask.case.brief.alternator
    if alternator and alternator.system_v not in made_for:
        for volt in sorted(made_for):
            yield Lever("alternator.system_v", None, "", f"an alternator of {volt} V", act=True, to=str(volt))


def _axles(ask: Ask) -> Iterator[Lever]:
    columns = {"axle": "axle_max_kg", "front axle": "front_max_kg", "rear axle": "rear_max_kg"}
    if ask.place and ask.place not in columns:
        raise MoveProblem(f"no axle {ask.place!r}; expected {among(ask.place, columns)}")
    for axle, column in columns.items():
        if ask.place in ("", axle):
            yield from one(f"vehicle.{column}", +1, f"load allowed on the {axle}")(ask)


def _sealing(ask: Ask) -> Iterator[Lever]:
    """The roof's class is no value of a case; that of a pass-through is the brief's."""
    yield from files("entries", column="ip_class", sign=+1, words="IP class of {}")(ask)
    if not ask.place or any(p.name == ask.place for p in ask.case.brief.pass_throughs):
        yield from rows("pass_through", "ip_class", -1, "IP class wanted of pass-through {}")(ask)


def _above_zero(value: float) -> bool:
    return value > 0


_LEVERS: dict[str, tuple[Maker, ...]] = {
    # roof
    "roof.panel_gap": (one("limits.panel_gap_mm", -1, "gap between panels"),),
    "roof.set_back": (rows("zone", "set_back_mm", -1, "set-back of zone {}"),),
    "roof.front_set_back": (rows("zone", "front_set_back_mm", -1, "front set-back of zone {}"),),
    "roof.obstacle": (rows("obstacle", "clear_mm", -1, "clearance around {}"),),
    "roof.lid": (rows("obstacle", "lid_reach_mm", -1, "reach of the lid of {}", where=lambda o: o.lid_side != "none"),),
    "roof.shadow": (rule("shadow_elevation_deg", +1, "lowest sun elevation kept free of shadows"),),
    "roof.walkway": (rows("zone", "walkway_mm", -1, "walkway of zone {}", where=lambda zone: zone.walkway_mm > 0),),
    "roof.mass": (rows("zone", "mass_max_kg", +1, "load allowed on zone {}"),),
    "roof.crown": (one("limits.crown_gap_mm", +1, "gap allowed under rigid panels"),),
    "roof.bend": (files("panels", column="bend_radius_mm", sign=-1, words="bend radius of flexible panels"),),
    "roof.rigid": (
        turned("zone", "rigid", "yes", "rigid panels allowed on zone {}", where=lambda zone: not zone.rigid),
    ),
    # strings
    "string.regulators": (one("limits.regulators_at_most", +1, "regulators allowed"),),
    "string.system_voltage": (_other_feeds,),
    "string.parallel": (rule("string_fuse_from", +1, "strings in parallel before each wants a fuse"),),
    "string.cold_voltage": (
        one("place.record_low_c", +1, "coldest morning", step=1),
        files("regulators", column="pv_v_max", sign=+1, words="panel voltage that {} stand"),
        files("alternator_chargers", column="solar_v_max", sign=+1, words="panel voltage that {} stand"),
    ),
    "string.ceiling": (
        one("place.record_low_c", +1, "coldest morning", step=1),
        rule("solar_ceiling_v", +1, "voltage allowed on the roof"),
    ),
    "string.start_voltage": (
        one("place.record_high_c", -1, "hottest air", step=1),
        files("regulators", column="start_above_v", sign=-1, words="start voltage of {}"),
        files("alternator_chargers", column="solar_start_above_v", sign=-1, words="start voltage of {}"),
    ),
    "string.hot_voltage": (one("place.record_high_c", -1, "hottest air", step=1),),
    "string.short_circuit": (
        files("regulators", column="pv_isc_max_a", sign=+1, words="panel current that {} stand"),
        files("alternator_chargers", column="solar_isc_max_a", sign=+1, words="panel current that {} stand"),
    ),
    "string.over_panelling": (
        files("regulators", column="over_panel_ratio", sign=+1, words="panel watts a watt of {}"),
        files("alternator_chargers", column="solar_over_panel_ratio", sign=+1, words="panel watts a watt of {}"),
    ),
    # battery
    "battery.voltage": (_more_voltages,),
    "battery.parallel": (files("modules", column="parallel_max", sign=+1, words="{} in parallel"),),
    "battery.series": (files("modules", column="series_max", sign=+1, words="{} in series"),),
    "battery.discharge": (
        watts("inverter"),
        files("modules", column="discharge_a", sign=+1, words="discharge current of {}"),
    ),
    "battery.surge": (
        starts("inverter"),
        files("modules", column="surge_a", sign=+1, words="surge current of {}"),
    ),
    "battery.charge": (files("modules", column="charge_a", sign=+1, words="charge current of {}"),),
    "battery.cold": (bays.warmer_bays,),
    "battery.place": (bays.bank_allowed,),
    "battery.module_fuse": (rule("module_fuse_from_ah", +1, "bank that needs no fuse for each module"),),
    "battery.module_over_load": (rule("fuse_over_load", -1, "fuse rating for each ampere of load"),),
    "battery.module_breaking": (_breaking,),
    "battery.lead_acid": (bays.sealed_off,),
    # converters
    "inverter.present": (_fed_on_hook_up,),
    "charge.wanted": (_left_open,),
    "inverter.power": (watts("inverter"),),
    "inverter.surge": (starts("inverter"),),
    "inverter.sag": (
        starts("inverter"),
        files(*_INVERTERS, column="cut_off_v", sign=-1, words="cut-off of {}"),
    ),
    "inverter.transfer": (
        one("inlet.rating_a", -1, "rating of the inlet"),
        files(*_INVERTERS, column="transfer_a", sign=+1, words="transfer current of {}", where=lambda i: i.transfers),
    ),
    "charge.alternator": (
        one("alternator.rating_a", +1, "rating of the alternator", step=10),
        rule("alternator_share", +1, "share of the alternator"),
    ),
    "charge.plug": (one("alternator.plug_a", +1, "rating of the feed's plug"),),
    "charge.inlet": (one("inlet.rating_a", +1, "rating of the inlet"), watts("hook_up")),
    "charge.recharge": (one("limits.recharge_h", +1, "to fill the bank on hook-up"),),
    "charge.step_down": (files("step_downs", column="out_a", sign=+1, words="output of {}"),),
    # bays
    "bay.board": (bays.longer_boards,),
    "bay.depth": (bays.deeper_boards,),
    "bay.opening": (bays.wider_openings,),
    "bay.clearance": (bays.longer_boards, bays.less_clearance),
    "bay.heat": (
        one("limits.bay_air_max_c", +1, "air allowed in bays"),
        rows("bay", "cut_out_max_cm2", +1, "vent cut-out allowed in bay {}", like="bay.vents"),
        files("modules", column="charge_max_c", sign=+1, words="warmest air that {} are charged in"),
    ),
    "bay.vents": (rows("bay", "cut_out_max_cm2", +1, "vent cut-out allowed in bay {}"),),
    "bay.vent_place": (
        rows("bay", "length_mm", +1, "length of bay {}"),
        rows("bay", "height_mm", +1, "height of bay {}"),
    ),
    "bay.hydrogen": (bays.more_vents, bays.sealed_off),
    "bay.electronics": (bays.electronics_allowed,),
    "bay.reach": (bays.reached,),
    "bay.sight": (bays.seen,),
    "bay.mass": (rows("bay", "mass_max_kg", +1, "load allowed in bay {}"),),
    # runs and ways
    "run.length": (bays.longer_leads,),
    "run.section": (runs.sections,),
    "run.ampacity": (
        files("cables", column="ampacity_a", sign=+1, words="current that {} stand in free air"),
        files("cables", column="duct_ampacity_a", sign=+1, words="current that {} stand in a closed duct"),
    ),
    "run.terminal_heat": (
        rule("terminal_c", +1, "temperature that terminals stand"),
        files("cables", column="ampacity_a", sign=+1, words="current that {} stand in free air"),
    ),
    "run.copper": (files("cables", column="insulation_c", sign=+1, words="temperature that insulation of {} stands"),),
    "run.drop": (runs.drops,),
    "run.terminal": (runs.terminals,),
    "run.fuse_over_load": (rule("fuse_over_load", -1, "fuse rating for each ampere of load"),),
    "run.fuse_under_cable": (rule("fuse_of_ampacity", +1, "fuse rating for each ampere its cable stands"),),
    "run.fuse_breaking": (_breaking,),
    "run.fuse_voltage": (files("fuses", column="volt_max_v", sign=+1, words="voltage of {}"),),
    "run.fuse_holder": (files("holders", column="rating_max_a", sign=+1, words="rating of {}"),),
    "run.fuse_distance": (rule("fuse_distance_mm", +1, "from the bank to its main fuse"),),
    "run.tail_distance": (rule("tail_distance_mm", +1, "from the busbars to the row of fuses"),),
    "way.fill": (rows("way", "bore_mm", +1, "bore of way {}"),),
    "way.apart": (turned("way", "divided", "yes", "way {} divided in two", where=lambda way: not way.divided),),
    "way.carries": (
        turned("way", "carries", "any", "any cable allowed on way {}", where=lambda way: way.carries != "any"),
    ),
    # shared parts
    "protect.isolator": (files("isolators", column="rating_a", sign=+1, words="rating of {}"),),
    "protect.busbar": (files("busbars", column="rating_a", sign=+1, words="rating of {}"),),
    "protect.studs": (files("busbars", column="studs", sign=+1, words="studs on {}"),),
    "protect.mains_box": (files("mains_boxes", column="circuits", sign=+1, words="circuits of {}"),),
    "protect.inlet_breaker": (files("mains_boxes", column="inlet_a", sign=+1, words="inlet current of {}"),),
    "measure.channels": (files("shunts", column="channels", sign=+1, words="channels of {}"),),
    "measure.display": (files("displays", column="channels", sign=+1, words="channels of {}"),),
    "entry.sealing": (_sealing,),
    "entry.cables": (files("entries", column="cables", sign=+1, words="cables through {}"),),
    "entry.skin": (
        turned(
            "board",
            "skin",
            "yes",
            "board {} on an outside wall",
            placed_there=False,
            where=lambda board: not board.skin,
        ),
    ),
    # energy, mass, money
    "energy.floor": (
        one("limits.soc_floor_pct", -1, "floor of the bank's charge"),
        rows("scenario", "start_pct", +1, "charge at the start of {}", where=lambda scenario: scenario.start_pct < 100),
        bays.warmer_banks,
    ),
    "energy.returns": (
        rows("scenario", "start_pct", -1, "charge at the start of {}", where=lambda scenario: scenario.returns),
    ),
    "energy.autonomy": (one("limits.autonomy_days", -1, "days without sun", where=_above_zero), bays.warmer_banks),
    "mass.payload": (one("vehicle.payload_kg", +1, "payload"),),
    "mass.axle": (_axles,),
    "mass.hitch_low": (one("vehicle.hitch_min_kg", -1, "least hitch load wanted", where=_above_zero),),
    "mass.hitch_high": (one("vehicle.hitch_max_kg", +1, "allowed hitch load"),),
    "mass.balance": (one("vehicle.balance_max_kg", +1, "difference allowed between the sides"),),
    "money.budget": (one("limits.budget", +1, "budget"),),
}
"""Requirement -> what makes its levers. What has none is what a build is, or a yes or no of brief or maker."""
