"""How tightly a run may be bent, and where there is no room to bend it away from its board: told, held to nothing."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.fitted import Fit
from optimiser.fitted.places import Standing, standing
from optimiser.fitted.wiring import Laid, laid_runs
from optimiser.parts import Cable
from optimiser.physics.forces import bend_radius_mm
from optimiser.schedules.ends import ends_of
from optimiser.units import at_least


def bend_mm(fit: Fit, cable: Cable) -> float:
    """Least radius of a cable, to the inside of its bend. [mm]"""
    return bend_radius_mm(outside_mm=cable.outside_mm, times_outside=fit.case.rules["bend_of_outside"])


def bend_notes(fit: Fit) -> Iterator[str]:
    """What the radius is of, then the ends with too little room before them."""
    figure = fit.case.rules.figures["bend_of_outside"]
    yield (
        f"least bend radius: {figure.value:g} times the outside ({figure.state}), to the inside of the bend, rounded "
        "up; a cable's maker may ask for more. Told and held to nothing: where terminals are is in no catalogue."
    )
    tight = [words for laid in laid_runs(fit).values() for words in _tight(fit, laid)]
    if tight:
        yield (
            "Too little room to come off straight away from the board and turn, so lead the end off along the board: "
            f"{'; '.join(tight)}."
        )


def _tight(fit: Fit, laid: Laid) -> Iterator[str]:
    """Ends of a run on bodies that leave less before them than a bend and the cable's own thickness take."""
    bodies = {body.slot: body for body in reversed(standing(fit))}
    takes_mm = at_least(bend_mm(fit, laid.cable) + laid.cable.outside_mm)
    for end in ends_of(fit, laid):
        body = bodies.get(end.what.partition(",")[0])
        if body and laid.cable.paired and (left_mm := _before_mm(body)) < takes_mm:
            yield f"{laid.run.name} at {body.slot} ({left_mm} mm before it, a bend takes {takes_mm})"


def _before_mm(body: Standing) -> int:
    """Free from a body's face to the end of its board's depth; the clearance it wants is free too."""
    return body.board.depth_mm - body.foot.depth_mm + body.foot.clear_z_mm
