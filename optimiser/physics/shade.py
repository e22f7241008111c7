"""Shadow of an obstacle on a flat roof."""

from math import radians, tan


def set_back_mm(*, height_mm: float, elevation_deg: float) -> float:
    """Length of the shadow an obstacle throws on a horizontal roof. [mm]

    A vehicle parks at any heading, so the length is used as a set-back all round.

    .. math:: s = h / \\tan(\\gamma)

    Parameters
    ----------
    height_mm : Height of the obstacle above the panel surface. [mm]
    elevation_deg : Lowest sun elevation at which the panel must stay clear of shade, above 0 to 90. [degree]

    Raises
    ------
    ValueError : If the height is negative or the elevation is not above 0 and at most 90.

    Examples
    --------
    Plain geometry; common practice tables round it to the millimetre (no source).

    >>> round(set_back_mm(height_mm=250, elevation_deg=30))
    433
    """
    if height_mm < 0:
        raise ValueError(f"an obstacle cannot be {height_mm} mm high")
    if not 0 < elevation_deg <= 90:
        raise ValueError(f"sun elevation {elevation_deg} is not above 0 and at most 90 degrees")
    return height_mm / tan(radians(elevation_deg))
