"""In which order the work is commonly done, as far as it concerns this build (common practice, no source).

Weights before anything goes in; dead before live; mains by a licensed electrician only; strings tested before they
are connected.
"""

from collections.abc import Iterator

from optimiser.fitted import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fitted.old_parts import old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.fixings.forces import UNKNOWN, holds, lifts
from optimiser.units import at_least

_MAINS_SLOTS = ("mains_box", "mains_charger", "inverter")  # with a mains side


def order_of_work(fit: Fit) -> list[str]:
    """A step a line; only what this build has."""
    return [*_made_ready(fit), *_fitted(fit), *_tested_dead(fit), *_made_live(fit), *_handed_over(fit)]


# --- what a build has --------------------------------------------------------------------------------


def _has_mains(fit: Fit) -> bool:
    return fit.case.brief.inlet is not None or fit.inverter is not None


def _mains_runs(fit: Fit) -> list[str]:
    return [numbered(fit, name) for name, laid in routed_runs(fit).items() if laid.cable.kind == "mains"]


# --- before anything is cut --------------------------------------------------------------------------


def _made_ready(fit: Fit) -> Iterator[str]:
    what = "axle and hitch" if fit.case.towed else "both axles"
    yield f"Weigh {what} before the fit-out, loaded as in the survey, as the test sheet asks; it cannot be made up for."
    yield "Measure again what the drawings rest on: bays, boards, openings, ways. Where one differs, stop and ask."
    yield (
        f"Make the vehicle dead before any hole is drilled: {', '.join(_disconnected(fit))}, whatever else feeds it "
        "disconnected too. Keep it so, and prove it with a meter where you drill and cut."
    )
    existing = [body.slot for body in fit.build.fitted if body.existing]
    if existing:
        mains = [slot for slot in existing if slot in _MAINS_SLOTS]
        who = f"; mains of {', '.join(mains)} by a licensed electrician" if mains else ""
        yield f"What is existing is disconnected from its old wiring: {', '.join(existing)}{who}."
    if out := [f"{use.row.count} x {use.row.name.replace('_', ' ')}" for use in old_uses(fit)]:
        again = [f"{use.again} x {use.row.name.replace('_', ' ')}" for use in old_uses(fit) if use.again]
        kept = f"; keep for fitting again, clean and test before that: {', '.join(again)}" if again else ""
        yield f"Take out, once dead: {', '.join(out)}{kept}."
    yield "Look behind each place of the drilling list for ribs, cables, pipes and gas; then drill, deburr and seal."
    if fit.build.vents:
        yield "Cut the vents, low and high, before anything stands in the bays."


def _disconnected(fit: Fit) -> Iterator[str]:
    """What may feed a vehicle, from outside first."""
    if fit.case.brief.inlet:
        yield "hook-up unplugged"
    yield "tow plug out" if fit.case.towed else "engine off, the starter battery's negative off"
    there = ", ".join(existing.name for existing in fit.case.existing if existing.kind == "lead_acid")
    yield f"batteries that are there disconnected{f' ({there})' if there else ''}"


# --- fitting -----------------------------------------------------------------------------------------


def _fitted(fit: Fit) -> Iterator[str]:
    build, mains = fit.build, _mains_runs(fit)
    if build.panels:
        yield _against_wind(fit)
        yield (
            f"Cover the panels, in light they are live; then fix the {len(build.panels)} panels, still covered, their "
            "connectors capped, and let sealant cure."
        )
    yield (
        f"Pull the {len(build.runs) - len(mains)} low-voltage and data runs of the list of cable runs through their "
        "ways, both ends labelled, not connected."
    )
    yield (
        "Fix the parts on their boards as the elevations show. The bank is live from the maker on: its terminals stay "
        "covered, and nothing goes on them yet."
    )
    yield _against_a_crash(fit)
    apart = ", nothing at the panels' ends of the regulators" if build.arrays else ""
    yield (
        f"Make off the low-voltage runs: no fuse in, isolator off, nothing on the bank{apart}. Pull each crimp, torque "
        "and mark each terminal now."
    )
    if _has_mains(fit):
        named = f"{', '.join(mains)} are pulled and made off" if mains else "all of it is pulled and made off"
        yield (
            f"Mains by a licensed electrician alone: {named}, away from low voltage or in a channel of its own, with "
            "earthing and the neutral-earth bond."
        )


def _against_wind(fit: Fit) -> str:
    """What panels are fixed with, and what of it the wind wants."""
    roof = list(lifts(fit))
    feet = [at_least(lift.proof_n / lift.feet) for lift in roof if lift.feet]
    glued = [at_least(lift.proof_n) for lift in roof if not lift.feet]
    wants = [f"{max(feet)} N a foot"] if feet else []
    wants += [f"{max(glued)} N a glued panel, its edges held by strips or screws as well"] if glued else []
    return (
        "Panels are fixed mechanically and sealed, never by glue alone, with a deflector before the front edge. What "
        f"must be known to withstand the wind, safety included: {' and '.join(wants)} (Forces on fixings); {UNKNOWN}."
    )


