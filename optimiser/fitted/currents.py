"""The currents that a build measures."""

from typing import NamedTuple

from optimiser.basis import volts
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import OUTPUTS


class Current(NamedTuple):
    """A current that must be measured, and the run whose shunt it goes through; of an array that of one string."""

    run: str
    amps: float


def currents(fit: Fit) -> list[Current]:
    """Every current that must be measured; strings in parallel are in one run.

    All shunts stand by the busbars, and no core goes to another bay and back for one. So an array that does not end
    there is measured behind its regulator; on a charger with sources of its own, with what that gives.
    """
    found = [Current("main", fit.main_a)] if fit.case.brief.monitor == "must" else []
    found.append(Current("dc_loads", fit.peaks.dc_w / 12))
    for array in fit.build.arrays:
        if fit.node(array.regulator) == fit.node("shunt_row"):
            one_string = volts.solar_current_a(fit.case, fit.panel_of(array), parallel=1)
            found += [Current(f"solar_{array.name}", one_string)] * array.parallel
        elif array.regulator in fit.regulators:
            found.append(Current(array.regulator, fit.regulators[array.regulator].out_a))
    found += [Current(OUTPUTS.get(slot, slot), fit.charger_a(slot)) for slot in fit.chargers]
    if fit.inverter:
        found.append(Current("inverter", volts.inverter_input_a(fit.inverter, fit.inverter.watt_25c_w)))
    return found
