"""The bank hour by hour in every scenario, and how long it lasts without sun."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import above_floor, days_without_sun, trace_of


def check(fit: Fit) -> Iterator[Finding]:
    """Each scenario, then the days without sun."""
    for scenario in fit.case.scenarios:
        soc_pct = trace_of(fit, scenario).soc_pct
        lowest, floor = float(soc_pct.min()), 100 - 100 * above_floor(fit, scenario.temp_min_c)
        yield checked("energy.floor", scenario.name, limit=floor, actual=lowest)
        if scenario.returns:
            yield checked("energy.returns", scenario.name, limit=scenario.start_pct, actual=float(soc_pct[-1]))
    limits = fit.case.limits
    if limits.autonomy_days > 0:
        yield checked("energy.autonomy", limit=limits.autonomy_days, actual=days_without_sun(fit))
