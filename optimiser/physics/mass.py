"""Where the weight of an item goes: hitch and axle of a trailer, axles and sides of a van.

All are moments about a wheel line. They are linear, so shares of several items add, and what is taken out of a vehicle
is an item of negative mass.
"""


def hitch_share_kg(*, mass_kg: float, ahead_of_axle_mm: float, coupling_to_axle_mm: float) -> float:
    """Part of an item's mass that a trailer carries on its coupling. [kg]

    .. math:: m_h = m \\, x / L

    Behind the axle it is negative: the item lifts the coupling.

    Parameters
    ----------
    mass_kg : Mass of the item. [kg]
    ahead_of_axle_mm : Distance of its centre ahead of the axle (of the middle of a tandem), negative behind. [mm]
    coupling_to_axle_mm : Distance from coupling to axle. [mm]

    Raises
    ------
    ValueError : If the distance from coupling to axle is not positive.

    Examples
    --------
    20 kg at 0.4 of the distance from coupling to axle (statics, computed).

    >>> hitch_share_kg(mass_kg=20, ahead_of_axle_mm=2400, coupling_to_axle_mm=4000)
    12.0
    """
    if coupling_to_axle_mm <= 0:
        raise ValueError(f"coupling to axle cannot be {coupling_to_axle_mm} mm")
    return mass_kg * ahead_of_axle_mm / coupling_to_axle_mm


def axle_share_kg(*, mass_kg: float, ahead_of_axle_mm: float, coupling_to_axle_mm: float) -> float:
    """Part of an item's mass that a trailer carries on its axle: what the coupling does not.

    .. math:: m_a = m - m_h

    Parameters and errors as for `hitch_share_kg`.

    Examples
    --------
    >>> axle_share_kg(mass_kg=20, ahead_of_axle_mm=2400, coupling_to_axle_mm=4000)
    8.0
    """
    return mass_kg - hitch_share_kg(
        mass_kg=mass_kg, ahead_of_axle_mm=ahead_of_axle_mm, coupling_to_axle_mm=coupling_to_axle_mm
    )


def axle_loads_kg(*, mass_kg: float, x_mm: float, front_axle_x_mm: float, rear_axle_x_mm: float) -> tuple[float, float]:
    """Shares of an item's mass on the front and the rear axle of a two-axle van. [kg]

    .. math:: m_f = m \\, (x - x_r) / (x_f - x_r), \\quad m_r = m - m_f

    Parameters
    ----------
    mass_kg : Mass of the item. [kg]
    x_mm : Its centre, x forward. [mm]
    front_axle_x_mm : Front axle on the same x. [mm]
    rear_axle_x_mm : Rear axle on the same x. [mm]

    Raises
    ------
    ValueError : If the front axle is not ahead of the rear axle.

    Examples
    --------
    >>> axle_loads_kg(mass_kg=100, x_mm=-500, front_axle_x_mm=4000, rear_axle_x_mm=0)
    (-12.5, 112.5)
    """
    if front_axle_x_mm <= rear_axle_x_mm:
        raise ValueError("the front axle must stand ahead of the rear axle")
    front = mass_kg * (x_mm - rear_axle_x_mm) / (front_axle_x_mm - rear_axle_x_mm)
    return front, mass_kg - front


def side_load_kg(*, mass_kg: float, y_mm: float, track_mm: float) -> float:
    """How much more an item puts on the left wheels than on the right. [kg]

    .. math:: m_l - m_r = 2 m y / t

    Parameters
    ----------
    mass_kg : Mass of the item. [kg]
    y_mm : Distance of its centre to the left of the centre line, negative to the right. [mm]
    track_mm : Distance between the wheels of an axle. [mm]

    Raises
    ------
    ValueError : If the track is not positive.

    Examples
    --------
    An item right above the left wheels puts all its mass there.

    >>> side_load_kg(mass_kg=30, y_mm=900, track_mm=1800)
    30.0
    """
    if track_mm <= 0:
        raise ValueError(f"a track cannot be {track_mm} mm")
    return 2 * mass_kg * y_mm / track_mm
