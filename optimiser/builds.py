"""A build: what is fitted where. Says nothing of whether it is valid; the audit does.

It can be written by hand as JSON. Positions are in mm: panels in vehicle coordinates (corner with the
smallest x and y), bodies on their board from its lower left corner.
"""

import json
import warnings
from dataclasses import asdict
from hashlib import sha256
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from optimiser import older
from optimiser.parts import Orientation
from optimiser.texts import EXPECTED, odd_texts

_STRICT = ConfigDict(extra="forbid")

Position = Annotated[int, Field(ge=-100_000, le=100_000)]  # mm
Cut = Annotated[int, Field(ge=0, le=1_000_000, multiple_of=100)]  # mm
Total = Annotated[int, Field(ge=-(10**15), le=10**15)]  # cents, grams, or what a search is bounded by
Number = Annotated[int, Field(le=999)]  # of alike things: no vehicle has more, and a slip of the pen ends here


@checked(frozen=True, config=_STRICT)
class PlacedPanel:
    """A panel on the roof."""

    zone: str = Field(description="of the case")
    panel: str = Field(description="of the catalogue")
    x_mm: Position = Field(description="of its corner nearest the rear and the right")
    y_mm: Position = Field(description="likewise")
    rotated: bool = Field(description="whether its length lies across the vehicle")
    string: str = Field(description="as array.number, counting the array's strings from 1")


@checked(frozen=True, config=_STRICT)
class PanelArray:
    """Strings of one panel type in one roof plane on one regulator."""

    name: str = Field(min_length=1, max_length=40, description="any")
    panel: str = Field(description="of the catalogue")
    roof_plane: str = Field(description="of its zones; empty for the portable panel")
    series: Number = Field(description="panels of each string")
    parallel: Number = Field(description="strings")
    regulator: str = Field(description="its slot: regulator_1 ..., or alternator_charger for its solar input")
    fuse: str = Field(default="", description="in the positive core of each string; empty where they have none")


@checked(frozen=True, config=_STRICT)
class Bank:
    """Modules standing side by side as one block of equal rows."""

    module: str = Field(description="of the catalogue")
    series: Number = Field(description="modules of each string")
    parallel: Number = Field(description="strings of modules")
    rows: Number = Field(description="modules across the block's width")
    columns: Number = Field(description="modules along the block's length")
    fuse: str = Field(default="", description="on the terminal of each string of modules; empty where they have none")


@checked(frozen=True, config=_STRICT)
class Fitted:
    """A body in a slot."""

    slot: str = Field(description="its role: bank, inverter, regulator_1 ...")
    part: str = Field(description="of the catalogue; the bank and the rows of fuses and shunts name none")
    board: str = Field(description="as bay.board")
    x_mm: Position = Field(description="from the board's lower left corner")
    y_mm: Position = Field(description="likewise")
    orientation: Orientation = Field(
        default="flat", description="which of its axes is off the board: flat, side or end"
    )
    rotated: bool = Field(
        default=False, description="whether its length (width for orientation end) lies along the board's width"
    )
    existing: bool = Field(default=False, description="whether it stays of what is fitted now")


@checked(frozen=True, config=_STRICT)
class Run:
    """One cable from part to part."""

    name: str = Field(description="what it is for")
    start: str = Field(description="a bay, a zone's entry or a point")
    end: str = Field(description="likewise")
    ways: tuple[str, ...] = Field(description="in order")
    cable: str = Field(description="of the catalogue")
    fuse: str = Field(default="", description="of the catalogue; empty where it needs none")
    cut_mm: Cut | None = Field(
        default=None,
        description="its cable is cut to, of a pair of single cores the positive one, in whole steps of 100; left out: "
        "as its ways and allowances ask",
    )
    back_mm: Cut | None = Field(
        default=None,
        description="the negative core of a pair is cut to, likewise; left out: as the positive one. Other cables have "
        "none",
    )


@checked(frozen=True, config=_STRICT)
class FittedVent:
    """Vents of one type cut into a bay."""

    bay: str = Field(description="of the case")
    vent: str = Field(description="of the catalogue")
    count: Number = Field(description="of them")


@checked(frozen=True, config=_STRICT)
class Measuring:
    """Shunts and hubs in the shunt row."""

    shunt: str = Field(description="of the catalogue")
    count: Number = Field(description="of them")


@checked(frozen=True, config=_STRICT)
class FittedEntry:
    """Roof glands and wall pass-throughs."""

    purpose: str = Field(description="a roof plane, or the name of a pass-through")
    entry: str = Field(description="of the catalogue")
    count: Number = Field(description="of them")
    board: str = Field(default="", description="of a pass-through, as bay.board; empty for the roof")


@checked(frozen=True, config=_STRICT)
class FittedBreaker:
    """A device in the mains box."""

    place: str = Field(
        description="the run that it is at the box's end of, or residual_hook_up, residual_inverter: of a whole side"
    )
    breaker: str = Field(description="of the catalogue")


