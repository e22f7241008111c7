"""Makes slots: which part stands in which role, on which board, and how.

A candidate that breaks an active requirement of its own (depth, opening, reach ...) is left out; it comes
back when the requirement is not active.
"""

from collections.abc import Iterator, Sequence

from optimiser.basis import bodies
from optimiser.basis.bodies import Footprint
from optimiser.basis.money import CostAndMass
from optimiser.case import Bay, Board, Case, Existing
from optimiser.connections import slot_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Option, Row, Slot, Stand, total
from optimiser.parts import Body, Holder, Module, Orientation


def poses(case: Case, option: Option, slot: str, ctx: FitOut) -> Iterator[tuple[Board, Orientation, bool, Footprint]]:
    """Ways an option may stand, less those that break an active requirement by themselves."""
    any_way = not ctx.is_active("bay.orientation", slot)
    for board in case.boards:
        if not _suits(ctx, case, slot, option, board):
            continue
        seen: set[tuple[Footprint, Orientation]] = set()
        for orientation in ("flat", "side", "end") if any_way else option.body.orientations:
            for rotated in (False, True):
                if not any_way and not bodies.may_stand(
                    option.body, orientation=orientation, rotated=rotated, board=board
                ):
                    continue
                size = option.size(orientation, rotated, board)
                if (size, orientation) in seen or not _fits(ctx, slot, size, board):
                    continue
                seen.add((size, orientation))
                yield board, orientation, rotated, size


def _suits(ctx: FitOut, case: Case, slot: str, option: Option, board: Board) -> bool:
    bay = case.bay_of[board.bay]
    if shut_out_by_gas(ctx, bay):
        return False
    if slot == "bank" and (board.kind != "floor" or not _takes_bank(ctx, bay, option)):
        return False
    shut_out = not bay.electronics or bay.air == "sealed"
    role = slot_of(slot)
    if role.electronics and ctx.is_active("bay.electronics", slot) and shut_out:
        return False
    if role.reached and ctx.is_active("bay.reach", slot) and not board.reach:
        return False
    if role.seen and ctx.is_active("bay.sight", slot) and not board.sight:
        return False
    return not ctx.is_active("bay.opening", slot) or bodies.passes(
        option.body, opening_length_mm=bay.opening_length_mm, opening_width_mm=bay.opening_width_mm
    )


def shut_out_by_gas(ctx: FitOut, bay: Bay) -> bool:
    """Whether a lead-acid battery that stays there keeps out all that may spark."""
    gassing = any(k.kind == "lead_acid" and ctx.case.board_of[k.board].bay == bay.name for k in ctx.case.existing)
    return gassing and ctx.is_active("battery.lead_acid", bay.name)


def _takes_bank(ctx: FitOut, bay: Bay, option: Option) -> bool:
    """Whether the survey and the rule set let a bank stand there, and it stays warm enough to charge."""
    assert isinstance(option.body, Module)
    coldest = min(s.temp_min_c for s in ctx.case.scenarios) + bay.cold_rise_k
    if ctx.is_active("battery.cold", bay.name) and coldest < option.body.charge_min_c:
        return False
    shut_off = not bay.habitable or bay.air == "sealed" or bool(ctx.case.rules["bank_in_living"])
    return not ctx.is_active("battery.place", bay.name) or (bay.battery and shut_off)


def _fits(ctx: FitOut, slot: str, size: Footprint, board: Board) -> bool:
    if ctx.is_active("bay.depth", slot) and size.depth_mm > board.depth_mm:
        return False
    clear = 2 if ctx.is_active("bay.clearance", slot) else 0
    return not ctx.is_active("bay.board", slot) or (
        size.length_mm + clear * size.clear_x_mm <= board.length_mm
        and size.width_mm + clear * size.clear_y_mm <= board.width_mm
    )


def options_of(ctx: FitOut, *keys: str) -> list[Option]:
    """Catalogue parts that suit a voltage the bank may have."""
    return [
        Option(part.name, part, ctx.tables.cost_and_mass(part))
        for key in keys
        for part in ctx.catalogue.of(key).values()
        if isinstance(part, Body) and any(suits(part, v) for v in ctx.d.voltage)
    ]


def suits(part: Body, system_v: int) -> bool:
    """Whether a part is made for a system voltage; parts that name none suit all."""
    made_for = getattr(part, "system_v", system_v)
    return system_v in made_for if isinstance(made_for, tuple) else system_v == made_for


def add_slot(ctx: FitOut, name: str, options: Sequence[Option], *, present: Expr | None = None) -> Slot:
    """Make a slot. ``present`` None: it may be left empty, and its presence is a flag of its own."""
    case = ctx.case
    stands: list[Stand] = []
    for option in options:
        if isinstance(option.body, Holder) and option.body.on_terminal:  # rides on the bank, wherever that is
            for board in case.boards:
                if _suits(ctx, case, name, option, board):
                    size, var = option.size("flat", False, board), ctx.flag(f"{name}:{option.key}@{board.place}")
                    stands.append(Stand(option, board, "flat", False, size, var, rides=True))
            continue
        for board, orientation, rotated, size in poses(case, option, name, ctx):
            var = ctx.flag(f"{name}:{option.key}@{board.place}:{orientation}{rotated:d}")
            stands.append(Stand(option, board, orientation, rotated, size, var))
    return finish_slot(ctx, name, stands, present)


