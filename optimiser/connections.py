"""Which connections a build may have: the slots that bodies fill, and the runs that join them.

THE list, for model, moves, names, schedules and drawing. The audit keeps a list of its own (`fitted.wiring`, and the
files of `auditing`), written a second time so that neither can hide a fault of the other; a test ties them together.
"""

import re
from dataclasses import dataclass, replace
from typing import Literal, cast

from optimiser.parts import PARTS, Body

Kind = Literal["dc", "solar", "mains", "data"]
Guard = Literal["", "main_fuse", "fuse_row", "feed", "panel", "mains_box"]
State = Literal["driving", "hook_up"]

POINTS = ("alternator", "inlet", "portable")
"""Tables of the brief with a point, at which runs end; other points are those of the 12 V panel and pass-throughs."""


@dataclass(frozen=True, kw_only=True)
class SlotKind:
    """A role that a body fills, or a row of small ones."""

    name: str
    files: tuple[str, ...]  # of the catalogue, whose parts go in it
    words: str
    is_row: bool = False
    always: bool = False  # whatever the build; the bank and the rows are so anyway
    reached: bool = False  # a person must reach it
    seen: bool = False  # and see it from the door
    electronics: bool = True  # only where electronics may be
    at_busbar: bool = False  # joined to the busbars without a cable of its own, so in their bay
    stays: bool = False  # one that the vehicle has may stay in use
    source: str = ""  # of a charger: the table of the brief that feeds it
    fed_by: str = ""  # the same in a word
    works: tuple[State, ...] = ()  # of what charges: when it can
    converts: bool = False  # builds that differ in it are of two kinds

    @property
    def part(self) -> type[Body]:
        """The class of its parts."""
        return cast(type[Body], PARTS[self.files[0]])


@dataclass(frozen=True, kw_only=True)
class Connection:
    """A run from part to part. Its ends are slots, or points that the brief names."""

    name: str
    start: str
    end: str
    kind: Kind
    serves: str = ""  # the slot that it comes and goes with; "": always there
    needs: str = ""  # a table of the brief, without which it is not there
    guard: Guard = ""  # where its fuse or breaker stands
    through: tuple[str, ...] = ()  # slots on its way, on whose terminals it goes too
    instead: tuple[str, ...] = ()  # slots that it may start or end at instead
    drop: str = "drop_share"  # figure of the rule set: share of its voltage that it may lose
    measured: bool = False  # what it carries is measured; of an array that ends by the shunts each string

    @property
    def fused(self) -> bool:
        """Whether a fuse guards it, not a breaker of the mains box."""
        return self.guard not in ("", "mains_box")

    @property
    def slots(self) -> tuple[str, ...]:
        """Those whose terminals it goes on, from its start to its end."""
        on = (self.start, *self.through, self.end, *self.instead)
        return () if self.kind == "data" else tuple(slot for slot in on if role_of(slot) in SLOTS)

    @property
    def bodies(self) -> tuple[str, str] | None:
        """The slots at both its ends; None where one is a point of the survey, or it may end elsewhere."""
        both = (self.start, self.end)
        whole = self.kind != "data" and not self.instead and all(role_of(end) in SLOTS for end in both)
        return both if whole else None


_SLOTS = (
    SlotKind(name="bank", files=("modules",), words="bank", electronics=False, converts=True),
    SlotKind(name="isolator", files=("isolators",), words="isolator", reached=True, at_busbar=True, always=True),
    SlotKind(name="busbar", files=("busbars",), words="busbar", always=True),
    SlotKind(name="main_fuse", files=("holders",), words="main fuse", electronics=False, always=True),
    SlotKind(name="display", files=("displays",), words="display", reached=True, seen=True, always=True),
    SlotKind(name="switch", files=("switches",), words="switch", reached=True),
    SlotKind(
        name="inverter", files=("inverters", "inverter_chargers"), words="inverter", stays=True, works=("hook_up",),
        converts=True,
    ),
    SlotKind(
        name="alternator_charger", files=("alternator_chargers",), words="alternator charger", stays=True,
        source="alternator", fed_by="alternator", works=("driving",), converts=True,
    ),
    SlotKind(
        name="mains_charger", files=("mains_chargers",), words="mains charger", stays=True,
        source="inlet", fed_by="hook-up", works=("hook_up",), converts=True,
    ),
    SlotKind(name="mains_box", files=("mains_boxes",), words="mains box", reached=True, stays=True),
    SlotKind(name="step_down", files=("step_downs",), words="step-down", at_busbar=True, converts=True),
    SlotKind(name="fuse_row", files=("holders",), words="fuse row", is_row=True, reached=True, at_busbar=True),
    SlotKind(name="shunt_row", files=("shunts",), words="shunt row", is_row=True, at_busbar=True),
    SlotKind(name="regulator", files=("regulators",), words="regulator", converts=True),
)  # fmt: skip
SLOTS = {slot.name: slot for slot in _SLOTS}
"""Name -> slot; `regulator` stands for any number of them, `regulator_1` ..."""

