"""What fixings have to stand: wind that lifts the panels, a crash that throws what is heavy. Told, held to nothing.

How strong feet, glue, boards and the roof are is in no catalogue and no survey.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.connections import ROWS
from optimiser.fitted.fit import Fit
from optimiser.fixings.feet import FOOT_MM
from optimiser.parts import Panel, Part
from optimiser.physics import forces

UNKNOWN = "strength of feet, glue, boards and roof is not known to the program"

HEAVY_KG = 1.0
"""From this mass a body's restraint is told (common practice, no source)."""

BEARING_FEET = 4
"""Feet of a panel that are counted on. A frame is stiff: as a beam on three supports it leaves the middle pair of six
under a tenth of the load (statics, computed), so all of it is laid on the four outer ones."""

_MM2_IN_M2 = 1e6
_MM2_IN_CM2 = 100


@dataclass(frozen=True, kw_only=True)
class Hold:
    """What holds one body in a crash. [N]"""

    name: str  # of the slot, or P1, ... as on the roof plan
    parts: str
    place: str  # board or zone; empty where it stands on none
    mass_kg: float
    along_n: float  # forward and rearward
    across_n: float  # sideways and upward


@dataclass(frozen=True, kw_only=True)
class Lift:
    """What the wind does to one panel. Forces in N, areas in cm2."""

    hold: Hold
    panel: Panel
    wind_n: float  # beyond the panel's own weight
    proof_n: float  # the same with the rule set's safety
    glue_cm2: float  # that would carry it alone

    @property
    def feet(self) -> int:
        """That share it evenly; a flexible panel is glued and has none."""
        return BEARING_FEET if self.panel.kind == "rigid" else 0

    @property
    def glued_cm2(self) -> float:
        """What there is to glue: the pads of the feet, or the whole panel."""
        pads = FOOT_MM[0] * FOOT_MM[1] * self.feet
        return (pads or self.panel.length_mm * self.panel.width_mm) / _MM2_IN_CM2


def air_speed_km_h(fit: Fit) -> float:
    """Of the air over the roof: the fastest drive into the strongest gust. [km/h]"""
    return fit.case.rules["road_speed_km_h"] + fit.case.rules["gust_km_h"]


def lifts(fit: Fit) -> Iterator[Lift]:
    """Of every panel on the roof, in the order of the build. Its mounting kit weighs on no foot, but is thrown too."""
    rules = fit.case.rules
    pressure = forces.dynamic_pressure_pa(air_speed_km_h=air_speed_km_h(fit))
    safety, stress = rules["fixing_safety"], rules["glue_stress_n_mm2"]
    for number, placed in enumerate(fit.build.panels, start=1):
        panel = fit.part(placed.panel, Panel)
        wind = forces.uplift_n(
            pressure_pa=pressure,
            suction=rules["roof_suction"],
            area_m2=panel.length_mm * panel.width_mm / _MM2_IN_M2,
            mass_kg=panel.mass_kg,
        )
        yield Lift(
            hold=_hold(fit, f"P{number}", panel.name, placed.zone, panel.mass_kg + panel.mount_mass_kg),
            panel=panel,
            wind_n=wind,
            proof_n=wind * safety,
            glue_cm2=forces.glue_cm2(force_n=wind, safety=safety, stress_n_mm2=stress),
        )


def holds(fit: Fit) -> list[Hold]:
    """Of the bank and every slot with something heavy in it, what is existing included; the heaviest first."""
    found = [hold for hold in _slots(fit) if hold.mass_kg >= HEAVY_KG or hold.name == "bank"]
    return sorted(found, key=lambda hold: -hold.mass_kg)


def _slots(fit: Fit) -> Iterator[Hold]:
    """What stands in one slot is held as one: modules with the fuses on them, a row of holders with its fuses."""
    counts: dict[str, Counter[Part]] = {}
    for content in fit.contents:
        counts.setdefault(content.slot, Counter())[content.part] += content.count
    for slot, parts in counts.items():
        fitted = fit.build.slot(slot)
        named = ", ".join(f"{count} x {part.name}" if count > 1 else part.name for part, count in parts.items())
        named = "as in the bill of materials" if slot in ROWS else named
        mass_kg = sum(count * part.mass_kg for part, count in parts.items())
        yield _hold(fit, slot, named, fitted.board if fitted else "", mass_kg)


def _hold(fit: Fit, name: str, parts: str, place: str, mass_kg: float) -> Hold:
    along_n, across_n = (
        forces.restraint_n(mass_kg=mass_kg, times_gravity=fit.case.rules[figure])
        for figure in ("restraint_along_g", "restraint_across_g")
    )
    return Hold(name=name, parts=parts, place=place, mass_kg=mass_kg, along_n=along_n, across_n=across_n)