def finish_slot(
    ctx: FitOut, name: str, stands: list[Stand], present: Expr | None, existing: Existing | None = None
) -> Slot:
    """Link a slot's candidates to its picks, its bays and its boards, and count what they cost."""
    there = ctx.flag(f"{name}:present") if present is None else present
    slot = Slot(name, stands, there, existing)
    ctx.define(total(s.var for s in stands) == there)
    for key in dict.fromkeys(s.option.key for s in stands):
        slot.pick[key] = ctx.is_sum((s.var for s in stands if s.option.key == key), f"{name}:{key}")
    for bay in ctx.case.bays:
        if here := [s.var for s in stands if s.board.bay == bay.name]:
            slot.at[bay.name] = ctx.is_sum(here, f"{name}@{bay.name}")
    for board in ctx.case.boards:
        if here := [s.var for s in stands if s.board is board and not s.rides]:
            slot.on[board.place] = ctx.is_sum(here, f"{name}@{board.place}")
    for stand in stands:
        bay = ctx.case.bay_of[stand.board.bay]
        ctx.count(stand.option.worth, stand.var, x_mm=bay.x_mm, y_mm=bay.y_mm)
    return slot


def at_voltage(ctx: FitOut, slot: Slot) -> dict[tuple[str, int], Bool]:
    """A slot's picks split by system voltage, so that figures that depend on both stay linear."""
    if len(ctx.d.voltage) == 1:
        (only,) = ctx.d.voltage
        return {(key, only): var for key, var in slot.pick.items()}
    split: dict[tuple[str, int], Bool] = {}
    for key, var in slot.pick.items():
        suited = [v for v in ctx.d.voltage if suits(slot.options[key].body, v)]
        for system_v in suited:
            split[key, system_v] = var if len(suited) == 1 else ctx.flag(f"{slot.name}:{key}:{system_v}")
        ctx.define(total(split[key, v] for v in suited) == var)
    for system_v, chosen in ctx.d.voltage.items():
        ctx.define(total(var for (_, v), var in split.items() if v == system_v) <= chosen)
    return split


def existing_slot(ctx: FitOut, name: str, existing: Existing, body: Body) -> Slot:
    """A slot filled by a part that stays, at no cost and no added mass, but held to its place like any other."""
    board = ctx.case.board_of[existing.board]
    bay, size, var = ctx.case.bay_of[board.bay], bodies.staying(body, existing), ctx.flag(f"{name}:existing")
    inside = existing.x_mm + size.length_mm <= board.length_mm and existing.y_mm + size.width_mm <= board.width_mm
    ctx.require("bay.board", inside, name)
    ctx.require("bay.depth", size.depth_mm <= board.depth_mm, name)
    ctx.require("bay.electronics", bay.electronics and bay.air != "sealed", name)
    if slot_of(name).reached:
        ctx.require("bay.reach", board.reach, name)
    option = Option(body.name, body, CostAndMass(0, 0))
    return finish_slot(ctx, name, [Stand(option, board, "flat", False, size, var)], 1, existing)


def add_row(ctx: FitOut, name: str) -> Row:
    """Make a row of small bodies; it always stands somewhere."""
    case = ctx.case
    reach = slot_of(name).reached and ctx.is_active("bay.reach", name)
    electronics = ctx.is_active("bay.electronics", name)
    on: dict[str, Bool] = {}
    for board in case.boards:
        bay = case.bay_of[board.bay]
        if shut_out_by_gas(ctx, bay) or (reach and not board.reach):
            continue
        if electronics and (not bay.electronics or bay.air == "sealed"):
            continue
        on[board.place] = ctx.flag(f"{name}@{board.place}")
    ctx.define(total(on.values()) == 1)
    at = {
        bay.name: ctx.is_sum(here, f"{name}@{bay.name}")
        for bay in case.bays
        if (here := [v for place, v in on.items() if case.board_of[place].bay == bay.name])
    }
    row = Row(name, on, ctx.flag(f"{name}:rotated"), at)
    row.cross, row.clear_along, row.clear_cross = (
        ctx.number(0, 500, f"{name}:{what}") for what in ("cross", "clear_along", "clear_cross")
    )
    return row


def row_member(ctx: FitOut, row: Row, body: Body, used: Bool, length_expr: Expr) -> None:
    """A body that may be in a row: ``used`` says whether, ``length_expr`` what it adds along it."""
    row.along = row.along + length_expr
    row.lengths.setdefault(body.length_mm, []).append(used)
    row.members.append((body, used))
    assert row.cross is not None and row.clear_along is not None and row.clear_cross is not None
    ctx.define(row.cross >= body.length_mm, [used])
    ctx.define(row.clear_along >= body.clear_width_mm, [used])
    ctx.define(row.clear_cross >= body.clear_length_mm, [used])
    for place, var in row.on.items():
        board = ctx.case.board_of[place]
        bay = ctx.case.bay_of[board.bay]
        if (ctx.is_active("bay.depth", row.name) and body.height_mm + body.clear_height_mm > board.depth_mm) or (
            ctx.is_active("bay.opening", row.name)
            and not bodies.passes(body, opening_length_mm=bay.opening_length_mm, opening_width_mm=bay.opening_width_mm)
        ):
            ctx.define(used + var <= 1)


def clear_mm(ctx: FitOut, name: str) -> int:
    """What a body keeps clear whatever it is and however it stands; of rows nothing is known before."""
    slot = ctx.d.slots.get(name)
    if slot is None or slot.existing or not ctx.is_active("bay.clearance", name):
        return 0
    return min((min(s.size.clear_x_mm, s.size.clear_y_mm) for s in slot.stands if not s.rides), default=0)
