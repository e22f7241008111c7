"""How long a run may become before its drop is too much, and how tightly its cable may be bent."""

from collections.abc import Iterator

from optimiser.auditing import Finding
from optimiser.auditing.cables import drop
from optimiser.fitted import Fit
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RoutedRun, required_runs, routed_runs
from optimiser.parts import Cable
from optimiser.physics.forces import bend_radius_mm
from optimiser.schedules.ends import ends_of
from optimiser.units import at_least

_MM_IN_M = 1000


def longest_mm(fit: Fit, laid: RoutedRun) -> int | None:
    """The longest whole length one way at which its drop holds; None where none is held, or any length does [mm].

    Of a pair it is what both cores may be on average.
    The runs between the bank and it are as long as they are cut.
    """
    none, a_metre = (_drop_at(fit, laid, mm) for mm in (0, _MM_IN_M))
    if none is None or a_metre is None or a_metre.actual <= none.actual:
        return None
    longest = max(0, int(_MM_IN_M * (none.limit - none.actual) / (a_metre.actual - none.actual)))
    beyond = _drop_at(fit, laid, longest + 1)  # met exactly, but for the last digits of a float
    return longest + int(beyond is not None and beyond.ok)


def _drop_at(fit: Fit, laid: RoutedRun, length_mm: float) -> Finding | None:
    wanted = required_runs(fit).get(laid.run.name)
    if wanted is None or wanted.kind == "data":
        return None
    return drop(fit, wanted, laid.cable, length_mm / _MM_IN_M)


# --- how tightly a run may be bent, and where there is no room to bend it away from its board: told, held to nothing


def bend_mm(fit: Fit, cable: Cable) -> float:
    """Least radius of a cable, to the inside of its bend. [mm]"""
    return bend_radius_mm(outside_mm=cable.outside_mm, times_outside=fit.case.rules["bend_of_outside"])


def bend_notes(fit: Fit) -> Iterator[str]:
    """What the radius is of, then the ends with too little room before them."""
    figure = fit.case.rules.figures["bend_of_outside"]
    yield (
        f"least bend radius: {figure.value:g} times the outside ({figure.state}), to the inside of the bend, rounded "
        "up; a cable's maker may ask for more. Reported, not checked."
    )
    tight = [words for laid in routed_runs(fit).values() for words in _tight(fit, laid)]
    if tight:
        yield (
            "Too little room to come off straight away from the board and turn, so lead the end off along the board: "
            f"{'; '.join(tight)}."
        )


def _tight(fit: Fit, laid: RoutedRun) -> Iterator[str]:
    """Ends of a run on bodies that leave less before them than a bend and the cable's own thickness take."""
    takes_mm = at_least(bend_mm(fit, laid.cable) + laid.cable.outside_mm)
    for end in ends_of(fit, laid):
        body = standing_in(fit).get(end.what.partition(",")[0])
        if body and laid.cable.paired and (left_mm := _before_mm(body)) < takes_mm:
            yield f"{laid.run.name} at {body.slot} ({left_mm} mm before it, a bend takes {takes_mm})"


def _before_mm(body: Standing) -> int:
    """Free from a body's face to the end of its board's depth; the clearance it wants is free too."""
    return body.board.depth_mm - body.foot.depth_mm + body.foot.clear_z_mm
