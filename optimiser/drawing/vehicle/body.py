"""The vehicle's body and axles as the side and plan views show them, from the survey or from what stands in it."""

from dataclasses import dataclass

from optimiser.case import Case, Trailer
from optimiser.drawing.shapes import Box
from optimiser.drawing.vehicle.nodes import HasWays
from optimiser.fitted.places import zone_rect

_WHEEL_MM = 650.0  # drawn where no wheel is surveyed
_HEADROOM_MM = 300.0  # over the tallest thing, where no roof is surveyed


@dataclass(frozen=True)
class Vehicle:
    """What is drawn of it [mm]. ``surveyed``: whether body, floor, roof and wheels are, and not only drawn around."""

    x0: float
    x1: float
    y0: float
    y1: float
    floor_mm: float
    roof_mm: float
    wheel_mm: float
    axles: dict[str, int]
    coupling_x_mm: int | None
    surveyed: bool

    @property
    def plan(self) -> Box:
        """The body from above."""
        return Box(self.x0, self.y0, self.x1, self.y1)

    @property
    def side(self) -> Box:
        """The body from the side."""
        return Box(self.x0, self.floor_mm, self.x1, self.roof_mm)


def vehicle_of(case: Case) -> Vehicle:
    """The surveyed outline, or what zones, bays and axles span."""
    brief, outline = case.brief.vehicle, case.brief.outline
    axles = {axle.name: axle.x_mm for axle in reversed(brief.axles)}
    coupling = brief.coupling_x_mm if isinstance(brief, Trailer) else None
    if outline:
        half = outline.width_mm / 2
        return Vehicle(
            0, outline.length_mm, -half, half, outline.floor_mm, outline.roof_mm, outline.wheel_mm, axles, coupling,
            surveyed=True,
        )  # fmt: skip
    spans = [*(Box.of(zone_rect(zone)) for zone in case.zones), *bay_boxes(case).values()]
    spans += [
        Box(x - _WHEEL_MM / 2, -brief.track_mm / 2, x + _WHEEL_MM / 2, brief.track_mm / 2) for x in axles.values()
    ]
    whole = Box.around([*spans, Box(0, 0, 0, 0)])  # the datum is the rear
    floor = float(min((bay.z_mm for bay in case.bays if bay.z_mm is not None), default=_WHEEL_MM))
    tops = [(floor if bay.z_mm is None else bay.z_mm) + bay.height_mm for bay in case.bays]
    entries = {zone.entry for zone in case.zones}
    roofs = [float(spot.z_mm) for spot in case.node_positions if spot.node in entries]
    roof = max([max(tops) + _HEADROOM_MM, *roofs])
    return Vehicle(whole.x0, whole.x1, whole.y0, whole.y1, floor, roof, _WHEEL_MM, axles, coupling, surveyed=False)


def bay_boxes(case: HasWays) -> dict[str, Box]:
    """Bay -> its inside from above."""
    return {
        bay.name: Box(
            bay.x_mm - bay.length_mm / 2,
            bay.y_mm - bay.width_mm / 2,
            bay.x_mm + bay.length_mm / 2,
            bay.y_mm + bay.width_mm / 2,
        )
        for bay in case.bays
    }
