"""What is allowed in a case but seldom meant: worth a look before a long solve."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, product
from math import ceil, hypot
from typing import Annotated

import networkx as nx
from pydantic import Field

from optimiser.basis import volts
from optimiser.basis.bodies import footprint, may_stand
from optimiser.basis.loads import hourly
from optimiser.basis.paths import network
from optimiser.basis.sun import hot_vmp_v, hot_voc_v
from optimiser.case import Bay, Board, Case, Load, Obstacle, Outline, Zone
from optimiser.catalogue import Catalogue
from optimiser.checking.figures import scenario_totals
from optimiser.checking.odd_rules import odd_rules
from optimiser.checking.odd_values import Told, odd_catalogue, odd_survey
from optimiser.fitted.places import Rect, lid_rect, obstacle_rect, zone_rect
from optimiser.parts import Body, Panel
from optimiser.physics import shade
from optimiser.reading.geometry import share_plan
from optimiser.reading.survey import points
from optimiser.units import at_least


@dataclass(frozen=True)
class Oddity:
    """Something odd, and where."""

    place: Annotated[str, Field(description="file and row")]
    text: Annotated[str, Field(description="what is odd, and what was expected")]


def oddities(case: Case, catalogue: Catalogue) -> tuple[Oddity, ...]:
    """Everything odd, loads first."""
    found = (
        *_of_loads(case),
        *_of_roof(case, catalogue),
        *_of_obstacles(case),
        *_of_portable(case, catalogue),
        *_of_bays(case, catalogue),
        *_of_ways(case),
        *_of_positions(case),
        *odd_places(case),
        *odd_rules(case, catalogue),
        *odd_survey(case, catalogue),
        *odd_catalogue(catalogue),
    )
    return tuple(Oddity(*told) for told in found)


def _of_loads(case: Case) -> Iterator[Told]:
    hook_up = set(case.circuits_from("hook_up"))
    ever_hooked_up = any(hourly(case, scenario).hooked_up.any() for scenario in case.scenarios)
    for load in case.loads:
        if load.circuit in hook_up and not ever_hooked_up:
            yield f"load {load.name}", f"circuit {load.circuit} is on hook-up, but no scenario has hook-up hours"
        elif not _draws(replace(case, loads=(load,))):
            yield f"load {load.name}", "never on in any scenario"
        elif load.name in case.spans_of:
            yield from _of_spans(case, load)
    used = {load.circuit for load in case.loads}
    for circuit in case.circuits_from("inverter"):
        if circuit not in used:
            yield f"circuit {circuit}", "fed by the inverter, but no load is on it"
    for scenario in case.scenarios:
        if not _draws(replace(case, scenarios=(scenario,))):
            yield f"scenario {scenario.name}", "nothing draws power in it"


def _of_spans(case: Case, load: Load) -> Iterator[Told]:
    for row in case.load_rows:
        if row.name == load.name and not _draws(replace(case, loads=(row,), load_spans=())):
            yield f"load {load.name}", f"never on from {row.from_h} to {row.to_h} in {' '.join(row.scenarios)}"


def _draws(case: Case) -> bool:
    totals = (scenario_totals(case, scenario) for scenario in case.scenarios)
    return any(t.dc_wh + t.inverter_wh + t.hook_up_wh > 0 for t in totals)


def _of_roof(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    panels = [panel for panel in catalogue.of("panels").values() if panel.kind != "portable"]
    for zone in case.zones:
        if not any(_fits_zone(panel, zone) for panel in panels):
            yield f"zone {zone.name}", "no panel of the catalogue fits between its set-backs"


def _of_obstacles(case: Case) -> Iterator[Told]:
    """Of one that says its zone, reading sees that it stands there; of another, that something comes of it."""
    for obstacle in case.obstacles:
        if obstacle.zone is None and not any(_reaches(case, obstacle, zone_rect(zone)) for zone in case.zones):
            nothing = "neither it nor its clearance, lid or shadow reaches a zone; expected a place beside one"
            yield f"obstacle {obstacle.name}", nothing


def _reaches(case: Case, obstacle: Obstacle, area: Rect) -> bool:
    shadow = shade.set_back_mm(height_mm=obstacle.height_mm, elevation_deg=case.rules["shadow_elevation_deg"])
    around, lid = obstacle_rect(obstacle).grown(max(obstacle.clear_mm, at_least(shadow))), lid_rect(obstacle)
    return around.gap(area) < 0 or (lid is not None and lid.gap(area) < 0)


def _of_portable(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    """A folding panel's voltage in the heat may be too low to start any solar input, and then nothing is possible."""
    if case.brief.portable is None:
        return
    panel = catalogue.of("panels")[case.brief.portable.panel]
    charging_v = min(volts.charging_v(v) for v in case.brief.system_voltages)
    margins = [r.start_above_v for r in catalogue.of("regulators").values()]
    chargers = [c for c in catalogue.of("alternator_chargers").values() if c.solar_v_max]
    if case.brief.alternator and case.brief.alternator_charger != "no":
        margins += [c.solar_start_above_v for c in chargers]
    open_v, hot_v = hot_voc_v(case, panel), hot_vmp_v(case, panel)
    starts = any(open_v >= charging_v + margin for margin in margins)
    if not starts or hot_v < charging_v + volts.RUN_ABOVE_V:
        little = f"gives {hot_v:.1f} V in the hottest air, {open_v:.1f} V open: too little for any solar input"
        yield f"portable {panel.name}", f"{little} while the bank charges at {charging_v:.1f} V"


