"""A build: what is fitted where. Says nothing of whether it is valid; the audit does.

It can be written by hand as JSON. Positions are in mm: panels in vehicle coordinates (corner with the
smallest x and y), bodies on their board from its lower left corner.
"""

from __future__ import annotations

import json
from dataclasses import asdict, field
from hashlib import sha256
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from optimiser.parts import Stance
from optimiser.texts import EXPECTED, odd_texts

_STRICT = ConfigDict(extra="forbid")

Position = Annotated[int, Field(ge=-100_000, le=100_000)]  # mm
Total = Annotated[int, Field(ge=-(10**15), le=10**15)]  # cents, grams, or what a search is bounded by
Number = Annotated[int, Field(le=999)]  # of alike things: no vehicle has more, and a slip of the pen ends here


@checked(frozen=True, config=_STRICT)
class PlacedPanel:
    """A panel on the roof. ``string`` is ``array.number``, counting strings from 1."""

    zone: str
    panel: str
    x_mm: Position
    y_mm: Position
    turned: bool  # False: its length lies along x
    string: str


@checked(frozen=True, config=_STRICT)
class PanelArray:
    """Strings of one panel type in one light on one regulator."""

    name: Annotated[str, Field(min_length=1, max_length=40)]
    panel: str
    light: str  # "" for the portable panel
    series: Number
    parallel: Number
    regulator: str  # a slot: regulator_1 ..., or alternator_charger for its solar input


@checked(frozen=True, config=_STRICT)
class Bank:
    """Modules standing side by side as one block of equal rows."""

    module: str
    series: Number
    parallel: Number
    rows: Number  # modules counted across the block's width
    columns: Number  # modules counted along the block's length
    fuse: str = ""  # one on the terminal of each string of modules; "" where they have none


@checked(frozen=True, config=_STRICT)
class Fitted:
    """A body in a slot. The bank, the fuse row and the measuring row carry no single part."""

    slot: str
    part: str
    board: str  # bay.board
    x_mm: Position
    y_mm: Position
    stance: Stance = "flat"
    turned: bool = False  # False: the body's length (width for stance end) lies along the board's length
    kept: bool = False


@checked(frozen=True, config=_STRICT)
class Run:
    """One cable from part to part."""

    name: str
    start: str  # node: bay, entry or point
    end: str
    ways: tuple[str, ...]
    cable: str
    fuse: str = ""  # "" where it needs none


@checked(frozen=True, config=_STRICT)
class FittedVent:
    """Vents of one type cut into a bay."""

    bay: str
    vent: str
    count: Number


@checked(frozen=True, config=_STRICT)
class Measuring:
    """Shunts and hubs in the measuring row."""

    shunt: str
    count: Number


@checked(frozen=True, config=_STRICT)
class FittedEntry:
    """Roof glands by light condition, wall pass-throughs by name; ``board`` for the latter only."""

    purpose: str
    entry: str
    count: Number
    board: str = ""


@checked(frozen=True, config=_STRICT)
class Claim:
    """What the maker of the build says of it; the audit checks the figures."""

    want: str = ""
    status: str = ""  # proven | best found | found (any build would do) | by hand
    cost_cents: Total | None = None
    mass_g: Total | None = None
    bound: Total | None = None  # of the wanted objective, in its unit
    inputs: str = ""  # hash of case and catalogue
    versions: dict[str, str] = field(default_factory=dict)
    seed: int | None = None
    workers: int | None = None


@checked(frozen=True, config=_STRICT)
class Build:
    """What is fitted where."""

    case: str
    system_v: Literal[12, 24, 48]
    bank: Bank
    panels: tuple[PlacedPanel, ...] = ()
    arrays: tuple[PanelArray, ...] = ()
    fitted: tuple[Fitted, ...] = ()
    runs: tuple[Run, ...] = ()
    vents: tuple[FittedVent, ...] = ()
    measuring: tuple[Measuring, ...] = ()
    entries: tuple[FittedEntry, ...] = ()
    claim: Claim = Claim()

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
    try:
        # Strict JSON takes a list for a tuple, but not "3" for 3.
        return _ADAPTER.validate_json(json.dumps(data), strict=True)
    except ValidationError as error:
        lines = (
            f"{where}: {'.'.join(str(step) for step in item['loc'])}: {item['msg']}; got {item['input']!r:.60}"
            for item in error.errors()
        )
        raise BuildProblem("\n".join(lines)) from None
