"""What the shop wants of a build. Each preference is posted on what other families decide."""

from collections.abc import Iterator

from optimiser.connections import connection_of, is_regulator
from optimiser.model.context import FitOut
from optimiser.model.currents import circuits_on_busbars
from optimiser.model.decisions import Bool, total


def require(ctx: FitOut) -> None:
    """Post each preference that the brief names."""
    _parts(ctx)
    _solar_section(ctx)
    _twins(ctx)
    _panel_types(ctx)
    _places(ctx)
    _spares(ctx)


def _parts(ctx: FitOut) -> None:
    wanted, banned = ctx.case.preferences.wanted, ctx.case.preferences.banned
    used: dict[str, list[Bool]] = {}
    for name, var in _uses(ctx) if wanted or banned else ():
        used.setdefault(name, []).append(var)

    def of(words: str) -> list[Bool]:
        return [var for part in ctx.catalogue.meant(words) for var in used.get(part.name, ())]

    for words in wanted:
        ctx.require("preference.wanted", total(of(words)) >= 1, words)
    for words in banned:
        for var in of(words):
            ctx.require("preference.banned", var == 0, words)


def _uses(ctx: FitOut) -> Iterator[tuple[str, Bool]]:
    """Part -> how many of it there are of one use, or whether there is any; each part under all of its uses."""
    d = ctx.d
    for slot in d.slots.values():
        yield from ((slot.options[key].body.name, var) for key, var in slot.pick.items())
    yield from ((panel, flags[0]) for (_, panel), flags in d.at_least.items())
    for strings in d.strings.values():
        yield from ((option.panel.name, var) for option, var in strings.options.items() if not option.roof_plane)
        yield from ((option.fuse.name, var) for option, var in strings.options.items() if option.fuse)
    for run in d.runs.values():
        yield from ((cable.name, chosen) for cable, chosen, _ in run.cables.values())
    yield from ((panel, chosen) for panel, (_, chosen) in d.dc_panels.items())
    yield from ((name, var) for devices in d.breakers.values() for name, (_, var) in devices.items())
    held = [(d.dc_panels and connection_of(run.name).guard == "panel", run.fuses.values()) for run in d.runs.values()]
    for in_panel, fuses in (*held, (False, d.module_fuses.values())):
        for fuse, chosen in fuses:
            yield fuse.name, chosen
            if not in_panel:
                yield fuse.holder, chosen
    yield from ((vent, count) for (_, vent), count in d.vents.items())
    yield from d.shunts.items()
    yield from ((entry, count) for (_, entry, _), count in d.entries.items())


def _solar_section(ctx: FitOut) -> None:
    least = ctx.case.preferences.solar_section_mm2
    if least is None:
        return
    for name, run in ctx.d.runs.items():
        if connection_of(name).kind == "solar":
            thin = [chosen for cable, chosen, _ in run.cables.values() if cable.section_mm2 < least]
            ctx.require("preference.solar_section", total(thin) <= 0, name)


def _twins(ctx: FitOut) -> None:
    """One type at most that any regulator may be of."""
    regulators = [slot for name, slot in ctx.d.slots.items() if is_regulator(name)]
    if not ctx.case.preferences.twins_alike or not ctx.is_active("preference.twins"):
        return
    types = {key: ctx.flag(f"twins:{key}") for slot in regulators for key in slot.pick}
    ctx.define(total(types.values()) <= 1)
    for slot in regulators:
        for key, var in slot.pick.items():
            ctx.define(var <= types[key])


def _panel_types(ctx: FitOut) -> None:
    most = ctx.case.preferences.panel_types_at_most
    if most is None or not ctx.is_active("preference.panel_types"):
        return
    types = {panel: ctx.flag(f"panel_types:{panel}") for _, panel in ctx.d.at_least}
    ctx.define(total(types.values()) <= most)
    for (_, panel), flags in ctx.d.at_least.items():
        ctx.define(flags[0] <= types[panel])


def _places(ctx: FitOut) -> None:
    for name, place in ctx.case.preferences.places.items():
        astray = [s.var for s in ctx.d.slots[name].stands if place not in (s.board.bay, s.board.place)]
        ctx.require("preference.place", total(astray) <= 0, name)


def _spares(ctx: FitOut) -> None:
    liked, busbar, box = ctx.case.preferences, ctx.d.slots["busbar"], ctx.d.slots["mains_box"]
    if liked.spare_studs:
        studs = busbar.picked(lambda option: option.body.studs)
        ctx.require("preference.spare_studs", studs - circuits_on_busbars(ctx) >= liked.spare_studs)
    if liked.spare_circuits:
        short = max(len(ctx.case.brief.circuits), 1) + liked.spare_circuits
        few = [var for key, var in box.pick.items() if box.options[key].body.circuits < short]
        ctx.require("preference.spare_circuits", total(few) <= 0)
