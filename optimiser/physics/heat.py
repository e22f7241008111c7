"""Heat in a bay: what devices give off and still deliver when warm, what walls and vents carry away."""

from math import sqrt

GRAVITY_M_S2 = 9.81
KELVIN = 273.15
AIR_J_M3K = 1.2 * 1005
"""Heat capacity of air by volume (1.2 kg/m3, 1005 J/kgK; from memory)."""


def converter_loss_w(*, load_w: float, efficiency_pct: float, idle_w: float) -> float:
    """Heat a converter gives off at a load, ``P / eta - P + P_idle``. [W]

    Parameters
    ----------
    load_w : Power delivered. [W]
    efficiency_pct : Efficiency, above 0 to 100. [%]
    idle_w : Own use without load. [W]

    Examples
    --------
    2 kW at 90 %: 220 W of heat (common practice, no source).

    >>> round(converter_loss_w(load_w=2000, efficiency_pct=90, idle_w=0))
    222
    """
    if load_w < 0 or idle_w < 0:
        raise ValueError("load and idle draw cannot be negative")
    if not 0 < efficiency_pct <= 100:
        raise ValueError(f"efficiency {efficiency_pct} % is not above 0 and at most 100 %")
    return load_w / (efficiency_pct / 100) - load_w + idle_w


def derated_w(*, watt_25c: float, watt_40c: float, air_c: float, stop_c: float = 60.0) -> float:
    """Power an inverter still delivers in warm air (common practice, no source). [W]

    Its rating up to 25 C, a straight line to its 40 C rating, beyond that 2.5 % of the 25 C rating less for
    each kelvin, and nothing from the stop temperature on.

    Parameters
    ----------
    watt_25c, watt_40c : Ratings at 25 and 40 C. [W]
    air_c : Air around it. [C]
    stop_c : Temperature at which it switches off, above 40. [C]

    Raises
    ------
    ValueError : If the 40 C rating is not between 0 and the 25 C rating, or the stop is not above 40 C.

    Examples
    --------
    >>> derated_w(watt_25c=2000, watt_40c=1700, air_c=50)
    1200.0
    """
    if not 0 <= watt_40c <= watt_25c:
        raise ValueError(f"rating {watt_40c} W at 40 C is not between 0 and the {watt_25c} W at 25 C")
    if stop_c <= 40:
        raise ValueError(f"stop temperature {stop_c} C is not above 40 C")
    if air_c >= stop_c:
        return 0.0
    if air_c > 40:
        return max(watt_40c - 0.025 * watt_25c * (air_c - 40), 0.0)
    return watt_25c - (watt_25c - watt_40c) * max(air_c - 25, 0) / 15


def charger_derate(*, air_c: float) -> float:
    """Share of its current a charger or regulator still delivers in warm air (common practice, no source).

    All of it up to 40 C, then 2.5 % less for each kelvin, nothing from 60 C on.

    Parameters
    ----------
    air_c : Air around it. [C]

    Examples
    --------
    >>> charger_derate(air_c=50)
    0.75
    """
    return derated_w(watt_25c=1.0, watt_40c=1.0, air_c=air_c)


def wall_loss_w_per_k(*, length_mm: float, width_mm: float, height_mm: float, u_w_m2k: float, faces: int = 6) -> float:
    """Heat that passes a bay's walls per kelvin, ``U A``. [W/K]

    Parameters
    ----------
    length_mm, width_mm, height_mm : Inside of the bay. [mm]
    u_w_m2k : Heat transmission; about 3 for 12 mm plywood (common practice, no source). [W/m2K]
    faces : How many of the six faces pass heat. The smallest are counted, the safe side, as which face is against a
        warm or insulated body is not known here.

    Examples
    --------
    A shut 400 x 300 x 300 mm plywood box sheds about 30 W at 15 K (common practice, no source).

    >>> round(15 * wall_loss_w_per_k(length_mm=400, width_mm=300, height_mm=300, u_w_m2k=3), 1)
    29.7
    """
    if min(length_mm, width_mm, height_mm) <= 0:
        raise ValueError("a bay has length, width and height above 0")
    if u_w_m2k < 0:
        raise ValueError(f"heat transmission cannot be {u_w_m2k} W/m2K")
    if not 0 <= faces <= 6:
        raise ValueError(f"a bay has 0 to 6 faces that pass heat, not {faces}")
    areas = sorted(2 * [length_mm * width_mm, length_mm * height_mm, width_mm * height_mm])
    return u_w_m2k * sum(areas[:faces]) / 1e6


