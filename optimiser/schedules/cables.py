"""The cable cutting list: each run way by way and the length it is cut to; then its ends and their labels."""

from __future__ import annotations

from optimiser.audit import Fit
from optimiser.audit.measuring import currents
from optimiser.audit.wiring import Laid, laid_runs
from optimiser.basis import money, paths
from optimiser.parts import Cable
from optimiser.schedules.drawn import drawn_of
from optimiser.schedules.ends import ends_of, label
from optimiser.schedules.table import PRACTICE, Column, Row, Schedule

# Conductor [mm2] -> stud its lug is drilled for (common practice, no source). The terminal decides.
LUG_HOLE = {
    2.5: "M4-M5",
    4: "M5",
    6: "M6",
    10: "M6-M8",
    16: "M8",
    25: "M8",
    35: "M8",
    50: "M8-M10",
    70: "M8-M10",
    95: "M10",
    120: "M10",
}
NONE_GIVEN = "-"
_MM_IN_M = 1000

_CUT = (
    Column("run"),
    Column("from"),
    Column("to"),
    Column("ways in order, mm each"),
    Column("ways", "mm", "whole"),
    Column("leads in the bays, mm each"),
    Column("length", "mm", "whole"),
    Column("cut", "mm", "whole"),
    Column("spare", "mm", "whole"),
    Column("pieces to cut", "", "whole"),
    Column("to cut in all", "m", "number", 1),
    Column("cable"),
    Column("section", "mm2", "number", None),
    Column("outside", "mm", "number", 1),
    Column("remark"),
)
_ENDS = (
    Column("run"),
    Column("cable"),
    Column("marks"),
    Column("ends to make", "", "whole"),
    Column("lug for", "mm2", "number", None),
    Column("lug for stud"),
    Column("fuse"),
    Column("label at its start"),
    Column("label at its end"),
)


def cables(fit: Fit) -> Schedule:
    """Every run of the build, in its order."""
    found = laid_runs(fit).values()
    blank = dict.fromkeys((column.title for column in _CUT), None)
    total_m = sum(_total_m(laid) for laid in found)
    return Schedule(
        key="cables",
        title="Cable cutting list",
        columns=_CUT,
        rows=tuple(_cut(fit, laid) for laid in found),
        totals=tuple((blank | {"run": "total", "to cut in all": total_m}).values()),
        notes=(
            "Lengths are one way. A d.c. run is two single cores, each a piece of the length given; a mains or data "
            "run is one cable. The run main has the main_fuse and the isolator on its way.",
            f"cut: the length rounded up to {money.STEP_MM} mm. spare: cut less length. Leads are the survey's; "
            "measure on the vehicle before you cut.",
            "A bay has one figure of lead for all its parts. remark: where more is drawn than is cut, reckoned from "
            "edge to edge of bodies along the sides of their board, by the fuse row or the measuring row. Lengths, "
            "prices and masses stay as they are cut here.",
        ),
    )


def cable_ends(fit: Fit) -> Schedule:
    """The same runs, with what is made and written at either end."""
    found = laid_runs(fit).values()
    blank = dict.fromkeys((column.title for column in _ENDS), None)
    return Schedule(
        key="cable_ends",
        title="Cable ends",
        columns=_ENDS,
        rows=tuple(_ends(fit, laid) for laid in found),
        totals=tuple((blank | {"run": "total", "ends to make": sum(_count(laid.cable) for laid in found)}).values()),
        notes=(
            "ends to make: both ends of each core, as they are priced. Where a core is parted on its way for a fuse, "
            "an isolator or a shunt, each place takes two more; these are not in the bill of materials. "
            f"{_more_ends(fit)}",
            f"lug for stud: {PRACTICE}; the terminal of the part decides. {NONE_GIVEN}: none given.",
            "marks: polarity only; colours of cores are fixed by local codes.",
            "fuse: at the end the current comes from.",
        ),
    )


def _cut(fit: Fit, laid: Laid) -> Row:
    run, cable = laid.run, laid.cable
    start, end = ends_of(fit, laid)
    ways_mm = sum(way.length_mm for way in laid.ways)
    length_mm = paths.run_length_mm(fit.case, run.start, run.end, ways_mm)
    cut_mm = laid.steps * money.STEP_MM
    leads = " + ".join(str(paths.lead_mm(fit.case, node)) for node in (run.start, run.end))
    ways = ", ".join(f"{way.name} {way.length_mm}" for way in laid.ways) or "none, both ends in one bay"
    return (
        run.name, start.text, end.text, ways, ways_mm, leads, length_mm, cut_mm, cut_mm - length_mm,
        money.cores(cable), _total_m(laid), cable.name, cable.section_mm2 or None, cable.outside_mm,
        _remark(fit, laid, cut_mm),
    )  # fmt: skip


def _remark(fit: Fit, laid: Laid, cut_mm: int) -> str:
    """What the drawings say against the length it is cut to."""
    drawn = drawn_of(fit, laid)
    said = [f"as drawn it needs at least {drawn.least_mm} mm"] if drawn.least_mm > cut_mm else []
    said += ["boards' places in the bay are not surveyed"] if drawn.two_boards else []
    return f"{' and '.join(said)}: lay a string along it before cutting" if said else ""


def _more_ends(fit: Fit) -> str:
    """How many ends parted cores need beyond those that are priced."""
    holder = fit.main_holder
    on_terminal = bool(holder and holder.on_terminal)
    fuses = sum(bool(laid.fuse) and not (name == "main" and on_terminal) for name, laid in laid_runs(fit).items())
    isolators, shunts = int(fit.build.slot("isolator") is not None), len(currents(fit))
    return (
        f"In this build that is 2 x ({fuses} + {isolators} + {shunts}) = {2 * (fuses + isolators + shunts)} more ends: "
        "fuses (a main fuse on the bank's terminal parts no core), isolator, measured currents."
    )


def _ends(fit: Fit, laid: Laid) -> Row:
    cable = laid.cable
    dc = cable.kind == "dc"
    poles = "+ and -" if dc else ""
    lug = LUG_HOLE.get(cable.section_mm2, NONE_GIVEN) if dc else NONE_GIVEN
    return (
        laid.run.name, cable.name, "marked + and -" if dc else NONE_GIVEN, _count(cable),
        cable.section_mm2 if dc else None, lug, f"{laid.fuse.rating_a:g} A {laid.fuse.family}" if laid.fuse else "none",
        label(fit, laid, at_start=True, pole=poles), label(fit, laid, at_start=False, pole=poles),
    )  # fmt: skip


def _total_m(laid: Laid) -> float:
    return laid.steps * money.STEP_MM * money.cores(laid.cable) / _MM_IN_M


def _count(cable: Cable) -> int:
    return 2 * money.cores(cable)