def _fits_zone(panel: Panel, zone: Zone) -> bool:
    length = zone.length_mm - zone.set_back_mm - zone.front_set_back_mm
    width = zone.width_mm - 2 * zone.set_back_mm
    if panel.kind == "rigid" and not zone.rigid:
        return False
    return any(
        along <= length and across <= width
        for along, across in ((panel.length_mm, panel.width_mm), (panel.width_mm, panel.length_mm))
    )


def _of_bays(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    bodies = [part for table in catalogue.tables.values() for part in table.values() if isinstance(part, Body)]
    for board in case.boards:
        if not any(_fits_board(body, board) for body in bodies):
            yield f"board {board.place}", "no part of the catalogue fits on it"
    if not any(board.reach and board.sight for board in case.boards):
        yield "boards", "none is both reached and seen, as a display must be"
    if not any(bay.battery for bay in case.bays):
        yield "bays", "none allows a battery"
    if case.brief.pass_throughs and not any(board.outside_wall for board in case.boards):
        yield "boards", "none is an outside wall, though a pass-through is asked for"


def _fits_board(body: Body, board: Board) -> bool:
    for orientation, rotated in product(body.orientations, (False, True)):
        if may_stand(body, orientation=orientation, rotated=rotated, board=board):
            size = footprint(body, orientation=orientation, rotated=rotated, board=board)
            if (
                size.length_mm <= board.length_mm
                and size.width_mm <= board.width_mm
                and size.depth_mm <= board.depth_mm
            ):
                return True
    return False


def _of_ways(case: Case) -> Iterator[Told]:
    """Parts of the ways that do not hang together with the one that joins the most bays that take anything."""
    bays = {bay.name for bay in case.bays if bay.battery or bay.electronics}
    named = bays | {zone.entry for zone in case.zones} | set(points(case.brief).values())
    parts = sorted(nx.connected_components(network(case)), key=lambda nodes: (-len(nodes & bays), min(nodes)))
    joined = ", ".join(sorted(parts[0] & bays))
    for nodes in parts[1:]:
        for node in sorted(nodes & named):
            kind = "bay" if node in bays else "node"
            yield f"{kind} {node}", f"no way leads from it to {joined}"


def _of_positions(case: Case) -> Iterator[Told]:
    """A way shorter than its ends are apart: one of the three was measured wrong."""
    spans = _spans(case)
    for way in case.ways:
        if way.start in spans and way.end in spans:
            gaps = (max(a[0] - b[1], b[0] - a[1], 0) for a, b in zip(spans[way.start], spans[way.end], strict=True))
            apart = ceil(hypot(*gaps))
            if apart > way.length_mm:
                yield f"way {way.name}", f"{way.length_mm} mm long, and its ends are {apart} mm apart"


def _spans(case: Case) -> dict[str, tuple[tuple[int, int], ...]]:
    """Node -> from where to where it is along x, y and z: a point, or the inside of a bay whose height is known."""
    found: dict[str, tuple[tuple[int, int], ...]] = {
        s.node: ((s.x_mm, s.x_mm), (s.y_mm, s.y_mm), (s.z_mm, s.z_mm)) for s in case.node_positions
    }
    for bay in case.bays:
        if bay.z_mm is not None:
            half_x, half_y = bay.length_mm // 2, bay.width_mm // 2
            found[bay.name] = (
                (bay.x_mm - half_x, bay.x_mm + half_x),
                (bay.y_mm - half_y, bay.y_mm + half_y),
                (bay.z_mm, bay.z_mm + bay.height_mm),
            )
    return found


# --- places that may be a slip of the tape: in one spot, as far as the survey tells, or beyond the vehicle's body


def odd_places(case: Case) -> Iterator[Told]:
    """Bays over each other whose heights are not surveyed; bays and zones beyond the body's outline."""
    for one, other in combinations(case.bays, 2):
        unknown = [bay.name for bay in (one, other) if bay.z_mm is None]
        if unknown and share_plan(one, other):
            yield f"bay {other.name}", f"over or in {one.name}: z_mm of {' and '.join(unknown)} would tell"
    outline = case.brief.outline
    if outline:
        yield from _beyond(case, outline)


def _beyond(case: Case, body: Outline) -> Iterator[Told]:
    for zone in case.zones:
        x, y = (zone.x_mm, zone.x_mm + zone.length_mm), (zone.y_mm, zone.y_mm + zone.width_mm)
        if _sticks_out(body, x, y):
            yield f"zone {zone.name}", f"beyond the body, which is {body.length_mm} x {body.width_mm} mm"
    for bay in case.bays:
        if bay.air != "outside" and (_sticks_out(body, *_plan(bay)) or _too_low_or_high(body, bay)):
            height = f"{body.floor_mm} to {body.roof_mm} mm high"
            text = f"beyond the body, which is {body.length_mm} x {body.width_mm} mm and {height}"
            yield f"bay {bay.name}", text


def _plan(bay: Bay) -> tuple[tuple[float, float], tuple[float, float]]:
    half_x, half_y = bay.length_mm / 2, bay.width_mm / 2
    return (bay.x_mm - half_x, bay.x_mm + half_x), (bay.y_mm - half_y, bay.y_mm + half_y)


def _sticks_out(body: Outline, x: tuple[float, float], y: tuple[float, float]) -> bool:
    return x[0] < 0 or x[1] > body.length_mm or 2 * max(-y[0], y[1]) > body.width_mm


def _too_low_or_high(body: Outline, bay: Bay) -> bool:
    if bay.z_mm is None:
        return False
    return bay.z_mm < body.floor_mm or bay.z_mm + bay.height_mm > body.roof_mm
