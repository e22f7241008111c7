"""What the survey says of vehicle, feeds and hours that may be a slip, or leaves nothing that could be fitted."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.basis import volts
from optimiser.case import Case, Scenario, Trailer
from optimiser.catalogue import Catalogue
from optimiser.checking.starting import leaves_little, too_high_words
from optimiser.parts import AlternatorCharger

Told = tuple[str, str]  # where, and what is odd of it

_PAYLOAD_KG = 1500  # no caravan or van has more left for a fit-out (common practice, no source)
_OFFSET_H = 3  # of a clock from the sun's; countries stay within it


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
    yield from _of_kept(case, catalogue)
    for scenario in case.scenarios:
        yield from _of_start(scenario)


def _of_masses(case: Case) -> Iterator[Told]:
    vehicle = case.brief.vehicle
    if vehicle.payload_kg > _PAYLOAD_KG:
        yield "vehicle", f"payload of {vehicle.payload_kg:g} kg; seldom is more than {_PAYLOAD_KG} left for a fit-out"
    if isinstance(vehicle, Trailer):
        loads = [("axle", vehicle.base_axle_kg, vehicle.axle_max_kg)]
        loads += [("hitch", vehicle.base_hitch_kg, vehicle.hitch_max_kg)]
    else:
        loads = [("front axle", vehicle.base_front_kg, vehicle.front_max_kg)]
        loads += [("rear axle", vehicle.base_rear_kg, vehicle.rear_max_kg)]
    for name, now_kg, most_kg in loads:
        if now_kg > most_kg:
            yield name, f"carries {now_kg:g} kg before the fit-out, {most_kg:g} kg allowed"


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
        yield "inlet", f"rated {inlet.rating_a:g} A, and the thickest mains cable of the catalogue stands {most_a:g} A"


def _of_kept(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    alternator, ours = case.brief.alternator, case.brief.system_voltages
    for kept in case.keep:
        part = catalogue.find(kept.part) if kept.kind == "part" else None
        system_v = getattr(part, "system_v", ours)
        fits = system_v if isinstance(system_v, tuple) else (system_v,)
        if not set(fits) & set(ours):
            made, banks = (" or ".join(map(str, v)) for v in (fits, ours))
            yield f"keep {kept.name}", f"{kept.part} is for {made} V, and the bank may have {banks} V"
        if isinstance(part, AlternatorCharger) and alternator and part.input_v != alternator.system_v:
            text = f"{kept.part} takes {part.input_v} V, and the alternator gives {alternator.system_v} V"
            yield f"keep {kept.name}", text


def _of_start(scenario: Scenario) -> Iterator[Told]:
    if leaves_little(scenario):
        yield f"scenario {scenario.name}", too_high_words(scenario)
