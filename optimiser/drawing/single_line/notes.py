"""What the pictures of a single-line diagram cannot say, in paragraphs."""

from optimiser.auditing import breaches
from optimiser.drawing.single_line.words import Lines, Words
from optimiser.fitted.currents import currents
from optimiser.fitted.numbers import numbered
from optimiser.parts import Fuse

_SYMBOLS = (
    "Symbols: shapes of IEC 60617 second hand or from memory, and own ones; conformity is not claimed. Dashed boxes "
    "and blanks are for what is not in the build: it is in no bill, price or mass, and whoever fits it fills them in."
)


def direct_notes(words: Words, *, legend: bool) -> Lines:
    """Of the sheet of the d.c. side; ``legend``: whether it has one of its own."""
    elsewhere = "" if legend else " What symbols and lines mean is said on the last sheet of the diagram."
    shared = any(array.parallel > 1 for array in words.fit.build.arrays)
    strings = " Strings in parallel share one run: its channel shows their sum." if shared else ""
    monitored = any(current.run == "main" for current in currents(words.fit))
    bank = "" if monitored else "The bank's own current is not among them. "
    return [
        "One line stands for both conductors of a d.c. run (2 cores) and for all cores of a data cable; from the bank "
        "to the negative busbar, and below that, minus conductors are drawn by themselves. Lengths are those the cable "
        "is cut to, + and -, one where they are alike. Fuses stand in the positive conductor, shunts in the "
        f"negative one (common practice, no source). {_SYMBOLS} The isolator's symbol does not say that it may be "
        f"opened under load.{elsewhere}",
        "A: current that must be measured, with the number of its channel in the shunt row; design: the most it "
        f"carries. {bank}Which channel takes which current is proposed; each stands "
        f"what the fuse of its circuit lets through.{strings} {_fuse_row(words)}",
        *_unused_engine(words),
        *_breach(words),
    ]


def _unused_engine(words: Words) -> Lines:
    """Where the case has an alternator, and the build nothing that it feeds: nobody need look for its cable."""
    fit = words.fit
    engine, drawn = fit.case.brief.alternator, {"alternator", "alternator_feed"} & set(words.laid)
    if engine is None or drawn or fit.alternator_charger:
        return []
    what = "Towing vehicle" if fit.case.towed else "Engine"
    return [f"{what}: nothing is fed from {engine.point}, as the build has no charger for that."]


def _fuse_row(words: Words) -> str:
    fit = words.fit
    held = ", ".join(f"{numbered(fit, r.name)} ({fit.part(r.fuse, Fuse).holder})" for r in fit.row_runs) or "no fuse"
    return f"{words.fuse_row()}: the fuses, in their holders, of {held}."


def mains_notes(words: Words) -> Lines:
    """Of the sheet of the mains."""
    fit, found = words.fit, []
    if fit.case.brief.fills_mains_box:
        found.append(
            "Mains box: main device, residual-current device of the side, then a device each run; all break both live "
            "conductors."
        )
    elif fit.build.slot("mains_box"):
        found.append(
            "Mains box: a residual-current breaker a circuit, taken as 30 mA and double pole, and breakers for "
            "inlet and chargers; not in the build: their ratings, cables of circuits, and what protects the "
            "cable from the inverter."
        )
    if fit.inverter and fit.inverter.transfers:
        found.append(
            "On hook-up the inverter-charger's transfer switch passes the mains on to the inverter circuits; "
            "otherwise its inverter feeds them."
        )
    elif fit.inverter and fit.inverter.reached:
        by = "by itself" if fit.inverter.passed else "where somebody switches it over"
        found.append(
            f"On hook-up the changeover feeds the inverter circuits from the hook-up side, {by}, both poles, and "
            "breaks before it makes; otherwise the inverter feeds them. The two sides must not be joined otherwise."
        )
    elif fit.inverter and fit.case.brief.inlet:
        found.append(
            "The build has no changeover: inverter circuits are fed by the inverter alone, also on hook-up, and "
            "hook-up circuits by the inlet alone. The two sides of the mains box must not be joined."
        )
    if fit.inverter or fit.case.brief.inlet:
        found.append(
            "Neutral-earth bond: exactly one at a time, on hook-up and on the inverter (common practice, no "
            f"source). {_bond(words)}"
        )
    return [
        f"One line stands for all cores of a mains cable; lengths are those the cable is cut to. {_SYMBOLS}",
        *([" ".join(found)] if found else []),
        *_breach(words),
    ]


def _bond(words: Words) -> str:
    """What makes it."""
    fit = words.fit
    if not fit.case.brief.fills_mains_box:
        return "What makes it in each state is not in the build."
    if fit.bond_link:
        before = "the changeover and " if "changeover" in fit.breakers else ""
        return f"On the inverter a link in the mains box makes it, before {before}that side's residual-current device."
    return (
        "On the inverter it makes it itself, by its maker's sheet; on hook-up the supply does." if fit.inverter else ""
    )


def _breach(words: Words) -> Lines:
    found = breaches(words.findings)
    named = ", ".join(f.requirement for f in found)
    return [f"The audit found breaches; do not build from this sheet: {named}."] if found else []
