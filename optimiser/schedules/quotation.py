"""The quotation: what is built in plain words, what it costs, what may be chosen instead, and what is left out."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from optimiser.auditing import Finding, breaches
from optimiser.builds import digest
from optimiser.connections import SLOTS
from optimiser.fitted import Fit
from optimiser.fitted.old_parts import old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Busbar, Isolator, MainsBox, Panel
from optimiser.schedules.forces import TOLD
from optimiser.schedules.materials import lines, not_in_the_build, sums
from optimiser.schedules.table import PRACTICE
from optimiser.units import GRAMS

EXCLUSIONS = (
    "the licensed electrician's own labour: connection to the mains, earthing, inspection and test",
    "taxes, unless the catalogue's prices include them",
    "furniture: building, cutting and making good",
    "opening walls, floors and linings, and finding what is behind them",
    "repairs of the roof and of any damp found on the way",
    "taking out old equipment, and its disposal",
    "gas work",
    "the hours of commissioning by the test sheet, with weighing before and after the fit-out, and a weighbridge's "
    "fee: part of the work, but not of the catalogue's minutes",
    "any change of the vehicle's permitted masses",
    "registration, inspection and insurance of the changed vehicle",
    "loads, their own wiring beyond the fuse panel, and the fuse panel itself",
)
"""What a quotation for a power fit-out commonly leaves out (common practice, no source)."""

PRICES_NOTE = "The prices are the catalogue's; add tax and margin as you do."


@dataclass(frozen=True)
class OptionLine:
    """Another build that the customer may choose: how much more it costs [cents] and weighs [g]; below 0 less."""

    name: str
    cents: int
    grams: int
    line: str  # what changes


@dataclass(frozen=True)
class Price:
    """A line of the price."""

    name: str
    cents: int


@dataclass(frozen=True)
class Quotation:
    """Everything a quotation says; date and validity are the shop's to fill in."""

    title: str
    what: tuple[str, ...]
    prices: tuple[Price, ...]  # the last is the total
    currency: str
    labour_per_h: float
    mass_kg: float
    options: tuple[OptionLine, ...]
    exclusions: tuple[str, ...]  # then what the build does not hold
    checked: tuple[str, ...]
    version: str  # of case and catalogue
    build: str  # sha256 of the build's JSON
    fitted_mains: tuple[str, ...] = ()  # work on the mains that the labour holds

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader must know of the prices and the list of what is left out."""
        return (
            PRICES_NOTE,
            f"Labour at {self.labour_per_h:g} {self.currency} an hour, rounded up to the cent for each item.",
            self._electrician,
            f"What is left out: {PRACTICE}; change the list as your shop works.",
        )

    @property
    def _electrician(self) -> str:
        """Whose labour on the mains is in the price."""
        if not self.fitted_mains:
            return "The licensed electrician's own labour is not in the price."
        return (
            f"Labour includes the catalogue's minutes to {' and to '.join(self.fitted_mains)}; the licensed "
            "electrician's own labour is not in the price."
        )


def quotation(fit: Fit, findings: Iterable[Finding], *, options: Iterable[OptionLine] = (), version: str) -> Quotation:
    """The quotation of a build.

    Parameters
    ----------
    fit : The build with its parts looked up.
    findings : What the audit found of it.
    options : Other builds, as differences from this one.
    version : What tells case and catalogue from other versions of them: their hash.
    """
    total = sums(lines(fit))
    return Quotation(
        title=fit.case.brief.title,
        what=tuple(_what(fit)),
        prices=(
            Price("parts", total.parts_cents),
            Price("sundries", total.sundries_cents),
            Price("labour", total.labour_cents),
            Price("total", total.worth.cents),
        ),
        currency=fit.case.brief.currency,
        labour_per_h=fit.case.brief.labour_per_h,
        mass_kg=total.worth.grams / GRAMS,
        options=tuple(options),
        exclusions=(*EXCLUSIONS, *not_in_the_build(fit)),
        checked=tuple(_checked(tuple(findings))),
        version=version,
        build=digest(fit.build),
        fitted_mains=tuple(_fitted_mains(fit)),
    )


def _fitted_mains(fit: Fit) -> Iterator[str]:
    bought = [line for line in lines(fit) if line.worth.cents]
    if any(line.kind == "mains boxes" for line in bought):
        yield "fit the mains box"
    if any(laid.cable.kind == "mains" for laid in routed_runs(fit).values()):
        yield "lay mains cables and make their ends"


def _checked(findings: tuple[Finding, ...]) -> Iterator[str]:
    broken = breaches(findings)
    held = "all are met" if not broken else f"{len(broken)} are NOT met"
    yield f"{len(findings)} requirements checked on the build: {held}"
    yield from (f"not met: {finding.sentence}" for finding in broken)
    yield TOLD


# --- in plain words ----------------------------------------------------------------------------------


def _what(fit: Fit) -> Iterator[str]:
    yield from _solar(fit)
    bank, module = fit.build.bank, fit.module
    capacity_ah = module.capacity_ah * bank.parallel
    modules = f"{fit.modules} lithium iron phosphate module{'s' * (fit.modules != 1)}"
    yield f"{fit.system_v} V battery, {capacity_ah:g} Ah nominal: {modules} ({module.name})"
    if fit.inverter:
        kind = "inverter-charger" if fit.inverter.transfers else "inverter"
        yield f"{kind}, {fit.inverter.watt_25c_w:g} W at 25 C ({fit.inverter.name}){_stays(fit, 'inverter')}"
    for slot, regulator in fit.regulators.items():
        yield f"solar regulator, {regulator.out_a:g} A ({regulator.name}){_stays(fit, slot)}"
    for slot, charger in fit.chargers.items():
        words = "charger fed by the engine" if slot == "alternator_charger" else SLOTS[slot].words
        yield f"{words}, {charger.charge_a:g} A ({charger.name}){_stays(fit, slot)}"
    if fit.step_down:
        yield f"step-down for the 12 V loads, {fit.step_down.out_a:g} A ({fit.step_down.name})"
    yield from _small(fit)
    for use in old_uses(fit):
        name, value = use.row.name.replace("_", " "), use.row.value * use.gone
        if use.again:
            yield f"{name}: {use.again} fitted again"
        if use.gone:
            ends = f"credited with {value:.2f} {fit.case.brief.currency}" if value else "to waste"
            yield f"{name}: {use.gone} taken out, {ends}"
    yield _by_the_bill(fit)


def _small(fit: Fit) -> Iterator[str]:
    """Parts with a slot of their own that neither charge nor convert."""
    box, isolator, busbar = fit.at("mains_box", MainsBox), fit.at("isolator", Isolator), fit.at("busbar", Busbar)
    if box:
        circuits = f"{box.circuits} circuit{'s' * (box.circuits != 1)}"
        yield f"mains box for {circuits}, inlet up to {box.inlet_a:g} A ({box.name}){_stays(fit, 'mains_box')}"
    if isolator:
        yield f"battery isolator, {isolator.rating_a:g} A ({isolator.name})"
    if busbar:
        yield f"busbars, {busbar.rating_a:g} A ({busbar.name})"
    for slot, words in (("display", "display of the measured currents"), ("switch", "remote switch of the inverter")):
        fitted = fit.build.slot(slot)
        if fitted:
            yield f"{words} ({fitted.part})"


def _by_the_bill(fit: Fit) -> str:
    """What is too small to be named one by one, of classes that the bill has."""
    classes = {line.kind for line in lines(fit)}
    words = {
        "fuses": "fuses with their holders", "shunts": "shunts", "cables": "cables with their ends",
        "entries": "entries", "vents": "vents",
    }  # fmt: skip
    *most, last = [text for kind, text in words.items() if kind in classes]
    return f"{', '.join(most)}{' and ' * bool(most)}{last} as in the bill of materials"


def _solar(fit: Fit) -> Iterator[str]:
    counts = Counter(placed.panel for placed in fit.build.panels)
    if counts:
        watt_w = sum(fit.part(name, Panel).watt_w * count for name, count in counts.items())
        panels = ", ".join(f"{count} x {name}" for name, count in sorted(counts.items()))
        yield f"solar panels on the roof, {watt_w:g} W in all: {panels}"
    if fit.case.brief.portable:
        yield f"socket and wiring for the customer's portable panel ({fit.case.brief.portable.panel})"


def _stays(fit: Fit, slot: str) -> str:
    fitted = fit.build.slot(slot)
    return ", existing" if fitted and fitted.existing else ""