@checked(frozen=True, config=_STRICT)
class Claim:
    """What the maker of the build says of it; the audit checks the figures."""

    want: str = Field(default="", description="what it is the best of")
    status: str = Field(default="", description="proven, best found, found (any build would do) or by hand")
    cost_cents: Total | None = Field(default=None, description="what it costs; the audit checks it")
    mass_g: Total | None = Field(default=None, description="what it weighs; the audit checks it")
    bound: Total | None = Field(default=None, description="no valid build is below it, in the unit of what is wanted")
    inputs: str = Field(default="", description="hash of case and catalogue")
    versions: dict[str, str] = Field(default_factory=dict, description="of the program, Python and the solver")
    seed: int | None = Field(default=None, description="of the solver")
    workers: int | None = Field(default=None, description="likewise")


@checked(frozen=True, config=_STRICT)
class Build:
    """What is fitted where."""

    case: str = Field(description="name of the case folder it was made for")
    system_v: Literal[12, 24, 48] = Field(description="of the bank: 12, 24 or 48")
    bank: Bank = Field(description="modules side by side, as one block of equal rows")
    panels: tuple[PlacedPanel, ...] = Field(default=(), description="on the roof")
    arrays: tuple[PanelArray, ...] = Field(default=(), description="strings of one panel type on one regulator")
    fitted: tuple[Fitted, ...] = Field(default=(), description="bodies on boards")
    runs: tuple[Run, ...] = Field(default=(), description="cables from part to part")
    vents: tuple[FittedVent, ...] = Field(default=(), description="cut into bays")
    measuring: tuple[Measuring, ...] = Field(default=(), description="shunts and hubs of the shunt row")
    entries: tuple[FittedEntry, ...] = Field(default=(), description="through roof and walls")
    dc_panel: str = Field(default="", description="fuse panel of the 12 V loads; empty where the brief has no circuits")
    breakers: tuple[FittedBreaker, ...] = Field(
        default=(), description="in the mains box; none where the brief gives no circuit of mains a point"
    )
    claim: Claim = Field(default=Claim(), description="what its maker says of it")

    def slot(self, name: str) -> Fitted | None:
        """The body in a slot, or None."""
        return next((f for f in self.fitted if f.slot == name), None)

    def run(self, name: str) -> Run | None:
        """The run of that name, or None."""
        return next((r for r in self.runs if r.name == name), None)


class BuildProblem(ValueError):
    """A build file that cannot be read."""


_ADAPTER = TypeAdapter(Build)


class _Twice(Exception):
    """A key that stands twice in one object of JSON; which of its values is meant, nobody knows."""


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        raise _Twice(next(name for name in names if names.count(name) > 1))
    return found


def _renamed(data: Any) -> dict[str, str]:
    """Give keys and slots of an earlier version their names of today, and say which; what else is wrong stays so."""
    found: dict[str, str] = {}
    for key, renamed in older.BUILD.items():
        rows = data.get(key) if isinstance(data, dict) else None
        for row in [row for row in rows if isinstance(row, dict)] if isinstance(rows, list) else ():
            for old, new in renamed.items():
                if old in row and new not in row:
                    row[new] = row.pop(old)
                    found[old] = new
            if isinstance(slot := row.get("slot"), str) and slot in older.SLOTS:
                found[slot] = row["slot"] = older.SLOTS[slot]
    return found


def to_json(build: Build) -> str:
    """The build as JSON: stable order, one item a line where it helps."""
    return json.dumps(asdict(build), indent=1, ensure_ascii=False) + "\n"


def digest(build: Build) -> str:
    """sha256 of the build's JSON, which tells two builds apart."""
    return sha256(to_json(build).encode()).hexdigest()


def from_json(text: str, *, where: str = "build") -> Build:
    """Read a build.

    Raises
    ------
    BuildProblem
        With each problem on a line: where it is, what is wrong, what was expected.

    Warns
    -----
    OlderFile
        Of names of an earlier version.
    """
    try:
        data: Any = json.loads(text.removeprefix("\ufeff"), object_pairs_hook=_each_once)
    except json.JSONDecodeError as error:
        raise BuildProblem(f"{where}:{error.lineno}:{error.colno}: not JSON: {error.msg}") from None
    except _Twice as twice:
        raise BuildProblem(
            f"{where}: {twice.args[0]!r:.60} stands twice in one object; expected each key once"
        ) from None
    except (ValueError, RecursionError):  # numbers of thousands of digits, brackets in brackets without end
        raise BuildProblem(f"{where}: cannot be read as JSON; expected a build file") from None
    odd = [f"{where}: {'.'.join(map(str, path))}: cannot be printed as it is; {EXPECTED}" for path in odd_texts(data)]
    if odd:
        raise BuildProblem("\n".join(odd))
    renamed = _renamed(data)
    try:
        # Strict JSON takes a list for a tuple, but not "3" for 3.
        build = _ADAPTER.validate_json(json.dumps(data), strict=True)
    except ValidationError as error:
        lines = (
            f"{where}: {'.'.join(str(step) for step in item['loc'])}: {item['msg']}; got {item['input']!r:.60}"
            for item in error.errors()
        )
        raise BuildProblem("\n".join(lines)) from None
    if renamed:
        warnings.warn(f"{where}: {older.noted(renamed)}", older.OlderFile, stacklevel=2)
    return build
