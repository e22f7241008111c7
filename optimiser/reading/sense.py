"""What the columns of a part must say of each other, by physics or by the nature of the thing."""

from collections.abc import Iterator

from optimiser.parts import Cable, Inverter, Module, Panel, Part, Wired
from optimiser.units import CENTS, exact

Fault = tuple[str, str]  # column; what is wrong, what was expected

_POWER_SLACK = 0.05  # of panel watts, for rounded volts and amperes on a nameplate
_FAULT_RATES = (5, 200)  # short-circuit amperes for each Ah of a lithium module (common practice, no source)
_CUT_OFF = (0.6, 1.05)  # of the system's voltage (common practice, no source)

# Of copper, as the ratio of a conductor's resistance to that of its section in ideal copper at 20 C, 17.241 ohm mm2/km.
# A flexible cable has 1.10 to 1.16 (IEC 60228 class 5, second hand); below 1 there is less copper than it says.
_IDEAL_COPPER = 17.241
_COPPER = (1.0, 1.25)


def faults(part: Part) -> Iterator[Fault]:
    """Everything about a part that cannot be."""
    yield from _cents(part)
    if isinstance(part, Panel):
        yield from _panel(part)
    if isinstance(part, Module):
        yield from _module(part)
    if isinstance(part, Inverter):
        yield from _inverter(part)
    if isinstance(part, Wired):
        yield from _terminals(part)
    if isinstance(part, Cable) and part.kind != "data":
        yield from _cable(part)


def _cents(part: Part) -> Iterator[Fault]:
    columns = ["end_price"] if isinstance(part, Cable) else ["price", "sundries"]  # a metre is rounded when cut
    columns += ["mount_price"] if isinstance(part, Panel) else []
    for column in columns:
        amount = getattr(part, column)
        try:
            exact(amount, CENTS)
        except ValueError:
            yield column, f"{amount:g} is not in whole cents; expected at most two decimals"


def _panel(panel: Panel) -> Iterator[Fault]:
    if panel.vmp_v >= panel.voc_v:
        yield "vmp_v", f"{panel.vmp_v:g} is not below voc_v; expected below {panel.voc_v:g}"
    if panel.imp_a >= panel.isc_a:
        yield "imp_a", f"{panel.imp_a:g} is not below isc_a; expected below {panel.isc_a:g}"
    product = panel.vmp_v * panel.imp_a
    if abs(panel.watt_w - product) > _POWER_SLACK * product:
        yield "watt_w", f"{panel.watt_w:g} is not vmp_v x imp_a; expected within 5 % of {product:.0f}"


def _module(module: Module) -> Iterator[Fault]:
    if module.discharge_a > module.surge_a:
        yield "surge_a", f"{module.surge_a:g} is below discharge_a; expected at least {module.discharge_a:g}"
    if module.capacity_minus_20c_pct > module.capacity_0c_pct:
        cap = f"at most its capacity_0c_pct, {module.capacity_0c_pct:g}"
        yield "capacity_minus_20c_pct", f"{module.capacity_minus_20c_pct:g} is too much; expected {cap}"
    most, least = (1000 * module.nominal_v / (rate * module.capacity_ah) for rate in _FAULT_RATES)
    if not least <= module.resistance_mohm <= most:
        rates = "{:g} to {:g} A a short circuit for each Ah".format(*_FAULT_RATES)
        message = f"{module.resistance_mohm:g} is no cell's; expected from {least:.2g} to {most:.2g}: {rates}"
        yield "resistance_mohm", message


def _inverter(inverter: Inverter) -> Iterator[Fault]:
    if inverter.watt_40c_w > inverter.watt_25c_w:
        most = f"at most its watt_25c_w, {inverter.watt_25c_w:g}"
        yield "watt_40c_w", f"{inverter.watt_40c_w:g} is too much; expected {most}"
    if inverter.surge_w < inverter.watt_25c_w:
        least = f"at least its watt_25c_w, {inverter.watt_25c_w:g}"
        yield "surge_w", f"{inverter.surge_w:g} is too little; expected {least}"
    low, high = (share * inverter.system_v for share in _CUT_OFF)
    if not low <= inverter.cut_off_v <= high:
        yield "cut_off_v", f"{inverter.cut_off_v:g} on {inverter.system_v} V; expected from {low:g} to {high:g}"


def _terminals(body: Wired) -> Iterator[Fault]:
    sides, offset = " ".join(body.terminal_sides), body.terminal_offset_mm
    if not sides:
        if offset is not None:
            yield "terminal_offset_mm", f"{offset} from the middle of no side; expected a side in terminal_sides"
        return
    if not body.terminal_mm2:
        yield "terminal_sides", f"{sides} for no power terminals; expected nothing, or a terminal_mm2 above 0"
    halves = {"length_mm": body.length_mm / 2, "width_mm": body.width_mm / 2}
    along = {"width_mm" if side in ("left", "right") else "length_mm" for side in body.terminal_sides}
    column = min(along, key=lambda measure: (halves[measure], measure))
    within = f"{halves[column]:g}, half of its {column}"
    if offset is None:
        yield "terminal_offset_mm", f"nothing for terminals on its {sides}; expected from 0 to {within}"
    elif offset > halves[column]:
        yield "terminal_offset_mm", f"{offset} is beyond the edge of its {sides}; expected at most {within}"
    if body.lug_room_mm is None:
        yield "lug_room_mm", f"nothing for terminals on its {sides}; expected what lug and bend take"


def _cable(cable: Cable) -> Iterator[Fault]:
    if not cable.section_mm2:
        yield "section_mm2", f"0 for kind {cable.kind}; expected above 0"
        return
    low, high = (ratio * _IDEAL_COPPER / cable.section_mm2 for ratio in _COPPER)
    if not low <= cable.ohm_per_km <= high:
        message = f"{cable.ohm_per_km:g} for {cable.section_mm2:g} mm2 of copper; expected from {low:.3g} to {high:.3g}"
        yield "ohm_per_km", message
    if not cable.ampacity_a:
        yield "ampacity_a", f"0 for kind {cable.kind}; expected above 0"
