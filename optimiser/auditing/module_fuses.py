"""A fuse for each string of modules: in a large bank, one that fails takes what all the others can give."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.basis import volts
from optimiser.fitted.fit import Fit
from optimiser.parts import Fuse
from optimiser.physics import cable


def check(fit: Fit) -> Iterator[Finding]:
    """Whether they are there where the rule set asks for them; what holds of them wherever they are."""
    bank, rules = fit.build.bank, fit.case.rules
    if bank.parallel > 1 and fit.module.capacity_ah * bank.parallel > rules["module_fuse_from_ah"]:
        yield checked("battery.module_fuse", limit=1, actual=1 if bank.fuse else 0)
    if not bank.fuse:
        return
    fuse, main = fit.part(bank.fuse, Fuse), fit.build.run("main")
    share_a = fit.main_a / bank.parallel
    yield checked("battery.module_over_load", limit=rules["fuse_over_load"] * share_a, actual=fuse.rating_a)
    if main and main.fuse:  # links of the main run's section are guarded as that is
        yield checked("battery.module_under_main", limit=fit.part(main.fuse, Fuse).rating_a, actual=fuse.rating_a)
    breaks_a = fuse.breaking_a(fit.system_v) if fuse.volt_max_v >= volts.full_v(fit.system_v) else 0.0
    yield checked("battery.module_breaking", limit=fault_a(fit), actual=breaks_a)


def fault_a(fit: Fit) -> float:
    """The most through one of them: what its own string drives out, or what all the others drive back into it [A]."""
    bank = fit.build.bank
    one_string = volts.bank_resistance_ohm(fit.module, series=bank.series, parallel=1)
    own = cable.fault_current_a(volt=volts.full_v(fit.system_v), resistance_ohm=one_string)
    return max(own, own * (bank.parallel - 1))
