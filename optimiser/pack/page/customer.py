"""What a customer asks: what is fitted, what it runs, and for how long."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from optimiser.audit import Finding, Fit
from optimiser.basis.money import Worth
from optimiser.case import Case
from optimiser.printing.wording import kg, money


def figures(fit: Fit, findings: Iterable[Finding], worth: Worth) -> list[tuple[str, str]]:
    """The few numbers that matter most, each with its name."""
    found = {finding.requirement: finding for finding in findings}
    bank = fit.build.bank
    shown = [("price, labour included", money(worth.cents, fit.case.brief.currency)), ("mass added", kg(worth.grams))]
    watts = sum(fit.panel_of(array).watt_w * array.series * array.parallel for array in fit.build.arrays)
    shown.append(("panels", f"{watts:g} W"))
    shown.append(("battery", f"{fit.module.capacity_ah * bank.parallel:g} Ah at {fit.build.system_v} V"))
    if fit.inverter:
        shown.append(("mains from the battery", f"{fit.inverter.watt_25c_w:g} W"))
    if "energy.autonomy" in found:
        shown.append(("days without sun", found["energy.autonomy"].numbers[1]))
    return shown


def fitted(fit: Fit) -> list[str]:
    """What is fitted, in a line each."""
    return list(_fitted(fit))


def _fitted(fit: Fit) -> Iterator[str]:
    bank = fit.build.bank
    panels = Counter(panel.panel for panel in fit.build.panels)
    for name, count in sorted(panels.items()):
        yield f"{count} x {name} on the roof"
    for array in fit.build.arrays:
        if not array.light:
            yield f"an input for the portable panel {array.panel}"
    yield f"{bank.series * bank.parallel} x {bank.module}"
    for body in fit.build.fitted:
        if body.part and body.slot.split("_")[0] in ("inverter", "regulator", "alternator", "mains", "step", "display"):
            yield f"{body.part}{' (stays)' if body.kept else ''}"


def loads(case: Case) -> list[tuple[str, ...]]:
    """Each load as the brief has it."""
    return [
        (
            load.name.replace("_", " "),
            "mains" if load.supply == "mains" else "12 V",
            f"{load.watt_w:g}",
            str(load.from_h),
            str(load.to_h),
            f"{load.duty_pct:g}",
            ", ".join(name.replace("_", " ") for name in load.scenarios),
        )
        for load in case.loads
    ]


def lasting(findings: Iterable[Finding]) -> list[str]:
    """What the audit says of energy, a sentence each."""
    return [f"{f.sentence[0].upper()}{f.sentence[1:]}." for f in findings if f.name.startswith("energy.")]
