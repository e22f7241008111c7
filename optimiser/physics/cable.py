"""Conductors, fuses and ducts: resistance, drop, ampacity, fault current and fill."""

from collections.abc import Sequence
from math import inf, sqrt

ALPHA_20 = 0.00393
"""Temperature coefficient of annealed copper at 20 C, per K (International Annealed Copper Standard, second hand)."""


def _check_not_negative(**quantities: float) -> None:
    for name, value in quantities.items():
        if value < 0:
            raise ValueError(f"{name} cannot be negative, got {value}")


def _check_above_zero(**quantities: float) -> None:
    for name, value in quantities.items():
        if value <= 0:
            raise ValueError(f"{name} must be above 0, got {value}")


def resistance_ohm(*, ohm_per_km_20c: float, length_m: float, conductor_c: float) -> float:
    """Resistance of one copper conductor at its working temperature, ``R = r l (1 + 0.00393 (T - 20))``. [ohm]

    Parameters
    ----------
    ohm_per_km_20c : Resistance per length at 20 C, from the cable's standard or data sheet. [ohm/km]
    length_m : Length of the one conductor. [m]
    conductor_c : Temperature of the copper, -50 to 250. [C]

    Examples
    --------
    R75 / R20 = 1.21615 (International Annealed Copper Standard, second hand).

    >>> round(resistance_ohm(ohm_per_km_20c=1000, length_m=1, conductor_c=75), 5)
    1.21615
    """
    _check_not_negative(ohm_per_km_20c=ohm_per_km_20c, length_m=length_m)
    if not -50 <= conductor_c <= 250:
        raise ValueError(f"conductor at {conductor_c} C is outside the linear range of copper, -50 to 250 C")
    return ohm_per_km_20c * length_m / 1000 * (1 + ALPHA_20 * (conductor_c - 20))


def voltage_drop_v(*, current_a: float, ohm_per_km_20c: float, one_way_m: float, conductor_c: float) -> float:
    """Voltage lost out and back in a two-conductor direct-current run, ``U = 2 I R``. [V]

    ``one_way_m`` is the length of the run one way; the way back is added here. Otherwise as `resistance_ohm`.

    Examples
    --------
    50 A over 4 m one way in 16 mm2 class 5 cable (1.21 ohm/km, IEC 60228, second hand; drop computed).

    >>> round(voltage_drop_v(current_a=50, ohm_per_km_20c=1.21, one_way_m=4, conductor_c=20), 3)
    0.484
    """
    _check_not_negative(current_a=current_a)
    one_way = resistance_ohm(ohm_per_km_20c=ohm_per_km_20c, length_m=one_way_m, conductor_c=conductor_c)
    return 2 * current_a * one_way


def ambient_factor(*, insulation_c: float, ambient_c: float, base_c: float = 30.0) -> float:
    """Correction of ampacity for surroundings other than the table's.

    .. math:: f = \\sqrt{(T_c - T_a) / (T_c - T_0)}

    The square-root law of NEC 310.15; the ambient tables of IEC 60364-5-52 and of the Canadian code follow it.

    Parameters
    ----------
    insulation_c : Highest conductor temperature of the insulation. [C]
    ambient_c : Air around the cable. [C]
    base_c : Ambient of the ampacity table. [C]

    Raises
    ------
    ValueError : If the ambient or the table's base reaches the insulation's temperature: no current is then
        allowed, and a factor of 0 would hide that the cable itself is unfit for the place.

    Examples
    --------
    90 C insulation at 50 C: 0.82 (IEC 60364-5-52 Table B.52.14, second hand).

    >>> round(ambient_factor(insulation_c=90, ambient_c=50), 2)
    0.82
    """
    if ambient_c >= insulation_c:
        raise ValueError(f"{insulation_c} C insulation carries no current in {ambient_c} C surroundings")
    if base_c >= insulation_c:
        raise ValueError(f"table ambient {base_c} C is not below the insulation's {insulation_c} C")
    return sqrt((insulation_c - ambient_c) / (insulation_c - base_c))


def grouping_factor(*, circuits: int, length_mm: float, factor: float, from_length_mm: float) -> float:
    """Correction of ampacity for cables bundled together.

    Parameters
    ----------
    circuits, length_mm : Loaded circuits in the bundle, and the length over which they lie together.
    factor : The rule set's factor for this many circuits, above 0 to 1.
    from_length_mm : Bundles up to this length do not count (ABYC E-11 direct current: 610 mm, second hand). [mm]

    Examples
    --------
    >>> grouping_factor(circuits=3, length_mm=611, factor=0.7, from_length_mm=610)
    0.7
    """
    _check_not_negative(length_mm=length_mm, from_length_mm=from_length_mm)
    if circuits < 1:
        raise ValueError("a bundle has at least one circuit")
    if not 0 < factor <= 1:
        raise ValueError(f"grouping factor {factor} is not above 0 and at most 1")
    return 1.0 if circuits == 1 or length_mm <= from_length_mm else factor


