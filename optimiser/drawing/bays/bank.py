"""The bank on its bay's sheet: how far its terminals may be from the main fuse, its links, where the main run goes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimiser.auditing.finding import Finding
from optimiser.builds import Bank
from optimiser.drawing.bays.board_view import caption
from optimiser.drawing.bays.standing_bodies import MarkedBody, plain
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.vehicle.ways import in_words, marked_ways
from optimiser.fitted import links
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import routed_runs

_MODULE_MM, _PITCH_MM = (13.0, 6.0), (18.0, 9.0)  # of the scheme, on paper
_RAIL_MM = 4.0  # from the modules to the links of strings
_FUSE_MM = (6.0, 2.4)  # of a string's fuse in the scheme
_LEAD_MM = 6.0  # of a take-off
_NO_PLACES = "where + and - lie on a module the catalogue does not say, so none are drawn: the maker's sheet decides"


@dataclass(frozen=True)
class Reach:
    """How far the main fuse is from the bank, body to body and to the far corners, as the audit counts them [mm]."""

    least_mm: int
    most_mm: int  # along x, then along y, then off the board
    fuse: MarkedBody

    def counted_mm(self, bank: Bank) -> int:
        """What the audit holds to the limit: bodies are near enough where each string has a fuse of its own."""
        return self.least_mm if bank.fuse else self.most_mm


def reach(bodies: Sequence[MarkedBody]) -> Reach | None:
    """Of a bank and a main fuse on one board of a bay; None for a fuse on the terminal or elsewhere."""
    bank = next((body for body in bodies if body.body.slot == "bank"), None)
    fuse = next((body for body in bodies if body.body.slot == "main_fuse"), None)
    if bank is None or fuse is None or bank.body.board != fuse.body.board:
        return None
    one, other = bank.body, fuse.body
    off_board = max(one.foot.depth_mm, other.foot.depth_mm)
    return Reach(one.rect.around_corner(other.rect), one.rect.far_corners(other.rect) + off_board, fuse)


def bank_notes(fit: Fit, bodies: Sequence[MarkedBody], finding: Finding | None) -> Iterator[str]:
    """For the sheet of the bay that holds the bank. ``finding``: the audit's ``run.fuse_distance``, if it is given."""
    if not any(body.body.slot == "bank" for body in bodies):
        return
    yield from _distance(fit, bodies, finding)
    yield from _links(fit)
    yield from _leaving(fit)


def _distance(fit: Fit, bodies: Sequence[MarkedBody], finding: Finding | None) -> Iterator[str]:
    holder, found = fit.main_holder, reach(bodies)
    if holder is None:
        return
    if holder.on_terminal:
        yield "The main fuse's holder sits on the positive terminal that the main run is taken off from."
        return
    limit_mm, audited_mm = finding.numbers if finding else ("", "")
    allowed = f"{limit_mm} mm allowed" if finding else "no findings of the audit given for what is allowed"
    measure = "Measure along the conductor, from the terminal"
    if found is None:
        counted = f"; the audit counts {audited_mm} mm" if finding else ""
        yield (
            "WARNING: bank and main fuse stand on different boards, and where these lie to each other is not "
            f"surveyed{counted}; {allowed}. {measure}; where it is more, move the fuse."
        )
        return
    over = finding is None or found.counted_mm(fit.build.bank) > finding.limit
    guarded = "each string's own fuse guards what lies between"
    unknown = f"up to {found.most_mm} mm to the far corners, as terminals are not surveyed"
    yield (
        f"{'WARNING: the' if over else 'The'} main fuse is {found.least_mm} mm from the bank, body to body; "
        f"{guarded if fit.build.bank.fuse else unknown}; {allowed}. {measure}; where it is more, move the fuse, "
        "best onto the terminal, and audit anew."
    )


