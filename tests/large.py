"""A case far larger than any vehicle, of a shipped one many times over: for what must stop in time all the same."""

from dataclasses import replace

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import PARTS, Part

# Kinds of which a part names another, which has to stay the one it is.
_NAMED = ("holders",)


def enlarged(case: Case, catalogue: Catalogue, times: int) -> tuple[Case, Catalogue]:
    """Loads split, zones, bays with their boards and ways, and the catalogue, each so many times."""
    loads = tuple(
        load.model_copy(
            update={"name": f"{load.name}_{k}", "watt_w": load.watt_w / times, "surge_w": load.surge_w / times}
        )
        for load in case.loads
        for k in range(times)
    )
    zones = tuple(
        zone.model_copy(
            update={"name": f"{zone.name}_{k}", "x_mm": zone.x_mm + 100 * k, "width_mm": zone.width_mm - 9 * k}
        )
        for zone in case.zones
        for k in range(times)
    )
    obstacles = tuple(o.model_copy(update={"zone": f"{o.zone}_0"}) for o in case.obstacles)
    bays, boards, ways = list(case.bays), list(case.boards), list(case.ways)
    for k in range(1, times):
        for bay in case.bays:
            bays.append(bay.model_copy(update={"name": f"{bay.name}_{k}", "z_mm": None}))
            boards += [b.model_copy(update={"bay": f"{bay.name}_{k}"}) for b in case.boards if b.bay == bay.name]
            beside = {"name": f"to_{bay.name}_{k}", "start": bay.name, "end": f"{bay.name}_{k}", "length_mm": 500 + k}
            ways.append(case.ways[-1].model_copy(update=beside))
    large = replace(
        case, loads=loads, zones=zones, obstacles=obstacles, bays=tuple(bays), boards=tuple(boards), ways=tuple(ways)
    )
    tables = {key: _many(dict(catalogue.of(key)), 1 if key in _NAMED else times) for key in PARTS}
    return large, Catalogue(tables, catalogue.rule_sets)


def _many(parts: dict[str, Part], times: int) -> dict[str, Part]:
    made = dict(parts)
    for k in range(1, times):
        for name, part in parts.items():
            made[f"{name}-{k}"] = part.model_copy(update={"name": f"{name}-{k}", "price": part.price + k})
    return made
