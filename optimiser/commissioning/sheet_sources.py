"""Rows of the test sheet for what charges: alternator, chargers and the sun."""

from collections.abc import Iterator, Mapping

from optimiser.auditing.finding import Finding
from optimiser.basis import sun, volts
from optimiser.builds import PanelArray
from optimiser.commissioning.check import DERATES_ABOVE, STC_C, Check
from optimiser.commissioning.monitor import NO_MONITOR, monitor_of
from optimiser.commissioning.spread import COMMON
from optimiser.connections import SLOTS
from optimiser.fitted.fit import Fit
from optimiser.parts import Panel

# --- checks on what charges the bank, other than strings ----------------------------------------------


GROUP = "Charging"
TOWING = "the towing vehicle's own cable is not in the build: measure it apart"

_CHARGE = 0.05  # a charger within so much of its design
_FEED_V = 0.1  # beyond its design at the input of the alternator charger
_ALTERNATOR_C = 100.0  # of 100 to 110, the lower
_BELOW_PCT = 80.0  # a bank that takes all it is given


def charging_checks(fit: Fit, found: Mapping[str, Finding]) -> Iterator[Check]:
    """Each charger's current, and what its feed and the engine's alternator make of it."""
    brief, inverter, ready = fit.case.brief, fit.inverter, _ready(fit)
    fed = {slot: charger for slot, charger in fit.chargers.items() if getattr(brief, SLOTS[slot].source)}
    if fed.pop("alternator_charger", None):
        yield from _alternator(fit, found, f"{ready}{'; panels covered' if fit.solar_on_alternator else ''}")
    amps = {slot: (SLOTS[slot].words, charger.charge_a) for slot, charger in fed.items()}
    if inverter and inverter.transfers and brief.inlet:
        amps["inverter"] = "inverter-charger", inverter.charge_a
    for slot, (words, rated_a) in amps.items():
        yield _charge(f"charge.{slot}", f"{words} into the bank", _held(rated_a, ready), rated_a)


def _ready(fit: Fit) -> str:
    least_ah = (1 - _BELOW_PCT / 100) * fit.module.capacity_ah * fit.build.bank.parallel
    return (
        f"clamp against display for 10 minutes, bank below {_BELOW_PCT:g} %: {least_ah:g} Ah or more drawn from full, "
        f"by the currents on the display over time, or {monitor_of(fit) or NO_MONITOR}"
    )


def _held(amps: float, ready: str) -> str:
    return f"{ready}; {100 * _CHARGE:g} % either side of its rated {amps:g} A, {DERATES_ABOVE}"


def _alternator(fit: Fit, found: Mapping[str, Finding], ready: str) -> Iterator[Check]:
    assert fit.alternator_charger is not None
    amps, plug = fit.alternator_charger.charge_a, fit.case.towed
    feeds = "; it holds them while its input voltage holds: note that"
    yield _charge("charge.alternator_charger", "alternator charger into the bank, engine at 2000 rpm",
                  f"{_held(amps, ready)}{feeds}", amps)  # fmt: skip
    yield _charge(
        "charge.alternator_charger_idle", "the same, engine idling",
        f"{ready}; same band of {amps:g} A: what is missing at idle alone is the alternator's, not the charger's; note "
        "its input voltage", amps,
    )  # fmt: skip
    feed = found.get("run.drop[alternator_feed]")
    if feed:
        start = "tow plug" if plug else "starter battery"
        yield Check(
            group=GROUP, id="charge.feed_v", what=f"{start} less input of the alternator charger",
            how=f"after 20 to 30 minutes at full output; note the input voltage{f'; {TOWING}' if plug else ''}",
            unit="V", design=feed.actual, high=feed.actual + _FEED_V, basis=feed.requirement, source=COMMON,
        )  # fmt: skip
    yield Check(
        group=GROUP, id="charge.alternator_c", what="case of the engine's alternator", high=_ALTERNATOR_C,
        how="after 20 to 30 minutes at full output", unit="C", source=COMMON,
    )  # fmt: skip


def _charge(id: str, what: str, how: str, amps: float) -> Check:
    return Check(
        group=GROUP, id=id, what=what, how=how, unit="A", design=amps, low=(1 - _CHARGE) * amps,
        high=(1 + _CHARGE) * amps, basis="rated output", source=COMMON,
    )  # fmt: skip


# --- checks on strings and regulators, for the temperature and the light of the day -------------------


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
        if array.roof_plane:
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
