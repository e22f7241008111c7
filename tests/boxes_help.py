"""Boxes that the bodies of a build take of their bays."""

from optimiser.basis.faces import Solid, solid
from optimiser.fitted import Fit
from optimiser.fitted.places import Standing, standing


def boxes_of(fit: Fit) -> list[tuple[Standing, Solid]]:
    """Each body with what it takes, without the free space before it, where its board's place is surveyed."""
    found = []
    for body in standing(fit):
        at, off_mm = body.rect, body.foot.depth_mm - body.foot.clear_z_mm
        if box := solid(fit.case, body.board.place, x=(at.x0, at.x1), y=(at.y0, at.y1), off_mm=off_mm):
            found.append((body, box))
    return found