def _links(fit: Fit) -> Iterator[str]:
    bank = fit.build.bank
    if fit.modules == 1:
        yield f"Terminals of the bank: {_NO_PLACES}."
        return
    found, size = links.links_of(fit), ", ".join(links.in_words(fit))
    how = (
        f"of the main run's cable: {size}, in the cutting list with a mark for each, B1"
        if found
        else "not in the build"
    )
    how += " and on; " if found and found.count > 1 else "; "
    order = f"Modules stand the same way round and are joined {found.order}; " if found else ""
    taken = (
        "the main run taken off diagonally, + at one end and - at the other, so that all share its current alike "
        "(common practice, no source)"
    )
    ends = f"; {taken}" if bank.parallel > 1 else ""
    mixed = " Strings are drawn in parallel; whether their middles are joined too is the maker's to say."
    bare = "inside each string no fuse guards them" if bank.fuse else "no fuse guards them"
    unguarded = "" if bank.fuse and bank.series == 1 else f"; {bare}, which is common practice, no source"
    yield (
        f"Links, {bank.series} in series x {bank.parallel} in parallel, are {how}those of one kind equally "
        f"long{ends}{unguarded}. {order}{_NO_PLACES}."
        f"{mixed if min(bank.series, bank.parallel) > 1 else ''}"
    )


def _leaving(fit: Fit) -> Iterator[str]:
    main, bay = routed_runs(fit).get("main"), fit.bay("bank")
    if main is None or bay is None:
        return
    run = f"The run {numbered(fit, 'main')}, {in_words(main.cable)},"
    through = [marked for marked in marked_ways(fit) if marked.way in main.ways]
    leaving = next((m for m in through if bay.name in (m.way.start, m.way.end)), None)
    if leaving is None:
        yield f"{run} is existing in this bay."
        return
    way = leaving.way
    towards = way.end if way.start == bay.name else way.start
    yield (f"{run} leaves this bay by way {leaving.mark} {plain(way.name)} towards {plain(towards)}, see the vehicle.")


# --- scheme --------------------------------------------------------------------------------------------


def scheme(bank: Bank, scale: float, *, main: str) -> Sheet:
    """Strings side by side with their links and the diagonal take-off: what joins what, and not where it lies.

    ``main``: the run that is taken off, by number and name.
    """
    view = Sheet("view", "", scale)
    (wide, high), (step, row) = _MODULE_MM, _PITCH_MM
    long = (bank.series - 1) * step + wide
    left, right = -_RAIL_MM, long + _RAIL_MM + (_FUSE_MM[0] + _RAIL_MM if bank.fuse else 0.0)

    def at(x: float, y: float) -> Point:
        return x * scale, y * scale

    def joined(*points: Point) -> None:
        view.line(*(at(*point) for point in points), layer="symbol", weight=0.35)

    for string in range(bank.parallel):
        y = -string * row
        ends = [left, *(k * step + side for k in range(bank.series) for side in (0, wide)), right]
        for start, end in zip(ends[::2], ends[1::2], strict=True):
            joined((start, y), (end, y))
        for k in range(bank.series):
            box = Box(k * step, y - high / 2, k * step + wide, y + high / 2)
            view.rect(Box(*at(box.x0, box.y0), *at(box.x1, box.y1)), layer="symbol", weight=0.35)
            view.text("-", at(k * step + 2, y))
            view.text("+", at(k * step + wide - 2, y))
        if bank.fuse:
            box = Box(long + _RAIL_MM, y - _FUSE_MM[1] / 2, long + _RAIL_MM + _FUSE_MM[0], y + _FUSE_MM[1] / 2)
            view.rect(Box(*at(box.x0, box.y0), *at(box.x1, box.y1)), layer="symbol", weight=0.35)
    bottom = -(bank.parallel - 1) * row
    if bank.parallel > 1:
        joined((left, 0), (left, bottom))
        joined((right, 0), (right, bottom))
    joined((right, 0), (right + _LEAD_MM, 0))
    joined((left, bottom), (left - _LEAD_MM, bottom))
    view.text(f"{main} +, by the main fuse", at(right + _LEAD_MM + 1, 0), anchor="start")
    view.text(f"{main} -", at(left - _LEAD_MM - 1, bottom), anchor="end")
    whole = Box(view.extent().x0, bottom * scale, view.extent().x1, (high / 2 + 2.5) * scale)
    fused = ", fuse on the + of each string" if bank.fuse else ""
    told = f"{bank.series} in series x {bank.parallel} in parallel{fused}"
    caption(view, whole, f"scheme of the bank's links, not to scale: {told}")
    return view
