"""Bodies on the boards of the bays, and what each bay bears."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.auditing.heating import check_air, check_vent_places
from optimiser.basis import bodies, faces
from optimiser.builds import Fitted
from optimiser.fitted import links
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Rect, Standing, existing_row, standing
from optimiser.parts import Body
from optimiser.units import GRAMS, at_least

REACHED = ("isolator", "switch", "display", "mains_box", "fuse_row")


def check(fit: Fit) -> Iterator[Finding]:
    """Every body, every bay. What stays is no nearer to its old neighbours than it was: new ones keep clear of it."""
    everything = standing(fit)
    for body in everything:
        if not body.fixture:
            yield from _place(body)
        if not body.existing:
            yield from _space(fit, body, everything)
            yield from _cable_openings(fit, body)
            yield _clearance(body, [x for x in everything if x is not body and x.board.place == body.board.place])
    for fitted in fit.build.fitted:
        yield from _manner(fit, fitted)
        yield from _access(fit, fitted)
    yield from check_air(fit)
    yield from check_vent_places(fit)
    for bay in fit.case.bays:
        ours = [c for c in fit.contents if c.bay is bay and not c.existing]
        if ours:
            grams = sum(at_least(c.part.mass_kg, GRAMS) * c.count for c in ours)
            grams += links.worth(fit).grams if fit.bay("bank") is bay else 0
            yield checked("bay.mass", bay.name, limit=bay.mass_max_kg, actual=grams / GRAMS)


def _board_rect(body: Standing) -> Rect:
    return Rect(0, 0, body.board.length_mm, body.board.width_mm)


def _place(body: Standing) -> Iterator[Finding]:
    yield checked("bay.board", body.slot, limit=0, actual=body.rect.inside(_board_rect(body)))
    yield checked("bay.depth", body.slot, limit=body.board.depth_mm, actual=body.foot.depth_mm)


def _clearance(body: Standing, others: list[Standing]) -> Finding:
    """Against each side of the board, and against each neighbour on the axis that parts them best."""
    board, foot = _board_rect(body), body.foot
    pairs = [
        (foot.clear_x_mm, min(body.rect.x0 - board.x0, board.x1 - body.rect.x1)),
        (foot.clear_y_mm, min(body.rect.y0 - board.y0, board.y1 - body.rect.y1)),
    ]
    for other in others:
        along_x = (max(foot.clear_x_mm, other.foot.clear_x_mm), body.rect.gap_x(other.rect))
        along_y = (max(foot.clear_y_mm, other.foot.clear_y_mm), body.rect.gap_y(other.rect))
        pairs.append(max(along_x, along_y, key=_room))
    wanted, actual = min(pairs, key=_room)
    return checked("bay.clearance", body.slot, limit=wanted, actual=actual)


def _space(fit: Fit, body: Standing, everything: tuple[Standing, ...]) -> Iterator[Finding]:
    """Against bodies on other boards of its bay, along the axis that parts them best, where all that is surveyed.

    Neither is in the free space that the other needs before it.
    """
    ours = _solids(fit, body)
    others = [x for x in everything if x.board.bay == body.board.bay and x.board.place != body.board.place]
    theirs = [solids for other in others if (solids := _solids(fit, other))]
    if ours and theirs:
        yield checked("bay.space", body.slot, limit=0, actual=min(_between(ours, solids) for solids in theirs))


def _cable_openings(fit: Fit, body: Standing) -> Iterator[Finding]:
    """It is not over a hole that cables come in by, nor so near before one that they could not turn."""
    ours = _solids(fit, body)
    openings = [opening for opening in fit.case.cable_openings if opening.bay == body.board.bay]
    taken = [room for opening in openings if (room := faces.before_hole(fit.case, opening))]
    if ours and taken:
        actual = min(_between((ours[0], ours[0]), (room, room)) for room in taken)
        yield checked("bay.cable_opening", body.slot, limit=0, actual=actual)


def _solids(fit: Fit, body: Standing) -> tuple[faces.Solid, faces.Solid] | None:
    """What it takes of its bay, and with the free space before it."""
    foot, rect = body.foot, body.rect
    found = [
        faces.solid(fit.case, body.board.place, x=(rect.x0, rect.x1), y=(rect.y0, rect.y1), off_mm=off_mm)
        for off_mm in (foot.depth_mm - foot.clear_z_mm, foot.depth_mm)
    ]
    return (found[0], found[1]) if found[0] and found[1] else None


def _between(one: tuple[faces.Solid, faces.Solid], other: tuple[faces.Solid, faces.Solid]) -> float:
    """Room along the best axis: from the one with its free space to the other, and the other way about."""
    return max(
        min(b[0][0][axis] - a[1][1][axis], b[1][0][axis] - a[0][1][axis])
        for axis in range(3)
        for a, b in ((one, other), (other, one))
    )


def _room(pair: tuple[int, int]) -> int:
    wanted, actual = pair
    return actual - wanted


def _members(fit: Fit, fitted: Fitted) -> list[Body]:
    """The single bodies that are carried into the bay."""
    if fitted.slot == "bank":
        return [fit.module]
    if fitted.slot == "fuse_row":
        return list(fit.row_holders)
    if fitted.slot == "shunt_row":
        return [shunt for shunt, _ in fit.shunts]
    return [fit.part(fitted.part, Body)]


def _manner(fit: Fit, fitted: Fitted) -> Iterator[Finding]:
    if existing_row(fit, fitted):
        return
    board, bay = fit.case.board_of[fitted.board], fit.bay(fitted.slot)
    members = _members(fit, fitted)
    on_bank = fitted.slot == "main_fuse" and fit.main_holder is not None and fit.main_holder.on_terminal
    if fitted.slot not in ("fuse_row", "shunt_row") and not on_bank:
        body = members[0]
        stands = bodies.may_stand(body, orientation=fitted.orientation, rotated=fitted.rotated, board=board)
        wrong = not stands or (fitted.slot == "bank" and board.kind != "floor")
        yield checked("bay.orientation", fitted.slot, limit=0, actual=1 if wrong else 0)
    if bay:
        size = {"opening_length_mm": bay.opening_length_mm, "opening_width_mm": bay.opening_width_mm}
        passes = all(bodies.passes(member, **size) for member in members)
        yield checked("bay.opening", fitted.slot, limit=0, actual=0 if passes else 1)


def _access(fit: Fit, fitted: Fitted) -> Iterator[Finding]:
    board, bay, slot = fit.case.board_of[fitted.board], fit.bay(fitted.slot), fitted.slot
    if bay and slot not in ("bank", "main_fuse"):
        breaches = (not bay.electronics) + (bay.air == "sealed")
        yield checked("bay.electronics", slot, limit=0, actual=breaches)
    if slot in REACHED:
        yield checked("bay.reach", slot, limit=0, actual=0 if board.reach else 1)
    if slot == "display":
        yield checked("bay.sight", slot, limit=0, actual=0 if board.sight else 1)
