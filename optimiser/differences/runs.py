"""Cables and fuses of the runs."""

from collections.abc import Iterator

from optimiser.builds import Build, Run
from optimiser.catalogue import Catalogue
from optimiser.connections import connection_of
from optimiser.differences.change import Change, Order, Role, listed, plain
from optimiser.differences.roof import array_name
from optimiser.differences.slots import bay, pairs
from optimiser.parts import Cable, Fuse

Told = dict[tuple[Role, Order, str, str], list[str]]  # what is said after and before of which runs


def changes(catalogue: Catalogue, before: Build, after: Build) -> Iterator[Change]:
    """Other cables, fuses and ways; runs that change alike are told together."""
    found: Told = {}

    def tell(role: Role, order: Order, noun: str, what: str, run: str) -> None:
        found.setdefault((role, order, noun, what), []).append(run_name(run))

    for build, other, what in ((after, before, "added"), (before, after, "dropped")):
        for run in build.runs:
            if not other.run(run.name) and _owned(build, run.name) == _owned(other, run.name):
                tell("run", Order.CABLE, "cable", what, run.name)
    moved = any(bay(pair.before) != bay(pair.after) for pair in pairs(before, after).values())
    for old in before.runs:
        new = after.run(old.name)
        if not new:
            continue
        if old.cable != new.cable:
            tell("run", Order.CABLE, "cable", _other_cable(catalogue, old, new), old.name)
        if old.fuse != new.fuse:
            tell("fuse", Order.FUSE, "fuse", _other_fuse(catalogue, old, new), old.name)
        ends = (old.start, old.end) != (new.start, new.end)
        if ends and not moved:
            tell("run", Order.WAY, "cable", "between other ends", old.name)
        elif not ends and old.ways != new.ways:
            tell("run", Order.WAY, "cable", "another way", old.name)
    for (role, order, noun, what), runs in found.items():
        plural = "s" * (len(runs) > 1)
        yield Change(role, f"{listed(runs, 'other')} {noun}{plural} {what}", order)


def size(cable: Cable) -> str:
    """A cable by its section, or by its name where it has none."""
    return f"{cable.section_mm2:g} mm2" if cable.section_mm2 else cable.name


def rating(fuse: Fuse) -> str:
    """A fuse as the sheets name it."""
    return f"{fuse.rating_a:g} A {fuse.family}"


def run_name(run: str) -> str:
    """A run as it is spoken of."""
    kind, _, rest = run.partition("_")
    if kind == "solar":
        return array_name(rest)
    if kind in ("circuit", "outlet"):
        return f"circuit {plain(rest)}"
    return f"{plain(rest)} pass-through" if kind == "pass" else plain(run)


def _owned(build: Build, run: str) -> bool:
    """Whether the build has the part or array that a run belongs to."""
    family, _, array = run.partition("_")
    if family == "solar":
        return any(a.name == array for a in build.arrays)
    return build.slot(connection_of(run).serves) is not None


def _other_cable(catalogue: Catalogue, old: Run, new: Run) -> str:
    cables = catalogue.of("cables")
    was, now = cables[old.cable], cables[new.cable]
    return f"{size(now)} for {size(was)}" if size(now) != size(was) else f"{now.name} for {was.name}"


def _other_fuse(catalogue: Catalogue, old: Run, new: Run) -> str:
    fuses = catalogue.of("fuses")
    if not (old.fuse and new.fuse):
        return f"{rating(fuses[new.fuse])} added" if new.fuse else f"{rating(fuses[old.fuse])} dropped"
    was, now = fuses[old.fuse], fuses[new.fuse]
    if rating(was) == rating(now):
        return f"{now.name} for {was.name}"
    if was.family == now.family:
        return f"{now.rating_a:g} A for {was.rating_a:g} A"
    return f"{rating(now)} for {rating(was)}"
