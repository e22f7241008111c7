"""The bank: what it gives, what it takes, where it may stand."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked, judged
from optimiser.basis import air, volts
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import inverter_efficiency


def check(fit: Fit) -> Iterator[Finding]:
    """The bank."""
    bank, module, volt = fit.build.bank, fit.module, fit.system_v
    allowed = fit.case.brief.system_voltages
    nearest = min(allowed, key=lambda v: abs(v - volt))
    yield judged("battery.voltage", limit=nearest, actual=volt, ok=volt in allowed)
    yield checked("battery.parallel", limit=module.parallel_max, actual=bank.parallel)
    yield checked("battery.series", limit=module.series_max, actual=bank.series)
    block = bank.rows * bank.columns
    if block != fit.modules:  # the block drawn is not the bank bought
        yield judged("battery.parallel", "block", limit=fit.modules, actual=block, ok=False)
    yield from _currents(fit)
    yield from _lead_acid(fit)
    bay = fit.bay("bank")
    if bay is None:
        return
    yield checked("battery.cold", bay.name, limit=module.charge_min_c, actual=fit.cold_c + bay.cold_rise_k)
    in_living = bay.habitable and bay.air != "sealed" and fit.case.rules["bank_in_living"] == 0
    yield checked("battery.place", bay.name, limit=0, actual=(not bay.battery) + in_living)


def _lead_acid(fit: Fit) -> Iterator[Finding]:
    """A lead-acid battery that stays gives off gas: apart from the room, and from all that may spark."""
    for bay in fit.case.bays:
        old = [k for k in fit.case.existing if k.kind == "lead_acid" and fit.case.board_of[k.board].bay == bay.name]
        if old:
            beside = {fitted.slot for fitted in fit.build.fitted if fit.bay(fitted.slot) is bay}
            yield checked("battery.lead_acid", bay.name, limit=0, actual=len(beside) + air.breathes_cabin(bay))


def _currents(fit: Fit) -> Iterator[Finding]:
    module, strings, peaks = fit.module, fit.build.bank.parallel, fit.peaks
    efficiency = inverter_efficiency(fit)
    dc_w = volts.dc_loads_w(peaks.dc_w, fit.step_down)
    running = (peaks.inverter_w / efficiency + dc_w) / fit.system_v
    starting = (peaks.inverter_surge_w / efficiency + dc_w) / fit.system_v
    together = strings * volts.sharing(fit.case, strings)
    yield checked("battery.discharge", limit=module.discharge_a * together, actual=running)
    yield checked("battery.surge", limit=module.surge_a * together, actual=starting)
    for state, amps in fit.charge_a.items():
        yield checked("battery.charge", state, limit=module.charge_a * together, actual=amps)
