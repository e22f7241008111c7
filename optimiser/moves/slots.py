"""Which catalogue files fill a slot, which boards can take it, and which files a run's terminals are of."""

from __future__ import annotations

import re
from typing import Literal

from optimiser.case import Bay, Board, Case
from optimiser.catalogue import Catalogue
from optimiser.moves.move import MoveProblem
from optimiser.parts import PARTS, Body
from optimiser.reading.wording import among

Access = Literal["electronics", "reach", "sight", ""]

FILES: dict[str, tuple[str, ...]] = {
    "bank": ("modules",),
    "main_fuse": ("holders",),
    "isolator": ("isolators",),
    "busbar": ("busbars",),
    "display": ("displays",),
    "switch": ("switches",),
    "mains_box": ("mains_boxes",),
    "inverter": ("inverters", "inverter_chargers"),
    "alternator_charger": ("alternator_chargers",),
    "mains_charger": ("mains_chargers",),
    "step_down": ("step_downs",),
    "fuse_row": ("holders",),
    "measuring_row": ("shunts",),
    "regulator": ("regulators",),  # of any number
}
_ROWS = ("fuse_row", "measuring_row")  # stand on any board, whatever their members are fixed to
_REACHED = ("isolator", "switch", "display", "mains_box", "fuse_row")

MAINS_RUNS = ("mains_inlet", "mains_feed", "inverter_out", "inverter_in")
DATA_RUNS = ("display", "switch")

_INVERTERS = FILES["inverter"]
_ENDS: dict[str, tuple[str, ...]] = {
    "main": ("modules", "isolators", "busbars", "holders"),
    "inverter": ("busbars", *_INVERTERS, "holders"),
    "alternator": ("alternator_chargers", "busbars", "holders"),
    "alternator_feed": ("alternator_chargers", "holders"),
    "mains_charger": ("mains_chargers", "busbars", "holders"),
    "step_down": ("busbars", "step_downs", "holders"),
    "dc_loads": ("busbars", "step_downs", "holders"),
    "mains_inlet": ("mains_boxes",),
    "mains_feed": ("mains_boxes", "mains_chargers"),
    "inverter_out": ("mains_boxes", *_INVERTERS),
    "inverter_in": ("mains_boxes", *_INVERTERS),
    "regulator": ("regulators", "busbars", "holders"),
    "solar": ("regulators", "alternator_chargers"),
    "pass": ("holders",),
}


def body_files(catalogue: Catalogue) -> tuple[str, ...]:
    """All files of parts that stand in bays."""
    return tuple(key for key, kind in PARTS.items() if issubclass(kind, Body) and catalogue.of(key))


def files_of(catalogue: Catalogue, slot: str) -> tuple[str, ...]:
    """Files whose parts go in a slot; of all slots where none is named.

    Raises
    ------
    MoveProblem
        If there is no such slot.
    """
    if not slot:
        return body_files(catalogue)
    role = re.sub(r"_[0-9]+$", "", slot)
    if role not in FILES:
        raise MoveProblem(f"no slot {slot!r}; expected {among(slot, FILES)}")
    return tuple(key for key in FILES[role] if catalogue.of(key))


def files_at_ends(catalogue: Catalogue, run: str) -> tuple[str, ...]:
    """Files whose terminals a run goes on; none for what goes to no terminal, all where no run is named."""
    if not run:
        return body_files(catalogue)
    role = re.sub(r"_[0-9]+$", "", run) if run.startswith("regulator_") else run
    role = next((kind for kind in ("solar", "pass") if run.startswith(f"{kind}_")), role)
    return tuple(key for key in _ENDS.get(role, ()) if catalogue.of(key))


def boards_of(case: Case, catalogue: Catalogue, slot: str, *, but: Access = "") -> tuple[Board, ...]:
    """Boards a slot's body may stand on, as far as kind and access go; ``but`` is left out of account."""
    if not slot:
        return case.boards
    files = files_of(catalogue, slot)
    stays = next((k.board for k in case.keep if any(k.part in catalogue.of(key) for key in files)), "")
    if stays and slot not in _ROWS:
        return (case.board_of[stays],)
    bodies = [part for key in files for part in catalogue.of(key).values() if isinstance(part, Body)]
    mounts = {"either"} if slot in _ROWS else {body.mounts for body in bodies}
    return tuple(
        board
        for board in case.boards
        if mounts & {board.kind, "either"}
        and (board.kind == "floor" or slot != "bank")
        and (but == "electronics" or _lets_in(case, case.bay_of[board.bay], slot))
        and (but == "reach" or board.reach or slot not in _REACHED)
        and (but == "sight" or board.sight or slot != "display")
    )


def _lets_in(case: Case, bay: Bay, slot: str) -> bool:
    if slot in ("bank", "main_fuse"):  # which stand together
        return bay.battery and not shuts_bank_out(case, bay)
    return bay.electronics and bay.air != "sealed"


def shuts_bank_out(case: Case, bay: Bay) -> bool:
    """Whether the rule set keeps a bank out of the bay, whatever the survey says."""
    return bay.habitable and bay.air != "sealed" and case.rules["bank_in_living"] == 0
