"""Parts of the catalogue that are outside what the trade sells (ranges: common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.catalogue import Catalogue
from optimiser.parts import AlternatorCharger, Inverter, MainsCharger, Module, Panel, Part, Regulator, StepDown

_KG_M2 = {"rigid": (5, 20), "flexible": (1, 8), "portable": (1, 20)}
_WH_KG = (60, 200)
_HEAT = (0.4, 2.5)  # of what the efficiency loses at rated load
_CHARGING = 1.125  # volts of a bank while it charges, for each of its nominal ones


def odd_parts(catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    """Name of a part, and what is odd about it."""
    for table in catalogue.tables.values():
        for part in table.values():
            for text in _of(part):
                yield part.name, text


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
            yield f"{energy_wh:.0f} Wh in {part.mass_kg:g} kg, and modules hold {low} to {high} Wh a kg"
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
