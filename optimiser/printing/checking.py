"""A case before anything is chosen, as lines of text."""

from collections.abc import Iterator

from optimiser.checking import Overview


def overview_lines(seen: Overview) -> Iterator[str]:
    """A case in figures and oddities, a line each."""
    yield seen.title
    if seen.built:
        yield f"Built {seen.built}"
    yield "What the loads take over each scenario:"
    for s in seen.scenarios:
        mains = f"{s.inverter_wh:.0f} Wh at the inverter's sockets, {s.hook_up_wh:.0f} Wh on hook-up only"
        yield f"  {s.name}, {s.hours} h: {s.dc_wh:.0f} Wh at 12 V, {mains}"
    if seen.driven:
        yield "Charging while driving:"
        yield f"  {seen.driven}"
    yield "Roof zones:"
    for z in seen.zones:
        yield f"  {z.name} (roof plane {z.roof_plane}): {z.area_m2:.2f} m2, {z.free_m2:.2f} m2 of it free of obstacles"
    yield "Bays and their boards:"
    for b in seen.bays:
        boards = ", ".join(f"{x.name} ({x.kind}) {x.area_m2:.2f} m2 x {x.depth_mm} mm" for x in b.boards)
        yield f"  {b.name}: {b.volume_l:.0f} l; {boards}"
    yield "Cable ways:"
    for w in seen.ways:
        takes = "mains or low voltage" if w.carries == "any" else "mains" if w.carries == "mains" else "low voltage"
        channels = ", two channels" if w.divided else ""
        yield f"  {w.name}: {w.start} to {w.end}, {w.length_mm} mm, bore {w.bore_mm} mm{channels}, for {takes}"
    yield "Existing, stays:" if seen.existing else "Nothing existing stays."
    for k in seen.existing:
        yield f"  {k.name} ({k.part or k.kind}) on {k.board}: {k.length_mm} x {k.width_mm} x {k.depth_mm} mm"
    if seen.old_parts:
        yield "Old parts, taken out:"
    for old in seen.old_parts:
        what = f"may be fitted again as {old.part}" if old.part else f"{old.mass_kg:g} kg each"
        yield f"  {old.count} x {old.name}: {what}; {f'{old.value:g} each if sold' if old.value else 'else to waste'}"
    if seen.notes:
        yield "Older files:"
        yield from (f"  {note}" for note in seen.notes)
    yield "Warnings:" if seen.oddities else "No warnings."
    for oddity in seen.oddities:
        yield f"  {oddity.place}: {oddity.text}"
