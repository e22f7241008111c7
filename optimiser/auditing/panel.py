"""The fuse panel of the 12 V loads, where the brief has circuits behind it."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import required_runs, routed_runs


def check(fit: Fit) -> Iterator[Finding]:
    """Ways, what each of them stands, and what all of it does."""
    brief, panel, laid = fit.case.brief, fit.dc_panel, routed_runs(fit)
    if not brief.dc_circuits or panel is None:
        return  # reported as missing
    yield checked("panel.ways", limit=brief.panel_ways, actual=panel.ways)
    if brief.preferences.spare_ways:
        spare = panel.ways - brief.panel_ways
        yield checked("preference.spare_ways", limit=brief.preferences.spare_ways, actual=spare)
    for name, wanted in required_runs(fit).items():
        fuse = laid[name].fuse if name in laid else None
        if wanted.feed == "panel" and fuse:
            yield checked("panel.way_rating", name, limit=panel.way_max_a, actual=fuse.rating_a)
    loads, before = required_runs(fit)["dc_loads"], laid.get("dc_loads")
    through_a = max(loads.amps, loads.stands_a, before.fuse.rating_a if before and before.fuse else 0.0)
    yield checked("panel.rating", limit=through_a, actual=panel.rating_a)
