"""Two builds beside each other, row by row."""

from collections import Counter
from dataclasses import dataclass
from typing import NamedTuple

from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.differences.bank import rows as rows_of
from optimiser.differences.change import plain
from optimiser.differences.roof import array_name, input_of, strung
from optimiser.differences.runs import rating, run_name, size
from optimiser.differences.slots import UNNAMED
from optimiser.fitted import cost_and_mass, fit_of
from optimiser.fitted.old_parts import old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.units import CENTS, GRAMS


class Row(NamedTuple):
    """What is looked at, and what each build says of it; empty where it has none."""

    what: str
    before: str
    after: str

    @property
    def differs(self) -> bool:
        """Whether the two say something else."""
        return self.before != self.after


class Sheet(NamedTuple):
    """A build with what it is read by."""

    case: Case
    catalogue: Catalogue
    build: Build


def side_by_side(
    case: Case, catalogue: Catalogue, before: Build, after: Build, *, case_after: Case | None = None
) -> tuple[Row, ...]:
    """Both builds whole; arrays, parts and runs under the numbers their own sheets give them.

    Raises
    ------
    BuildProblem
        If a build names what does not exist.
    """
    old, new = Sheet(case, catalogue, before), Sheet(case_after or case, catalogue, after)
    rows: list[Row] = []
    for section in (_totals, _bank, _panels, _arrays, _parts, _small, _runs):
        left, right = section(old), section(new)
        rows += [Row(what, left.get(what, ""), right.get(what, "")) for what in _merged(list(left), list(right))]
    return tuple(rows)


def _merged(left: list[str], right: list[str]) -> list[str]:
    """All of both in an order that suits both: what only the right has follows what it follows there."""
    found = list(left)
    for place, what in enumerate(right):
        if what not in found:
            found.insert(found.index(right[place - 1]) + 1 if place else 0, what)
    return found


def _totals(sheet: Sheet) -> dict[str, str]:
    total = cost_and_mass(*sheet)
    cost = f"{total.cents / CENTS:.2f} {sheet.case.brief.currency}"
    return {"cost": cost, "mass": f"{total.grams / GRAMS:.3f} kg", "system voltage": f"{sheet.build.system_v} V"}


def _bank(sheet: Sheet) -> dict[str, str]:
    bank, modules = sheet.build.bank, sheet.catalogue.of("modules")
    nominal_ah = modules[bank.module].capacity_ah * bank.parallel
    wired = f"{bank.series} in series, {bank.parallel} in parallel"
    return {"bank": f"{bank.series * bank.parallel} x {bank.module}, {wired}, {rows_of(bank)}; {nominal_ah:g} Ah"}


def _panels(sheet: Sheet) -> dict[str, str]:
    found = {}
    for zone in dict.fromkeys(panel.zone for panel in sheet.build.panels):
        kinds = Counter(panel.panel for panel in sheet.build.panels if panel.zone == zone)
        found[f"panels on {plain(zone)}"] = ", ".join(f"{count} x {panel}" for panel, count in sorted(kinds.items()))
    return found


def _arrays(sheet: Sheet) -> dict[str, str]:
    return {array_name(a.name): f"{a.panel}, {strung(a)}, on {input_of(sheet.build, a)}" for a in sheet.build.arrays}


def _parts(sheet: Sheet) -> dict[str, str]:
    found = {}
    for fitted in sheet.build.fitted:
        what = f"{plain(fitted.slot)} stands" if fitted.slot in UNNAMED else plain(fitted.slot)
        part = "" if fitted.slot in UNNAMED else f"{fitted.part} "
        found[what] = f"{part}on {plain(fitted.board)}{' (existing)' * fitted.existing}"
    return found


def _small(sheet: Sheet) -> dict[str, str]:
    build, found = sheet.build, dict[str, list[str]]()
    for shunt in build.measuring:
        found.setdefault("shunts", []).append(f"{shunt.count} x {shunt.shunt}")
    if build.dc_panel:
        found.setdefault("fuse panel", []).append(build.dc_panel)
    for use in old_uses(fit_of(sheet.case, sheet.catalogue, build)):
        if use.again:
            found.setdefault("old parts fitted again", []).append(f"{use.again} x {plain(use.row.name)}")
    for device in build.breakers:
        found.setdefault("devices in the mains box", []).append(f"{device.place}: {device.breaker}")
    for vent in build.vents:
        found.setdefault(f"vents in {plain(vent.bay)}", []).append(f"{vent.count} x {vent.vent}")
    for entry in build.entries:
        board = f" on {plain(entry.board)}" if entry.board else ""
        found.setdefault(f"entry {plain(entry.purpose)}", []).append(f"{entry.count} x {entry.entry}{board}")
    return {what: ", ".join(sorted(said)) for what, said in found.items()}


def _runs(sheet: Sheet) -> dict[str, str]:
    found = {}
    for name, laid in routed_runs(fit_of(*sheet)).items():
        fuse = f", {rating(laid.fuse)}" if laid.fuse else ""
        found[f"{run_name(name)} run"] = f"{size(laid.cable)}{fuse}, {laid.cut_words} m"
    return found


# --- what another build costs and weighs more or less, as the audit calculates both ----------------------


@dataclass(frozen=True)
class Totals:
    """After less before."""

    cents: int
    grams: int
    currency: str

    @property
    def text(self) -> str:
        """``+240.00 cu, -5.1 kg``: exact, so that lines add up."""
        return f"{self.cents / CENTS:+.2f} {self.currency}, {_kg(self.grams)} kg"


def totals(
    case: Case, catalogue: Catalogue, before: Build, after: Build, *, by: tuple[Case, Catalogue] | None = None
) -> Totals:
    """The difference of two builds; the later one ``by`` a case and catalogue of its own, if it has them.

    Raises
    ------
    BuildProblem
        If a build names what does not exist.
    """
    old, new = cost_and_mass(case, catalogue, before), cost_and_mass(*(by or (case, catalogue)), after)
    return Totals(new.cents - old.cents, new.grams - old.grams, case.brief.currency)


def _kg(grams: int) -> str:
    whole, _, rest = f"{grams / GRAMS:+.3f}".partition(".")
    return f"{whole}.{rest.rstrip('0') or '0'}"
