"""What the brief asks for by size. Nothing is said of what it leaves open."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.fitted.fit import Fit
from optimiser.parts import Panel


def check(fit: Fit) -> Iterator[Finding]:
    """Mains charging, panels on the roof, bank and inverter."""
    asked = fit.case.limits
    if asked.mains_charge_a:
        yield checked("size.mains_charge", limit=asked.mains_charge_a, actual=fit.hook_up_a)
    if asked.solar_w:
        watts = sum(fit.part(placed.panel, Panel).watt_w for placed in fit.build.panels)
        yield checked("size.solar", limit=asked.solar_w, actual=watts)
    if asked.bank_ah:
        nominal_ah = fit.module.capacity_ah * fit.build.bank.parallel
        yield checked("size.bank", limit=asked.bank_ah, actual=nominal_ah * fit.system_v / 12)
    if asked.inverter_w:
        yield checked("size.inverter", limit=asked.inverter_w, actual=fit.inverter.watt_25c_w if fit.inverter else 0)
