"""The links of a build's bank: of the main run's cable, so that the main fuse guards them from loads as it guards that.

A fault between modules does not come through it: fuses of the strings break that, where there are any.
"""

from optimiser.basis import links
from optimiser.basis.links import Links
from optimiser.basis.money import CostAndMass
from optimiser.fitted.fit import Fit, once
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.physics import cable

_MM_IN_M = 1000


@once
def links_of(fit: Fit) -> Links | None:
    """None for a bank of one module, for one without a main run, which says what they are made of, or without a
    place."""
    bank, fitted = fit.build.bank, fit.build.slot("bank")
    if fitted is None or cable_run(fit) is None:
        return None
    size = {"series": bank.series, "parallel": bank.parallel, "rows": bank.rows, "columns": bank.columns}
    found = links.of_bank(fit.case, fit.module, orientation=fitted.orientation, **size)
    return found if found.count else None


def cable_run(fit: Fit) -> RoutedRun | None:
    """The run whose cable they are of."""
    return routed_runs(fit).get("main")


def worth(fit: Fit) -> CostAndMass:
    """What they cost and weigh."""
    found, main = links_of(fit), cable_run(fit)
    return links.worth(found, main.cable, fit.case.brief.labour_per_h) if found and main else CostAndMass(0, 0)


def as_one_way_m(fit: Fit) -> float:
    """Length of main run, out and back, that loses what its current loses in the links [m]."""
    found = links_of(fit)
    return found.carrying_mm(fit.case) / 2 / _MM_IN_M if found else 0.0


def in_words(fit: Fit) -> list[str]:
    """Section, then how many of what length each kind is; nothing without links."""
    found, main = links_of(fit), cable_run(fit)
    if found is None or main is None:
        return []
    kinds = (
        (found.in_strings, found.in_string_mm, "in strings"),
        (found.in_rails, found.rail_mm, "from string to string"),
    )
    told = [f"{count} x {mm + found.ends_mm} mm {where}" for count, mm, where in kinds if count]
    return [f"{main.cable.section_mm2:g} mm2", *told]


def path_ohm(fit: Fit, conductor_c: float) -> float:
    """What they add to the resistance of the battery's path [ohm]."""
    main = cable_run(fit)
    if main is None:
        return 0.0
    length_m = 2 * as_one_way_m(fit)
    return cable.resistance_ohm(ohm_per_km_20c=main.cable.ohm_per_km, length_m=length_m, conductor_c=conductor_c)
