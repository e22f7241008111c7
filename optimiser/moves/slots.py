"""Which catalogue files fill a slot, which boards can take it, and which files a run's terminals are of."""

from typing import Literal

from optimiser.case import Bay, Board, Case
from optimiser.catalogue import Catalogue
from optimiser.connections import CONNECTIONS, ROWS, SLOTS, Connection, connection_of, role_of, slot_of
from optimiser.moves.move import MoveProblem
from optimiser.parts import PARTS, Body
from optimiser.reading.wording import among

Access = Literal["electronics", "reach", "sight", ""]


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
    if role_of(slot) not in SLOTS:
        raise MoveProblem(f"no slot {slot!r}; expected {among(slot, SLOTS)}")
    return tuple(key for key in slot_of(slot).files if catalogue.of(key))


def files_at_ends(catalogue: Catalogue, run: str) -> tuple[str, ...]:
    """Files whose terminals a run goes on; none for what goes to no terminal, all where no run is named."""
    if not run:
        return body_files(catalogue)
    connection = connection_at(run)
    files = [key for slot in connection.slots for key in slot_of(slot).files] + ["holders"] * connection.fused
    return tuple(key for key in dict.fromkeys(files) if catalogue.of(key))


def connection_at(run: str) -> Connection:
    """What is known of a run.

    Raises
    ------
    MoveProblem
        If there is no such run.
    """
    try:
        return connection_of(run)
    except KeyError:
        raise MoveProblem(f"no run {run!r}; expected {among(run, CONNECTIONS)}") from None


def boards_of(case: Case, catalogue: Catalogue, slot: str, *, but: Access = "") -> tuple[Board, ...]:
    """Boards a slot's body may stand on, as far as kind and access go; ``but`` is left out of account."""
    if not slot:
        return case.boards
    files = files_of(catalogue, slot)
    stays = next((k.board for k in case.existing if any(k.part in catalogue.of(key) for key in files)), "")
    if stays and slot not in ROWS:
        return (case.board_of[stays],)
    bodies = [part for key in files for part in catalogue.of(key).values() if isinstance(part, Body)]
    mounts = {"either"} if slot in ROWS else {body.mounts for body in bodies}
    return tuple(
        board
        for board in case.boards
        if mounts & {board.kind, "either"}
        and (board.kind == "floor" or slot != "bank")
        and (but == "electronics" or _lets_in(case, case.bay_of[board.bay], slot))
        and (but == "reach" or board.reach or not slot_of(slot).reached)
        and (but == "sight" or board.sight or not slot_of(slot).seen)
    )


def _lets_in(case: Case, bay: Bay, slot: str) -> bool:
    if not slot_of(slot).electronics:  # bank and main fuse, which stand together
        return bay.battery and not shuts_bank_out(case, bay)
    return bay.electronics and bay.air != "sealed"


def shuts_bank_out(case: Case, bay: Bay) -> bool:
    """Whether the rule set keeps a bank out of the bay, whatever the survey says."""
    return bay.habitable and bay.air != "sealed" and case.rules["bank_in_living"] == 0