def stack_flow_m3_s(
    *, free_area_m2: float, stack_m: float, inside_c: float, outside_c: float, discharge: float
) -> float:
    """Air that warmth alone drives through openings one above the other. [m3/s]

    .. math:: Q = C A \\sqrt{2 g h (T_i - T_o) / T_i}

    Building ventilation texts, with A the effective area and C 0.60 to 0.70.

    Parameters
    ----------
    free_area_m2 : Effective free area; for two equal openings in series the area of one over sqrt(2). [m2]
    stack_m : Height between the openings. [m]
    inside_c, outside_c : Air inside, not colder than outside, and outside. [C]
    discharge : Discharge coefficient, above 0 to 1.

    Raises
    ------
    ValueError : If the inside is colder than the outside (the flow turns and brings heat in), a size is negative or
        the coefficient is not above 0 and at most 1.

    Examples
    --------
    0.01 m2, 0.5 m, 40 C against 30 C (formula from the texts, value computed).

    >>> round(1000 * stack_flow_m3_s(free_area_m2=0.01, stack_m=0.5, inside_c=40, outside_c=30, discharge=0.65), 3)
    3.638
    """
    if free_area_m2 < 0 or stack_m < 0:
        raise ValueError("area and stack height cannot be negative")
    if not -KELVIN < outside_c <= inside_c:
        raise ValueError(f"stack flow needs {inside_c} C inside not below {outside_c} C outside")
    if not 0 < discharge <= 1:
        raise ValueError(f"discharge coefficient {discharge} is not above 0 and at most 1")
    rise = inside_c - outside_c
    return discharge * free_area_m2 * sqrt(2 * GRAVITY_M_S2 * stack_m * rise / (inside_c + KELVIN))


def stack_heat_w(
    *, free_area_cm2: float, stack_mm: float, air_c: float, outside_c: float, discharge: float = 0.6
) -> float:
    """Heat that two equal openings, low and high, carry out of a bay. [W]

    .. math:: P = \\rho c_p \\, Q \\, (T_i - T_o), \\quad A = A_1 / \\sqrt{2}

    Parameters
    ----------
    free_area_cm2 : Free area of each opening. [cm2]
    stack_mm : Height between their middles. [mm]
    air_c, outside_c : Air in the bay, not colder than outside, and outside. [C]
    discharge : Discharge coefficient.

    Examples
    --------
    Two openings of 100 cm2, 0.3 m apart, at 15 K: about 39 W (common practice, no source).

    >>> round(stack_heat_w(free_area_cm2=100, stack_mm=300, air_c=40, outside_c=25))
    41
    """
    flow = stack_flow_m3_s(
        free_area_m2=free_area_cm2 / 1e4 / sqrt(2),
        stack_m=stack_mm / 1000,
        inside_c=air_c,
        outside_c=outside_c,
        discharge=discharge,
    )
    return AIR_J_M3K * flow * (air_c - outside_c)


def fan_heat_w(*, flow_m3_h: float, rise_k: float) -> float:
    """Heat a fan's air carries away, ``rho c_p Q dT``. [W]

    Parameters
    ----------
    flow_m3_h : Flow as installed, not the fan's free flow. [m3/h]
    rise_k : Air leaving above air entering. [K]

    Examples
    --------
    0.01 m3/s at 10 K: 120.6 W (from memory).

    >>> round(fan_heat_w(flow_m3_h=36, rise_k=10), 1)
    120.6
    """
    if flow_m3_h < 0 or rise_k < 0:
        raise ValueError("flow and temperature rise cannot be negative")
    return AIR_J_M3K * flow_m3_h / 3600 * rise_k


def hydrogen_flow_m3_h(*, cells: int, capacity_ah: float, gas_ma_per_ah: float) -> float:
    """Fresh air a charging lead-acid battery needs, ``Q = 0.05 n I_gas C / 1000``. [m3/h]

    IEC 62485-2 (second hand), for stationary batteries; the traction rule has another constant.

    Parameters
    ----------
    cells : Cells in series (6 for 12 V).
    capacity_ah : Rated capacity. [Ah]
    gas_ma_per_ah : Gassing current: vented 5 float, 20 boost; valve-regulated 1 float, 8 boost. [mA/Ah]

    Examples
    --------
    >>> round(hydrogen_flow_m3_h(cells=6, capacity_ah=100, gas_ma_per_ah=20), 3)
    0.6
    """
    if cells < 1:
        raise ValueError("a battery has at least one cell")
    if capacity_ah < 0 or gas_ma_per_ah < 0:
        raise ValueError("capacity and gassing current cannot be negative")
    return 0.05 * cells * gas_ma_per_ah * capacity_ah / 1000


def hydrogen_vent_cm2(*, cells: int, capacity_ah: float, gas_ma_per_ah: float) -> float:
    """Free area of each of the two openings, low and high, of a lead-acid battery's place, ``A = 28 Q``. [cm2]

    IEC 62485-2 (second hand). Parameters and errors as for `hydrogen_flow_m3_h`.

    Examples
    --------
    >>> round(hydrogen_vent_cm2(cells=6, capacity_ah=100, gas_ma_per_ah=20), 1)
    16.8
    """
    return 28 * hydrogen_flow_m3_h(cells=cells, capacity_ah=capacity_ah, gas_ma_per_ah=gas_ma_per_ah)
