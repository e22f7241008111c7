"""Checks on strings and regulators, for the temperature and the light of the day."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.basis import sun, volts
from optimiser.builds import PanelArray
from optimiser.commissioning.check import STC_C, Check
from optimiser.commissioning.spread import COMMON
from optimiser.fitted.fit import Fit
from optimiser.parts import Panel

BEFORE, CONNECTED = "Solar, before strings are connected", "Solar, connected"
_VOC, _ISC = 0.05, 0.08  # of 3 to 5 and 5 to 8 %, the wider
_POWER_LEAST, _POWER_MOST = 0.85, 1.03  # of what cells give: dirt and wiring at most; the rating's tolerance at most
_CELLS_C = (0.0, 10.0, 25.0, 40.0, 55.0, 70.0)
_LIGHTS_W_M2 = (200.0, 400.0, 600.0, 800.0, 1000.0)


def string_checks(fit: Fit) -> Iterator[Check]:
    """Each string, then each array's insulation, with nothing on them yet."""
    for array in fit.build.arrays:
        panel = fit.panel_of(array)
        for number in range(1, array.parallel + 1):
            yield from _string(array, panel, f"{array.name}.{number}")
        if array.light:
            yield Check(
                group=BEFORE, id=f"solar.{array.name}.insulation_mohm", what=f"{array.name}, both poles to the frames",
                how="250 to 500 V, unplugged from its regulator", unit="Mohm", low=1.0, source=COMMON,
            )  # fmt: skip


def power_checks(fit: Fit) -> Iterator[Check]:
    """What each array's regulator takes of it."""
    for array in fit.build.arrays:
        yield from _power(fit, array, fit.panel_of(array))


_END = {
    False: "the end that goes to its regulator, unplugged there",
    True: "its roof end, the branch to the other strings open: shorted through one another, reversed ones burn",
}
"""Where a string is tested, by whether it shares its run."""

_ALONE = {False: "", True: ", alone at its roof end"}


def _string(array: PanelArray, panel: Panel, name: str) -> Iterator[Check]:
    volt = array.series * panel.voc_v
    yield Check(
        group=BEFORE, id=f"string.{name}.polarity", what=f"string {name}, plus on the lead marked plus", rule="done",
        how=f"voltmeter at {_END[array.parallel > 1]}", source=COMMON,
    )  # fmt: skip
    yield Check(
        group=BEFORE, id=f"string.{name}.voc_v", what=f"string {name}, open",
        how=f"before it is connected{_ALONE[array.parallel > 1]}; note the temperature of its cells: "
        f"{array.series} x {panel.voc_v:g} V x "
        f"(1 {panel.voc_pct_k:+g} % x (cells - 25 C)); all strings of an array within 2 %",
        unit="V", design=volt, low=(1 - _VOC) * volt, high=(1 + _VOC) * volt, rule="voc", basis="panel's sheet",
        source=COMMON, pct_k=panel.voc_pct_k, table=tuple((c, array.series * sun.voc_v(panel, c)) for c in _CELLS_C),
        table_of="V with cells at C",
    )  # fmt: skip
    amps = panel.isc_a
    yield Check(
        group=BEFORE, id=f"string.{name}.isc_a", what=f"string {name}, short-circuited",
        how=f"clamp for direct current, through a switch made for it, its regulator not on it"
        f"{_ALONE[array.parallel > 1]}; note the light in the "
        f"panels' plane: {amps:g} A x light / 1000 W/m2",
        unit="A", design=amps, low=(1 - _ISC) * amps, high=(1 + _ISC) * amps, rule="isc", basis="panel's sheet",
        source=COMMON, table=tuple((g, amps * g / sun.FULL_SUN_W_M2) for g in _LIGHTS_W_M2), table_of="A in W/m2",
    )  # fmt: skip


def _power(fit: Fit, array: PanelArray, panel: Panel) -> Iterator[Check]:
    ends = fit.input_of(array)
    if ends is None:
        return
    count = array.series * array.parallel
    field = count * float(sun.panel_w(panel, sun.FULL_SUN_W_M2, STC_C))
    cells = field / sun.FIELD_SHARE
    most = ends.out_a * volts.nominal_v(fit.system_v)
    hot = fit.derate * most
    yield Check(
        group=CONNECTED, id=f"solar.{array.name}.power_w", what=f"{array.regulator} from {array.name}",
        how=f"its own reading, bank well below full; note light and cells: of {cells:g} W x light / 1000 W/m2 x "
        f"(1 {panel.power_pct_k:+g} % x (cells - 25 C)) design {100 * sun.FIELD_SHARE:g} %, low "
        f"{100 * _POWER_LEAST:g} % (dirt and wiring), high {100 * _POWER_MOST:g} % (tolerance of ratings); design no "
        f"more than its limit of {most:.4g} W, low no more than {hot:.4g} W in a hot bay",
        unit="W", design=field, low=_POWER_LEAST * cells, high=_POWER_MOST * cells, rule="power",
        basis="panel's sheet", source=COMMON, pct_k=panel.power_pct_k,
        most=most, least_of_most=hot,
    )  # fmt: skip
