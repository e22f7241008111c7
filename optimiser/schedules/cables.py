"""The runs of cable: each way by way, and the length its cores are cut to."""

from collections.abc import Iterator

from optimiser.basis import faces, money, paths
from optimiser.fitted import Fit
from optimiser.fitted.drawn import by_allowance, reach_mm
from optimiser.fitted.numbers import run_numbers
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.schedules.ends import ends_of
from optimiser.schedules.run_lengths import bend_mm, bend_notes, longest_mm
from optimiser.schedules.table import PRACTICE, Column, Row, Schedule
from optimiser.units import at_least

_MM_IN_M = 1000

_CUT = (
    Column("no."),
    Column("run"),
    Column("from"),
    Column("to"),
    Column("ways in order, mm each"),
    Column("ways", "mm", "whole"),
    Column("cable allowances in the bays, mm each"),
    Column("length", "mm", "whole"),
    Column("cut", "mm", "whole"),
    Column("spare", "mm", "whole"),
    Column("length of -", "mm", "whole"),
    Column("cut of -", "mm", "whole"),
    Column("spare of -", "mm", "whole"),
    Column("to cut in all", "m", "number", 1),
    Column("cable"),
    Column("section", "mm2", "number", None),
    Column("outside", "mm", "number", 1),
    Column("least bend radius", "mm", "whole"),
    Column("remark"),
)


def cables(fit: Fit) -> Schedule:
    """Every run of the build, in its order."""
    found = routed_runs(fit).values()
    blank = dict.fromkeys((column.title for column in _CUT), None)
    total_m = sum(_total_m(laid) for laid in found)
    return Schedule(
        key="cables",
        title="Cable runs",
        columns=_CUT,
        rows=tuple(_cut(fit, laid) for laid in found),
        totals=tuple((blank | {"no.": "total", "to cut in all": total_m}).values()),
        notes=tuple(_notes(fit)),
    )


def _notes(fit: Fit) -> Iterator[str]:
    yield (
        "A d.c. run is two single cores, each cut to its own length: length, cut and spare are those of the positive "
        "core, of - those of the negative one. A mains or data run is one cable. The run main has the main_fuse and "
        "the isolator on its way. What each core is cut in is in the cutting list."
    )
    yield (
        "length: ways with the cable allowances of the bays at both ends, or as drawn where that is more: ways, square "
        "along the faces from edge to edge of what the core goes by, to the middle of the holes that are surveyed, and "
        "what its ends take; not within bodies, nor detours. ways: with what lies from hole to hole in bays that it "
        f"goes through. cut: the length rounded up to {money.STEP_MM} mm, or more. spare: cut "
        "less length. Allowances are the survey's; measure on the vehicle before you cut."
    )
    if _divided(fit):
        yield (
            "divided: the survey has two channels in this way. Mains lies alone in one, all else in the other. How "
            "full it is was calculated over the whole bore: see that each channel takes what goes in it."
        )
    yield from bend_notes(fit)
    yield from _at_the_ends(fit)


def _at_the_ends(fit: Fit) -> Iterator[str]:
    """What is left to add where a run ends at a node without a cable allowance."""
    found = routed_runs(fit)
    nodes = dict.fromkeys(n for laid in found.values() for n in (laid.run.start, laid.run.end))
    bare = [node for node in nodes if not paths.cable_allowance_mm(fit.case, node)]
    if not bare:
        return
    roof = any(array.roof_plane and f"solar_{array.name}" in found for array in fit.build.arrays)
    at_gland = (
        "At a roof gland: a drip loop, strain relief, and a tail to the joint with the panels' leads, which lies under "
        "the panel; the gland's entry faces the rear of travel. Elsewhere: "
    )
    yield (
        f"Where an allowance is 0 the run ends at the node itself: {', '.join(bare)}. What is added there is in no "
        f"length, price or mass. {at_gland if roof else 'There: '}strain relief, and a loop to make the end off again "
        f"({PRACTICE})."
    )


def _cut(fit: Fit, laid: RoutedRun) -> Row:
    run, cable = laid.run, laid.cable
    start, end = ends_of(fit, laid)
    ways_mm = faces.ways_mm(fit.case, laid.ways)
    cores = [
        (needed_mm, steps * money.STEP_MM, steps * money.STEP_MM - needed_mm)
        for needed_mm, steps in zip(reach_mm(fit, laid), laid.core_steps, strict=True)
    ]
    plus, minus = cores[0], cores[1] if len(cores) > 1 else (None, None, None)
    allowances = " + ".join(str(paths.cable_allowance_mm(fit.case, node)) for node in (run.start, run.end))
    ways = ", ".join(f"{way.name} {way.length_mm}" for way in laid.ways) or "none, both ends in one bay"
    if between_mm := ways_mm - sum(way.length_mm for way in laid.ways):
        ways = f"{ways}; from hole to hole {between_mm}"
    return (
        run_numbers(fit)[run.name],
        run.name, start.text, end.text, ways, ways_mm, allowances, *plus, *minus,
        _total_m(laid), cable.name, cable.section_mm2 or None, cable.outside_mm,
        at_least(bend_mm(fit, cable)), _remark(fit, laid),
    )  # fmt: skip


def _remark(fit: Fit, laid: RoutedRun) -> str:
    """What the ways ask, and what nobody surveyed."""
    divided = [way.name for way in laid.ways if way.name in _divided(fit)]
    is_are = "is" if len(divided) == 1 else "are"
    apart = [f"{' and '.join(divided)} {is_are} divided, two channels: mains alone in one"] if divided else []
    return "; ".join([*apart, *_as_drawn(fit, laid)])


def _as_drawn(fit: Fit, laid: RoutedRun) -> Iterator[str]:
    """What is not calculated of its length: from board to board that are not surveyed."""
    if by_allowance(fit, laid):
        yield "it goes from board to board of a bay, for which the bay's allowance is taken"
        longest = longest_mm(fit, laid)
        if longest is not None:
            together = f"{2 * longest} mm of both cores together" if laid.cable.paired else f"{longest} mm"
            yield f"the drop is within its limit up to {together}"
        yield "lay a string along it before cutting"


def _divided(fit: Fit) -> set[str]:
    """Divided ways with mains and something else in them."""
    kinds: dict[str, set[bool]] = {}
    for laid in routed_runs(fit).values():
        for way in laid.ways:
            if way.divided:
                kinds.setdefault(way.name, set()).add(laid.cable.kind == "mains")
    return {name for name, found in kinds.items() if len(found) > 1}


def _total_m(laid: RoutedRun) -> float:
    return laid.total_steps * money.STEP_MM / _MM_IN_M