_CONNECTIONS = (
    Connection(
        name="main", start="bank", end="busbar", kind="dc", guard="main_fuse", through=("main_fuse", "isolator"),
        drop="drop_share_inverter", measured=True,
    ),
    Connection(
        name="inverter", start="busbar", end="inverter", kind="dc", serves="inverter", guard="fuse_row",
        drop="drop_share_inverter", measured=True,
    ),
    Connection(name="regulator", start="regulator", end="busbar", kind="dc", serves="regulator", guard="fuse_row"),
    Connection(
        name="solar", start="array", end="regulator", kind="solar", instead=("alternator_charger",),
        drop="drop_share_solar", measured=True,
    ),
    Connection(
        name="alternator", start="alternator_charger", end="busbar", kind="dc", serves="alternator_charger",
        guard="fuse_row", measured=True,
    ),
    Connection(
        name="alternator_feed", start="alternator", end="alternator_charger", kind="dc", serves="alternator_charger",
        needs="alternator", guard="feed", drop="drop_share_feed",
    ),
    Connection(
        name="mains_charger", start="mains_charger", end="busbar", kind="dc", serves="mains_charger",
        guard="fuse_row", measured=True,
    ),
    Connection(  # without a fuse behind a step-down
        name="dc_loads", start="busbar", end="dc_panel", kind="dc", instead=("step_down",), guard="fuse_row",
        measured=True,
    ),
    Connection(name="step_down", start="busbar", end="step_down", kind="dc", serves="step_down", guard="fuse_row"),
    Connection(
        name="mains_inlet", start="inlet", end="mains_box", kind="mains", needs="inlet", guard="mains_box",
        drop="drop_share_mains",
    ),
    Connection(
        name="mains_feed", start="mains_box", end="mains_charger", kind="mains", serves="mains_charger", needs="inlet",
        guard="mains_box", drop="drop_share_mains",
    ),
    Connection(  # of an inverter-charger alone
        name="inverter_in", start="mains_box", end="inverter", kind="mains", serves="inverter", needs="inlet",
        guard="mains_box", drop="drop_share_mains",
    ),
    Connection(
        name="inverter_out", start="inverter", end="mains_box", kind="mains", serves="inverter", drop="drop_share_mains"
    ),
    Connection(
        name="outlet", start="mains_box", end="outlet", kind="mains", guard="mains_box", drop="drop_share_mains"
    ),
    Connection(name="display", start="shunt_row", end="display", kind="data"),
    Connection(name="switch", start="inverter", end="switch", kind="data", serves="switch"),
    Connection(name="circuit", start="dc_panel", end="circuit", kind="dc", guard="panel"),
    Connection(name="pass", start="entry", end="outside", kind="dc", guard="panel"),  # or data, without a fuse
)  # fmt: skip
CONNECTIONS = {connection.name: connection for connection in _CONNECTIONS}
"""Name -> connection; `regulator`, `solar`, `outlet`, `circuit` and `pass` stand for one each regulator, array, mains
circuit, 12 V circuit and pass-through."""

FAMILIES = ("regulator", "solar", "outlet", "circuit", "pass")
ROWS = tuple(slot.name for slot in _SLOTS if slot.is_row)
CHARGERS = tuple(slot.name for slot in _SLOTS if slot.source)
"""Slots of chargers that are fed from what the brief names; regulators are fed by arrays."""

_REGULATOR = re.compile(r"regulator_[1-9][0-9]*")


def is_regulator(name: str) -> bool:
    """Whether a slot, or a run, is that of a regulator."""
    return _REGULATOR.fullmatch(name) is not None


def role_of(slot: str) -> str:
    """The slot of `SLOTS` that one of a build is: `regulator` for each of them."""
    return "regulator" if is_regulator(slot) else slot


def slot_of(name: str) -> SlotKind:
    """What is known of a slot of a build; of regulators, of all of them.

    Raises
    ------
    KeyError
        If a build can have no such slot.
    """
    return SLOTS[role_of(name)]


def connection_of(run: str) -> Connection:
    """What is known of a run, with the ends of its own.

    Raises
    ------
    KeyError
        If a build can have no such run.
    """
    if is_regulator(run):
        return replace(CONNECTIONS["regulator"], name=run, start=run, serves=run)
    family, _, rest = run.partition("_")
    if family in FAMILIES[1:] and rest:
        return replace(CONNECTIONS[family], name=run)
    if family in FAMILIES:
        raise KeyError(run)
    return CONNECTIONS[run]
