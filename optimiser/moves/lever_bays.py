"""Levers of what stands in bays: boards, openings, and what is allowed where."""

from collections.abc import Iterator
from itertools import product

from optimiser.basis import air, bank, loads
from optimiser.case import Bay, Board
from optimiser.moves.lever_makers import Ask, placed, step_of
from optimiser.moves.move import Lever
from optimiser.moves.moving import measures
from optimiser.moves.slots import boards_of, files_of, shuts_bank_out
from optimiser.reading.geometry import lies_in, passes_sides


def _boards(ask: Ask) -> tuple[Board, ...]:
    return boards_of(ask.case, ask.catalogue, ask.place)


def _bays(ask: Ask, boards: tuple[Board, ...]) -> list[Bay]:
    """The bays of some boards, in the survey's order."""
    names = {board.bay for board in boards}
    return [bay for bay in ask.case.bays if bay.name in names]


def longer_boards(ask: Ask) -> Iterator[Lever]:
    """Each board the slot's body may stand on, both ways."""
    for board in _boards(ask):
        for column, words in (("length_mm", "length"), ("width_mm", "width")):
            yield from _larger(ask, board, column, step_of("bay.board"), words)


def deeper_boards(ask: Ask) -> Iterator[Lever]:
    """The free space in front of each board it may stand on."""
    for board in _boards(ask):
        yield from _larger(ask, board, "depth_mm", step_of("bay.depth"), "free depth")


def _larger(ask: Ask, board: Board, column: str, step: float, words: str) -> Iterator[Lever]:
    """A measure of a board; where the board fills its bay that way, of the bay, which the board follows."""
    bay = ask.case.bay_of[board.bay]
    if lies_in(board.model_copy(update={column: getattr(board, column) + step}), bay):
        yield Lever(f"board.{board.place}.{column}", step, "mm", f"{words} of board {board.place}", act=True)
    elif measure := measures(board, bay).get(column):
        what = f"{measure.removesuffix('_mm')} of bay {bay.name}"
        yield Lever(f"bay.{bay.name}.{measure}", step, "mm", f"{what} and {words} of board {board.place}", act=True)


def wider_openings(ask: Ask) -> Iterator[Lever]:
    """Both measures of the opening of each bay it may stand in, as far as its sides have room."""
    step = step_of("bay.opening")
    for bay in _bays(ask, _boards(ask)):
        for column, words in (("opening_length_mm", "length"), ("opening_width_mm", "width")):
            if passes_sides(bay.model_copy(update={column: getattr(bay, column) + step})):
                words = f"opening {words} of bay {bay.name}"
                yield Lever(f"bay.{bay.name}.{column}", step, "mm", words, act=True)


def less_clearance(ask: Ask) -> Iterator[Lever]:
    """The clearances that the makers of what goes in the slot want along the board."""
    for key in files_of(ask.catalogue, ask.place):
        for column, words in (("clear_length_mm", "at the ends of"), ("clear_width_mm", "beside")):
            text = f"clearance {words} {key.replace('_', ' ')}"
            yield Lever(f"{key}.{column}", -step_of("bay.clearance"), "mm", text, act=False)


def more_vents(ask: Ask) -> Iterator[Lever]:
    """Openings there already, and those that may be cut, of bays that keep a lead-acid battery."""
    gassing = {ask.case.board_of[existing.board].bay for existing in ask.case.existing if existing.kind == "lead_acid"}
    for name in placed(ask, "bay"):
        if name in gassing:
            there, cut = f"area of each opening of bay {name}", f"vent cut-out allowed in bay {name}"
            yield Lever(f"bay.{name}.vent_cm2", step_of("bay.hydrogen"), "cm2", there, act=True)
            yield Lever(f"bay.{name}.cut_out_max_cm2", step_of("bay.vents"), "cm2", cut, act=True)


def warmer_bays(ask: Ask) -> Iterator[Lever]:
    """Bays that may take the bank."""
    bays = (
        placed(ask, "bay")
        if ask.place
        else [bay.name for bay in _bays(ask, boards_of(ask.case, ask.catalogue, "bank"))]
    )
    for name in bays:
        words = f"warmer cold nights in bay {name}"
        yield Lever(f"bay.{name}.cold_rise_k", step_of("battery.cold"), "K", words, act=True)


def warmer_banks(ask: Ask) -> Iterator[Lever]:
    """Bays that may take the bank and where cold keeps back more than the floor of a module of the catalogue."""
    if ask.name == "energy.floor":
        scenarios = list(placed(ask, "scenario").values())
    else:
        scenarios = [loads.autonomy_scenario(ask.case)] if ask.case.limits.autonomy_days else []
    pairs = list(product(ask.catalogue.of("modules").values(), scenarios))
    above_floor = 1 - ask.case.limits.soc_floor_pct / 100
    for bay in _bays(ask, boards_of(ask.case, ask.catalogue, "bank")):
        if any(bank.drawable_share(module, scenario.temp_min_c, bay) < above_floor for module, scenario in pairs):
            words = f"warmer cold nights in bay {bay.name}"
            yield Lever(f"bay.{bay.name}.cold_rise_k", step_of("battery.cold"), "K", words, act=True)


def bank_allowed(ask: Ask) -> Iterator[Lever]:
    """What alone lets a bank into a bay with a floor: the survey's word, or the rule set's."""
    floors = {board.bay for board in ask.case.boards if board.kind == "floor"}
    for name, bay in placed(ask, "bay").items():
        shut_out = shuts_bank_out(ask.case, bay)
        if name in floors and not bay.battery and not shut_out:
            yield Lever(f"bay.{name}.battery", None, "", f"a bank allowed in bay {name}", act=True, to="yes")
        elif name in floors and bay.battery and shut_out:
            yield Lever("rule.bank_in_living", None, "", "a bank allowed in the living space", act=False, to="yes")


def sealed_off(ask: Ask) -> Iterator[Lever]:
    """Bays that keep a lead-acid battery and are open to the room."""
    gassing = {ask.case.board_of[existing.board].bay for existing in ask.case.existing if existing.kind == "lead_acid"}
    for name, bay in placed(ask, "bay").items():
        if name in gassing and air.breathes_cabin(bay):
            words = f"bay {name} sealed off from the room and vented outside"
            yield Lever(f"bay.{name}.air", None, "", words, act=True, to="sealed")


def electronics_allowed(ask: Ask) -> Iterator[Lever]:
    """Bays the survey keeps electronics out of. A sealed one stays out of bounds whatever the survey says."""
    for bay in _bays(ask, boards_of(ask.case, ask.catalogue, ask.place, but="electronics")):
        if not bay.electronics and bay.air != "sealed":
            words = f"electronics allowed in bay {bay.name}"
            yield Lever(f"bay.{bay.name}.electronics", None, "", words, act=True, to="yes")


def reached(ask: Ask) -> Iterator[Lever]:
    """Boards out of reach."""
    for board in boards_of(ask.case, ask.catalogue, ask.place, but="reach"):
        if not board.reach:
            words = f"board {board.place} within reach"
            yield Lever(f"board.{board.place}.reach", None, "", words, act=True, to="yes")


def seen(ask: Ask) -> Iterator[Lever]:
    """Boards out of sight."""
    for board in boards_of(ask.case, ask.catalogue, ask.place, but="sight"):
        if not board.sight:
            words = f"board {board.place} in sight"
            yield Lever(f"board.{board.place}.sight", None, "", words, act=True, to="yes")
