"""Whether a build speaks of things that exist: each name in it must be known before it can be audited."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator

from optimiser.builds import Build, Fitted, PlacedPanel, Run
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.connections import CONNECTIONS, FAMILIES, ROWS, SLOTS, is_regulator, role_of, slot_of
from optimiser.fitted.fit import breaker_places, node_names
from optimiser.parts import Breaker, Cable, DcPanel, Entry, Fuse, Holder, Module, Panel, Part, Shunt, StringFuse, Vent

_RUNS = frozenset(CONNECTIONS).difference(FAMILIES)


def problems(case: Case, catalogue: Catalogue, build: Build) -> list[str]:
    """All that is unknown, twice there or not a count, one sentence each."""
    return [*_named(case, catalogue, build), *_twice(build), *_counts(build)]


def _named(case: Case, catalogue: Catalogue, build: Build) -> Iterator[str]:
    yield from _part(catalogue, build.bank.module, Module, "bank")
    if build.bank.fuse:
        yield from _part(catalogue, build.bank.fuse, Fuse, "bank")
    for number, panel in enumerate(build.panels):
        yield from _panel(case, catalogue, build, panel, f"panels.{number}")
    taken = {"idle", *SLOTS, *(load.name for load in case.loads)}
    for array in build.arrays:
        where = f"arrays.{array.name}"
        if array.name in taken or is_regulator(array.name):
            yield f"{where}: named as a slot or a load is, and readings of both could not be distinguished"
        yield from _part(catalogue, array.panel, Panel, where)
        if array.fuse:
            yield from _part(catalogue, array.fuse, StringFuse, where)
        yield from _known(array.roof_plane, ["", *case.roof_planes], "roof plane", where)
        if array.regulator != "alternator_charger" and not is_regulator(array.regulator):
            yield f"{where}: unknown slot {array.regulator!r}; expected regulator_1 ... or alternator_charger"
    for fitted in build.fitted:
        yield from _fitted(case, catalogue, build, fitted)
    for run in build.runs:
        yield from _run(case, catalogue, build, run)
    if build.dc_panel:
        yield from _part(catalogue, build.dc_panel, DcPanel, "dc_panel")
    for fitted_breaker in build.breakers:
        where = f"breakers.{fitted_breaker.place}"
        yield from _known(fitted_breaker.place, breaker_places(case), "place", where)
        yield from _part(catalogue, fitted_breaker.breaker, Breaker, where)
    for vent in build.vents:
        yield from _known(vent.bay, case.bay_of, "bay", "vents")
        yield from _part(catalogue, vent.vent, Vent, f"vents.{vent.bay}")
    for shunt in build.measuring:
        yield from _part(catalogue, shunt.shunt, Shunt, "measuring")
    purposes = [*case.roof_planes, *(p.name for p in case.brief.pass_throughs)]
    for entry in build.entries:
        where = f"entries.{entry.purpose}"
        yield from _known(entry.purpose, purposes, "roof plane or pass-through", "entries")
        yield from _part(catalogue, entry.entry, Entry, where)
        yield from _known(entry.board, ["", *case.board_of], "board", where)


def _panel(case: Case, catalogue: Catalogue, build: Build, panel: PlacedPanel, where: str) -> Iterator[str]:
    yield from _part(catalogue, panel.panel, Panel, where)
    yield from _known(panel.zone, [z.name for z in case.zones], "zone", where)
    array, _, number = panel.string.rpartition(".")
    yield from _known(array, [a.name for a in build.arrays], "array", where)
    if not (number.isascii() and number.isdigit()):
        yield f"{where}: string {panel.string!r} has no number; expected array.number"


def _fitted(case: Case, catalogue: Catalogue, build: Build, fitted: Fitted) -> Iterator[str]:
    where = f"fitted.{fitted.slot}"
    if fitted.slot in ROWS:
        yield from _known(fitted.part, ["", fitted.slot], "part", where)
    elif fitted.slot == "bank":
        yield from _known(fitted.part, ["", "bank", build.bank.module], "part", where)
    elif fitted.slot == "regulator" or role_of(fitted.slot) not in SLOTS:
        slots = [f"{slot}_1" if slot == "regulator" else slot for slot in SLOTS]
        yield f"{where}: unknown slot; expected one of {_list(slots)}"
    else:
        yield from _part(catalogue, fitted.part, slot_of(fitted.slot).part, where)
    yield from _known(fitted.board, case.board_of, "board", where)


def _run(case: Case, catalogue: Catalogue, build: Build, run: Run) -> Iterator[str]:
    where = f"runs.{run.name}"
    ours = {f"solar_{a.name}" for a in build.arrays} | {f"pass_{p.name}" for p in case.brief.pass_throughs}
    ours |= {f"outlet_{c.name}" for c in case.brief.circuits}
    ours |= {f"circuit_{c.name}" for c in case.brief.dc_circuits}
    if run.name not in _RUNS | ours and not is_regulator(run.name):
        yield f"{where}: unknown run; expected one of {_list(_RUNS | ours)}"
    yield from _part(catalogue, run.cable, Cable, where)
    if run.fuse:
        yield from _part(catalogue, run.fuse, Fuse, where)
    for node in (run.start, run.end):
        yield from _known(node, node_names(case), "node", where)
    for way in run.ways:
        yield from _known(way, [w.name for w in case.ways], "way", where)


def _twice(build: Build) -> Iterator[str]:
    groups: dict[str, list[str]] = {
        "arrays": [a.name for a in build.arrays],
        "fitted": [f.slot for f in build.fitted],
        "runs": [r.name for r in build.runs],
        "breakers": [b.place for b in build.breakers],
    }
    for group, names in groups.items():
        for name, count in Counter(names).items():
            if count > 1:
                yield f"{group}.{name}: there {count} times; expected once"


def _counts(build: Build) -> Iterator[str]:
    counts: list[tuple[str, int]] = [
        *((f"bank.{key}", getattr(build.bank, key)) for key in ("series", "parallel", "rows", "columns")),
        *((f"arrays.{a.name}.{key}", getattr(a, key)) for a in build.arrays for key in ("series", "parallel")),
        *((f"vents.{v.bay}.{v.vent}", v.count) for v in build.vents),
        *((f"measuring.{m.shunt}", m.count) for m in build.measuring),
        *((f"entries.{e.purpose}", e.count) for e in build.entries),
    ]
    for where, count in counts:
        if count < 1:
            yield f"{where}: {count}; expected 1 or more"


def _part(catalogue: Catalogue, name: str, kind: type[Part], where: str) -> Iterator[str]:
    part = catalogue.find(name)
    if part is None:
        yield f"{where}: unknown part {name!r}"
    elif not isinstance(part, kind):
        yield f"{where}: {name!r} is a {type(part).__name__}; expected a {kind.__name__}"
    elif isinstance(part, Fuse):
        yield from _part(catalogue, part.holder, Holder, f"{where}: the holder of {name}")


def _known(name: str, names: Collection[str], what: str, where: str) -> Iterator[str]:
    if name not in names:
        yield f"{where}: unknown {what} {name!r}; expected one of {_list(names)}"


def _list(names: Iterable[str]) -> str:
    return ", ".join(sorted(name for name in names if name)) or "none"
