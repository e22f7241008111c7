"""Panels and strings of the attack: other arrays, and other places for the same panels."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from optimiser import builds as b
from optimiser.auditing import roof
from tests.attack_moves import Bench, of, without


def other_strings(bench: Bench, build: b.Build) -> b.Build | None:
    """One array taken away, or another in its place or beside it."""
    rng, inputs = bench.rng, [f"regulator_{k}" for k in range(1, bench.case.limits.regulators_at_most + 1)]
    charger = bench.catalogue.find(f.part) if (f := build.slot("alternator_charger")) else None
    if getattr(charger, "solar_v_max", 0):
        inputs.append("alternator_charger")
    end = rng.choice(inputs)
    arrays = [a for a in build.arrays if a.regulator != end]
    names = {a.name for a in arrays}
    build = replace(build, arrays=tuple(arrays), panels=tuple(p for p in build.panels if of(p) in names))
    fitted = build.slot(end)
    if rng.random() < 0.2 and arrays:
        return without(build, end) if end != "alternator_charger" else build
    if fitted is None:
        part, board = rng.choice(bench.parts("regulators")), rng.choice(bench.case.boards)
        build = replace(build, fitted=(*build.fitted, b.Fitted(end, part.name, board.place, 0, 0)))
        build = bench.stood(build, end)
    name = next(n for n in (f"array_{k}" for k in range(1, 9)) if n not in names)
    if bench.case.brief.portable and not any(not a.roof_plane for a in arrays) and rng.random() < 0.5:
        return _with_array(bench, build, b.PanelArray(name, bench.case.brief.portable.panel, "", 1, 1, end))
    panel = rng.choice([p for p in bench.catalogue.of("panels").values() if p.kind != "portable"])
    series, parallel = rng.choice(list(product((1, 2, 3, 4), (1, 2))))
    light = rng.choice(list(bench.case.roof_planes))
    return _with_array(bench, build, b.PanelArray(name, panel.name, light, series, parallel, end))


def _with_array(bench: Bench, build: b.Build, array: b.PanelArray) -> b.Build | None:
    build = replace(build, arrays=(*build.arrays, array))
    if array.roof_plane and not any(e.purpose == array.roof_plane for e in build.entries):
        gland = bench.rng.choice([e for e in bench.catalogue.of("entries").values() if e.kind == "gland"])
        build = replace(build, entries=(*build.entries, b.FittedEntry(array.roof_plane, gland.name, 2)))
    lights = {a.roof_plane for a in build.arrays} | {p.name for p in bench.case.brief.pass_throughs}
    build = replace(build, entries=tuple(e for e in build.entries if e.purpose in lights))
    return _with_panels(bench, build, array) if array.roof_plane else build


def _with_panels(bench: Bench, build: b.Build, array: b.PanelArray) -> b.Build | None:
    zones = bench.case.roof_planes[array.roof_plane]
    for number in range(array.series * array.parallel):
        label = f"{array.name}.{number // array.series + 1}"
        for zone in bench.rng.sample(zones, len(zones)):
            placed = _panel(bench, build, zone.name, array.panel, label)
            if placed:
                build = replace(build, panels=(*build.panels, placed))
                break
        else:
            return None
    return build


def _panel(bench: Bench, build: b.Build, zone: str, panel: str, label: str) -> b.PlacedPanel | None:
    """One panel more where it breaks nothing, pushed against what is there."""
    for rotated in bench.rng.sample((False, True), 2):
        spots = list(_spots(bench, build, zone, panel, rotated))
        for x_mm, y_mm in bench.rng.sample(spots, min(len(spots), 12)):
            placed = b.PlacedPanel(zone, panel, x_mm, y_mm, rotated, label)
            fit = bench.fit(replace(build, panels=(*build.panels, placed)))
            if all(finding.ok for finding in roof.check(fit)):
                return placed
    return None


def _spots(bench: Bench, build: b.Build, zone_name: str, panel: str, rotated: bool) -> Iterator[tuple[int, int]]:
    zone, part = next(z for z in bench.case.zones if z.name == zone_name), bench.catalogue.of("panels")[panel]
    size = (part.width_mm, part.length_mm) if rotated else (part.length_mm, part.width_mm)
    gap, back = bench.case.limits.panel_gap_mm, zone.set_back_mm
    walk = {zone.walkway_side: zone.walkway_mm} if zone.walkway_mm else {}
    xs = [zone.x_mm + max(back, walk.get("rear", 0))]
    xs.append(zone.x_mm + zone.length_mm - max(zone.front_set_back_mm, walk.get("front", 0)) - size[0])
    ys = [zone.y_mm + max(back, walk.get("right", 0))]
    ys.append(zone.y_mm + zone.width_mm - max(back, walk.get("left", 0)) - size[1])
    for p in build.panels:
        other = bench.catalogue.of("panels")[p.panel]
        dx, dy = (other.width_mm, other.length_mm) if p.rotated else (other.length_mm, other.width_mm)
        xs += [p.x_mm, p.x_mm + dx + gap, p.x_mm - size[0] - gap]
        ys += [p.y_mm, p.y_mm + dy + gap, p.y_mm - size[1] - gap]
    for o in bench.case.obstacles:
        clear = max(o.clear_mm, o.height_mm)
        xs += [o.x_mm + o.length_mm + clear, o.x_mm - clear - size[0]]
        ys += [o.y_mm + o.width_mm + clear, o.y_mm - clear - size[1]]
    return product(xs, ys)


def laid_anew(bench: Bench, build: b.Build) -> b.Build | None:
    """The same panels elsewhere, or one of them shifted or rotated."""
    if not build.panels:
        return None
    keep = list(build.panels)
    for _ in range(bench.rng.randint(1, len(keep))):
        old = keep.pop(bench.rng.randrange(len(keep)))
        array = next(a for a in build.arrays if a.name == of(old))
        zone = bench.rng.choice(bench.case.roof_planes[array.roof_plane]).name
        new = _panel(bench, replace(build, panels=tuple(keep)), zone, old.panel, old.string)
        keep.append(new or old)
    return replace(build, panels=tuple(keep))