def _against_a_crash(fit: Fit) -> str:
    bank = next(hold for hold in holds(fit) if hold.name == "bank")
    return (
        "The bank is fixed before anything is connected to it, and down to frame or floor: against "
        f"{at_least(bank.along_n)} N forward and rearward, {at_least(bank.across_n)} N sideways and upward. What else "
        "is heavy is fixed by the same list, Forces on fixings."
    )


# --- dead --------------------------------------------------------------------------------------------


def _tested_dead(fit: Fit) -> Iterator[str]:
    mains = "; mains, dead, by the licensed electrician" if _has_mains(fit) else ""
    yield f"Dead tests of the test sheet: visual checks, polarity by continuity{mains}. Nothing is made live before."
    if fit.build.arrays:
        yield (
            "Test each string before it is connected, as the test sheet has it: polarity and open voltage, "
            "short-circuit current through a switch made for it, insulation. Uncover it for that only; then cover it "
            "and cap its ends."
        )
    if any(array.parallel > 1 for array in fit.build.arrays):
        yield (
            "Strings that share a run: each is tested alone at its roof end, the branch open. Make the branch, like "
            "poles together, only after all of them pass; then polarity once more at the regulator's end."
        )


# --- live --------------------------------------------------------------------------------------------


def _made_live(fit: Fit) -> Iterator[str]:
    yield from _bank_joined(fit)
    row = ", no fuse in the row" if fit.row_runs else ""
    yield (
        f"Isolator off{row}: put the main fuse in, close the isolator, meter polarity at the busbar. Isolator off "
        "again, and the busbar proved dead."
    )
    others = "".join(f", {what}" for what in _kept_off(fit))
    off = "inverter and loads" if fit.inverter else "loads"
    if fit.row_runs:
        panel = (
            " and those at the 12 V panel" if any(r.name.startswith("pass_") and r.fuse for r in fit.build.runs) else ""
        )
        yield f"With the isolator off{others}, put in the fuses of the row{panel}; {off} switched off."
    yield from _isolator_closed(fit)
    yield "Meter polarity at each outlet before a load is on it. Set each unit by its maker's sheet, and write it down."
    if _has_mains(fit):
        hook_up = "; hook-up in for the tests on it only, then out again" if fit.case.brief.inlet else ""
        yield f"Mains, live tests of the test sheet, by the licensed electrician, before a load is plugged in{hook_up}."
    if fit.build.arrays:
        takers = ", ".join(dict.fromkeys(array.regulator for array in fit.build.arrays))
        yield (
            f"At {takers} the bank first and the panels afterwards: many find the bank's voltage when they start. Join "
            "the strings while they are covered; no connector is connected or disconnected under load."
        )
    if "alternator_feed" in routed_runs(fit):
        back = "the tow plug in" if fit.case.towed else "the starter battery on again"
        yield f"The fuse of alternator_feed while its feed is still dead, isolator off; then, the engine off, {back}."


def _bank_joined(fit: Fit) -> Iterator[str]:
    first = ""
    if fit.modules > 1:
        yield "Charge each module full by itself and match their voltages before they are joined."
        first = "its modules as its maker says, then "
    fused = ", no fuse on its strings of modules" if fit.build.bank.fuse else ""
    yield (
        f"Join the bank, main fuse out, isolator off{fused}: {first}the main run on its terminals, one pole at a time, "
        "with insulated tools; torque, mark and cover them again."
    )
    if fit.build.bank.fuse:
        yield (
            f"The {fit.build.bank.parallel} fuses of the strings of modules, one after another, the main fuse still "
            "out: meter across each open holder first; where that is more than the module maker lets them differ by, "
            "stop and match them again."
        )


def _kept_off(fit: Fit) -> Iterator[str]:
    if fit.build.arrays:
        yield "no string joined"
    if fit.case.brief.inlet:
        yield "hook-up unplugged"
    if fit.alternator_charger:
        yield "the fuse of alternator_feed out"


def _isolator_closed(fit: Fit) -> Iterator[str]:
    never = "No fuse goes in or out with it closed."
    if not fit.inverter:
        yield f"Close the isolator. {never}"
        return
    yield (
        "The inverter's input fills slowly: bridge the open isolator with a resistor as the inverter's maker says "
        "(ohms, watts and seconds are the maker's; none are given here), until the voltage across it falls no more; "
        "then close the isolator and take the resistor off. If that voltage stays near the bank's, stop: something "
        f"draws, or is shorted. {never}"
    )


# --- at the end --------------------------------------------------------------------------------------


def _handed_over(fit: Fit) -> Iterator[str]:
    yield (
        "Commission by the rest of the test sheet, weigh again, show the user how to shut down, and hand over with the "
        "settings noted."
    )
    yield f"To shut down: {', '.join(_to_shut_down(fit))}, then the isolator. The bank up to the isolator stays live."


def _to_shut_down(fit: Fit) -> Iterator[str]:
    """What feeds the bank first, so that no charger runs on without it; then what draws."""
    if fit.build.arrays:
        yield "panels covered"
    if fit.case.brief.inlet:
        yield "hook-up unplugged"
    if fit.alternator_charger:
        yield "engine off"
    yield "loads and inverter off" if fit.inverter else "loads off"