def ampacity_a(*, base_a: float, ambient_factor: float, grouping_factor: float) -> float:
    """Current a conductor may carry where it lies: the table's ``base_a`` times both corrections. [A]

    Examples
    --------
    2 AWG with 105 C insulation in an engine space: 178 A (33 CFR 183.425 Table 5, truncated).

    >>> int(ampacity_a(base_a=210, ambient_factor=0.85, grouping_factor=1))
    178
    """
    _check_not_negative(base_a=base_a, ambient_factor=ambient_factor, grouping_factor=grouping_factor)
    return base_a * ambient_factor * grouping_factor


def at_conductor_a(*, base_a: float, insulation_c: float, conductor_c: float, base_c: float = 30.0) -> float:
    """Current that warms a conductor to ``conductor_c`` only, in the table's surroundings. [A]

    The heat shed rises with the conductor's temperature above its surroundings, and the heat made with the square
    of the current: what a terminal, which stands less than the insulation, lets a cable carry. Never above
    ``base_a``.

    Examples
    --------
    4/0 AWG with 105 C insulation, 445 A, on terminals of 75 C: 360 A in the 75 C column (33 CFR 183.425 Table 5).

    >>> int(at_conductor_a(base_a=445, insulation_c=105, conductor_c=75))
    344
    """
    _check_not_negative(base_a=base_a)
    if conductor_c <= base_c:
        return 0.0
    return base_a * min(1.0, sqrt((conductor_c - base_c) / (insulation_c - base_c)))


def copper_c(*, ambient_c: float, insulation_c: float, current_a: float, ampacity_a: float) -> float:
    """Temperature of a conductor while a current flows for long, ``Ta + (Tc - Ta) (I / Iz)^2``. [C]

    ``ampacity_a`` is what it carries there, in surroundings of ``ambient_c``, with its insulation at ``insulation_c``.

    Examples
    --------
    >>> copper_c(ambient_c=45, insulation_c=105, current_a=100, ampacity_a=100)
    105.0
    """
    _check_not_negative(current_a=current_a, ampacity_a=ampacity_a)
    if ampacity_a == 0:
        return inf if current_a > 0 else ambient_c
    return ambient_c + (insulation_c - ambient_c) * (current_a / ampacity_a) ** 2


def bank_resistance_ohm(*, module_mohm: float, series: int, parallel: int) -> float:
    """Inner resistance of a bank of like modules, ``R = R_module s / p``. [ohm]

    Examples
    --------
    110 cells of 0.5 mohm: 55 mohm (direct-current distribution guide).

    >>> round(bank_resistance_ohm(module_mohm=0.5, series=110, parallel=1), 6)
    0.055
    """
    _check_above_zero(module_mohm=module_mohm)
    if series < 1 or parallel < 1:
        raise ValueError("a bank has at least one module in series and one string")
    return module_mohm / 1000 * series / parallel


def fault_current_a(*, volt: float, resistance_ohm: float) -> float:
    """Prospective short-circuit current, ``I = U / R``. [A]

    ``volt`` is the source's open-circuit voltage, ``resistance_ohm`` that of the whole loop: source, both
    conductors, joints.

    Examples
    --------
    12 V through 0.020 ohm (textbook).

    >>> fault_current_a(volt=12, resistance_ohm=0.020)
    600.0
    """
    _check_above_zero(volt=volt, resistance_ohm=resistance_ohm)
    return volt / resistance_ohm


def surge_sag_v(*, volt: float, surge_a: float, resistance_ohm: float) -> float:
    """Volts left at the inverter while a surge is drawn, ``U - I R``. [V]

    ``volt`` is the bank's open-circuit voltage, ``resistance_ohm`` that of bank, both conductors and joints.
    Below 0 the surge cannot be drawn at all.
    """
    _check_not_negative(volt=volt, surge_a=surge_a, resistance_ohm=resistance_ohm)
    return volt - surge_a * resistance_ohm


def duct_fill(*, outside_mm: Sequence[float], bore_mm: float) -> float:
    """Share of a duct's bore that cables of these diameters take up, ``sum(d^2) / D^2``; above 1 they cannot go in.

    Examples
    --------
    >>> duct_fill(outside_mm=[10, 10], bore_mm=20)
    0.5
    """
    _check_above_zero(bore_mm=bore_mm)
    for outside in outside_mm:
        _check_above_zero(outside_mm=outside)
    return sum(outside**2 for outside in outside_mm) / bore_mm**2


def fill_limit(*, cables: int, few: float, many: float) -> float:
    """Largest share of a bore allowed for a number of cables: ``few`` up to two, ``many`` for more.

    A lone cable is held to the figure for two: the greater fill tables grant it leaves no room for a second.

    Examples
    --------
    >>> fill_limit(cables=1, few=0.31, many=0.40)
    0.31
    """
    if cables < 1:
        raise ValueError("a fill limit needs at least one cable")
    return few if cables <= 2 else many
