"""What stands in a bay, with the marks and the words that its drawing and its key give it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from string import ascii_lowercase

from optimiser.basis import bodies, terminals
from optimiser.builds import Fitted
from optimiser.connections import CHARGERS, ROWS, Kind, is_regulator
from optimiser.drawing.shapes import Box
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fitted.places import Standing, standing
from optimiser.parts import Body, Holder, Shunt, Wired

NO_TERMINALS = "no power terminals"
_ON_TERMINAL = "main_fuse"
_COME_IN: dict[Kind, str] = {"dc": "cables at", "mains": "mains cables at"}


@dataclass(frozen=True)
class MarkedBody:
    """A body on a board under its mark.

    ``lines``: what stands in it if there is room. ``cells``: its modules, holders or shunts with their marks.
    ``terminals_below``: whether catalogue or common practice puts them there; no other place is drawn. ``sides``:
    where cables come in by the catalogue, of the body as it stands.
    """

    mark: str
    body: Standing
    fitted: Fitted | None  # what of the build it is; None for what the survey keeps beside it
    part: str
    conductor: str
    cells: Sequence[tuple[str, Box]] = ()
    terminals_below: bool = False
    sides: str = ""

    @property
    def name(self) -> str:
        """Its slot, or what the survey calls it."""
        return plain(self.body.slot)

    @property
    def manner(self) -> str:
        """How it stands, and whether it is there already."""
        if self.fitted is None:
            return "existing"
        stands = "" if self.fitted.orientation == "flat" else f"stands on its {self.fitted.orientation}"
        words = (stands, "rotated 90°" if self.fitted.rotated else "", "existing" if self.fitted.existing else "")
        return ", ".join(filter(None, words))

    @property
    def is_row(self) -> bool:
        """Whether it is a row of fuses or shunts."""
        return self.body.slot in ROWS

    @property
    def box(self) -> Box:
        """Its rectangle on the board."""
        return Box.of(self.body.rect)

    @property
    def lines(self) -> tuple[str, ...]:
        """All that may stand in its rectangle."""
        part = () if self.cells else (self.part,)
        return (f"{self.mark} {self.name}", *part, self.size, *([self.manner] if self.manner else []))

    @property
    def size(self) -> str:
        """As it stands, along x and y of its board, and how far off it."""
        return f"{self.body.foot.length_mm} x {self.body.foot.width_mm}, {self.depth}"

    @property
    def depth(self) -> str:
        """How far it reaches off its board, with the clearance in front."""
        return f"d {self.body.foot.depth_mm}"

    @property
    def key(self) -> str:
        """Its line of the key."""
        rect, foot = self.body.rect, self.body.foot
        facts = [f"{self.size}, at {rect.x0}, {rect.y0}", f"clear {foot.clear_x_mm}, {foot.clear_y_mm}"]
        facts += [text for text in (self.manner, self.conductor, self.sides) if text]
        return f"{self.mark} {self.name}: {self.part}; {'; '.join(facts)}"


def plain(name: str) -> str:
    """A name of build or survey as it is spoken."""
    return name.replace("_", " ")


def marked(fit: Fit, bay: str) -> list[MarkedBody]:
    """All bodies on the boards of a bay, numbered."""
    ours = [body for body in standing(fit) if body.board.bay == bay]
    return [_marked(fit, body, str(number)) for number, body in enumerate(ours, 1)]


def _marked(fit: Fit, body: Standing, mark: str) -> MarkedBody:
    fitted = _fitted(fit, body)
    if fitted is None:
        return MarkedBody(mark, body, None, _stays(fit, body), "")
    if fitted.slot == "bank":
        return _bank(fit, body, fitted, mark)
    if fitted.slot == "fuse_row":
        runs = [numbered(fit, run.name) for run in fit.row_runs]
        return _row(body, fitted, mark, list(zip(fit.row_holders, runs, strict=True)))
    if fitted.slot == "shunt_row":
        shunts = [(shunt, "") for shunt, count in fit.shunts for _ in range(count)]
        return _row(body, fitted, mark, shunts)
    part = fit.part(fitted.part, Body)
    hangs = fitted.slot in CHARGERS or is_regulator(fitted.slot)  # terminals below (common practice)
    lower = hangs and body.board.kind == "wall" and fitted.orientation == "flat" and not fitted.rotated
    at = {kind: [] if fitted.existing else _sides(part, kind, body, fitted) for kind in _COME_IN}
    told = ", ".join(f"{words} {' and '.join(at[kind])}" for kind, words in _COME_IN.items() if at[kind])
    below = "bottom" in at["dc"] if at["dc"] else lower
    return MarkedBody(mark, body, fitted, part.name, _conductor(part), terminals_below=below, sides=told)


def _sides(part: Body, kind: Kind, body: Standing, fitted: Fitted) -> list[str]:
    """Where its cables of a kind come in as it stands, seen from in front of its board; none where nobody knows."""
    foot, found = body.foot, dict[str, None]()
    sides = part.terminal_sides if isinstance(part, Wired) and kind == "dc" else ("",)
    for side in sides:
        one = part.model_copy(update={"terminal_sides": (side,)}) if side else part
        it = terminals.of_body(
            one, kind, foot, orientation=fitted.orientation, rotated=fitted.rotated, board=body.board
        )
        if it != terminals.anywhere_on(foot):
            beyond = {
                "left": it.x1_mm < 0, "right": it.x0_mm > foot.length_mm, "bottom": it.y1_mm < 0,
                "top": it.y0_mm > foot.width_mm, "front": True,
            }  # fmt: skip
            found[next(name for name, there in beyond.items() if there)] = None
    return list(found)


def _fitted(fit: Fit, body: Standing) -> Fitted | None:
    """What of the build it is; None for what the survey keeps beside it."""
    place = (body.slot, body.board.place, body.rect.x0, body.rect.y0)
    return next((f for f in fit.build.fitted if (f.slot, f.board, f.x_mm, f.y_mm) == place), None)


def _stays(fit: Fit, body: Standing) -> str:
    existing = next(k for k in fit.case.existing if (k.name, k.board) == (body.slot, body.board.place))
    return {"lead_acid": "lead-acid battery", "fixture": "fixture", "part": existing.part}[existing.kind]


def _conductor(part: Body) -> str:
    return f"{part.terminal_mm2:g} mm2" if part.terminal_mm2 else NO_TERMINALS


def _bank(fit: Fit, body: Standing, fitted: Fitted, mark: str) -> MarkedBody:
    bank, holder = fit.build.bank, fit.main_holder
    one = bodies.block(fit.module, orientation=fitted.orientation, rotated=fitted.rotated, rows=1, columns=1)
    along, across = (bank.rows, bank.columns) if fitted.rotated else (bank.columns, bank.rows)
    cells = []
    for number in range(along * across):
        x = body.rect.x0 + number % along * (one.length_mm + one.clear_x_mm)
        y = body.rect.y0 + number // along * (one.width_mm + one.clear_y_mm)
        cells.append(("", Box(x, y, x + one.length_mm, y + one.width_mm)))
    part = (
        f"{along} x {across} modules {fit.module.name} of {one.length_mm} x {one.width_mm}, "
        f"{bank.series} in series, {bank.parallel} in parallel"
    )
    if holder and holder.on_terminal:
        part += f"; {plain(_ON_TERMINAL)} {holder.name} on its terminal, within d"
    if fit.module_holder:
        part += f"; fuses in {fit.module_holder.name} on the terminal of each string, within d"
    return MarkedBody(mark, body, fitted, part, _conductor(fit.module), cells)


def _row(body: Standing, fitted: Fitted, mark: str, members: Sequence[tuple[Holder | Shunt, str]]) -> MarkedBody:
    """Members side by side from the datum's end, in the build's order, at the lower or left edge of the row."""
    cells, start = [], body.rect.y0 if fitted.rotated else body.rect.x0
    for number, (member, _) in enumerate(members):
        end = start + member.width_mm
        if fitted.rotated:
            box = Box(body.rect.x0, start, body.rect.x0 + member.length_mm, end)
        else:
            box = Box(start, body.rect.y0, end, body.rect.y0 + member.length_mm)
        cells.append((_letter(number), box))
        start = end
    part = f"from {'below' if fitted.rotated else 'the left'}: {_grouped(members)}"
    return MarkedBody(mark, body, fitted, part, "", cells)


def _letter(number: int) -> str:
    return ascii_lowercase[number] if number < len(ascii_lowercase) else str(number + 1)


def _grouped(members: Iterable[tuple[Holder | Shunt, str]]) -> str:
    """``a R2 inverter, b R3 regulator 1 in holder-100 (50 mm2)``, ``a shunt-300 (120 mm2)``."""
    told = []
    for part, group in groupby(enumerate(members), key=lambda item: item[1][0]):
        named = [(_letter(number), plain(run)) for number, (_, run) in group]
        of = " in" if all(run for _, run in named) else ""
        letters = ", ".join(f"{letter} {run}".strip() for letter, run in named)
        told.append(f"{letters}{of} {part.name} ({_conductor(part)})")
    return "; ".join(told)
