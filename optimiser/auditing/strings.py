"""Strings, and the regulators they end at."""

from collections import Counter
from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.basis import sun, volts
from optimiser.builds import PanelArray
from optimiser.fitted.fit import Fit
from optimiser.units import at_most


def check(fit: Fit) -> Iterator[Finding]:
    """Each array, then what holds for all together."""
    for array in fit.build.arrays:
        yield checked(
            "string.complete", array.name, limit=array.series * array.parallel, actual=_well_placed(fit, array)
        )
        yield from _array(fit, array)
    limits, build = fit.case.limits, fit.build
    yield checked("string.regulators", limit=limits.regulators_at_most, actual=len(fit.regulators))
    yield checked("string.system_voltage", limit=0, actual=_misfits(fit))
    if fit.case.brief.portable:
        inputs = [a for a in build.arrays if not a.roof_plane and a.panel == fit.case.brief.portable.panel]
        yield checked("string.portable", limit=1, actual=1 if len(inputs) == 1 else 0)


def _well_placed(fit: Fit, array: PanelArray) -> int:
    """Panels where the array wants them; less than wanted if any is too many or astray."""
    ours, wanted = fit.roof_panels(array), array.series * array.parallel
    if not array.roof_plane:
        portable = fit.case.brief.portable is not None and fit.panel_of(array).kind == "portable"
        return 1 if portable and wanted == 1 and not ours else 0
    right = Counter(
        int(p.string.rpartition(".")[2])
        for p in ours
        if p.panel == array.panel and fit.zone_of[p.zone].roof_plane == array.roof_plane
    )
    well = sum(min(right[number], array.series) for number in range(1, array.parallel + 1))
    if fit.panel_of(array).kind == "portable":
        return 0  # nothing to fix it to the roof with
    return wanted - (len(ours) - well) if well == wanted else well


def _array(fit: Fit, array: PanelArray) -> Iterator[Finding]:
    case, panel, name = fit.case, fit.panel_of(array), array.name
    cold_v = array.series * sun.cold_voc_v(case, panel)
    current_a = volts.solar_current_a(case, panel, parallel=array.parallel)
    watts = array.series * array.parallel * panel.watt_w
    fuse_from = at_most(case.rules["string_fuse_from"])
    fuse = fit.string_fuse(array)
    yield checked("string.parallel", name, limit=fuse_from - 1, actual=0 if fuse else array.parallel)
    if fuse:
        least_a = volts.string_fuse_a(case, panel)
        yield checked("string.fuse_over_load", name, limit=least_a, actual=fuse.rating_a)
        yield checked("string.fuse_under_panel", name, limit=panel.fuse_max_a, actual=fuse.rating_a)
        yield checked("string.fuse_voltage", name, limit=cold_v, actual=fuse.volt_max_v)
    yield checked("string.ceiling", name, limit=case.rules["solar_ceiling_v"], actual=cold_v)
    ends = fit.input_of(array)
    if ends is None:
        return  # reported as a run that does not end anywhere
    nominal = volts.nominal_v(fit.system_v)
    allowed_v = ends.volt_max_v * case.rules["regulator_voltage_share"]
    allowed_w = ends.over_panel_ratio * ends.out_a * nominal
    hot_v = array.series * sun.hot_vmp_v(case, panel)
    yield checked("string.cold_voltage", name, limit=allowed_v, actual=cold_v)
    charging_v = volts.charging_v(fit.system_v)  # the bank may stand there when a cloud has passed
    start_v, run_v = charging_v + ends.start_above_v, charging_v + volts.RUN_ABOVE_V  # it starts on an open string
    yield checked("string.start_voltage", name, limit=start_v, actual=array.series * sun.hot_voc_v(case, panel))
    yield checked("string.hot_voltage", name, limit=run_v, actual=hot_v)
    yield checked("string.short_circuit", name, limit=ends.isc_max_a, actual=current_a)
    yield checked("string.over_panelling", name, limit=allowed_w, actual=watts)


def _misfits(fit: Fit) -> int:
    """Parts that do not suit the voltage they are connected to."""
    volt, alternator = fit.system_v, fit.case.brief.alternator
    single = [fit.inverter, *fit.chargers.values(), fit.step_down]
    count = sum(volt not in r.system_v for r in fit.regulators.values())
    count += sum(part is not None and part.system_v != volt for part in single)
    count += abs(fit.module.nominal_v * fit.build.bank.series - volts.nominal_v(volt)) > 0.01
    if fit.alternator_charger and alternator:
        count += fit.alternator_charger.input_v != alternator.system_v
    return count
