"""What a customer asks: what is fitted, what it runs, and for how long."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from optimiser.audit import Finding, Fit
from optimiser.basis.money import Worth
from optimiser.case import Case
from optimiser.differences.change import plain
from optimiser.parts import Panel
from optimiser.printing.wording import kg, money


def figures(fit: Fit, findings: Iterable[Finding], worth: Worth) -> list[tuple[str, str]]:
    """The few numbers that matter most, each with its name."""
    found = {finding.requirement: finding for finding in findings}
    bank = fit.build.bank
    shown = [("price, labour included", money(worth.cents, fit.case.brief.currency)), ("mass added", kg(worth.grams))]
    watts = sum(fit.part(placed.panel, Panel).watt_w for placed in fit.build.panels)
    shown.append(("panels on the roof", f"{watts:g} W"))
    shown.append(("battery", f"{fit.module.capacity_ah * bank.parallel:g} Ah at {fit.build.system_v} V"))
    if "inverter.power" in found:
        shown.append(("mains from the battery, in the heat", f"{found['inverter.power'].numbers[1]} W"))
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


def lasting(fit: Fit, findings: Iterable[Finding]) -> list[str]:
    """How far the battery falls in each scenario, and how long it lasts without sun: the audit's figures in words."""
    return list(_lasting(fit, {finding.requirement: finding for finding in findings}))


def _lasting(fit: Fit, found: Mapping[str, Finding]) -> Iterator[str]:
    for scenario in fit.case.scenarios:
        limit, lowest = found[f"energy.floor[{scenario.name}]"].numbers
        line = (
            f"{plain(scenario.name)}: begins at {scenario.start_pct:g} % of the battery; at the end of its lowest hour "
            f"{lowest} % is left, and it may never be below {limit} %."
        )
        returns = found.get(f"energy.returns[{scenario.name}]")
        yield f"{line} It ends at {returns.numbers[1]} %." if returns else line
    if "energy.autonomy" in found:
        limit, days = found["energy.autonomy"].numbers
        yield f"Without sun, driving and hook-up a full battery lasts {days} days; {limit} were asked for."
    hook_up = fit.case.circuits_from("hook_up")
    if hook_up:
        yield f"Only on hook-up: {', '.join(map(plain, hook_up))}."
    if fit.case.brief.inlet and fit.inverter and not fit.inverter.transfers:
        yield "Sockets of the inverter run from the battery on hook-up too; the mains charger fills it meanwhile."
