"""Bodies anywhere on boards that are anywhere in their bays, and how long each run then is for audit and model.

What a body asks for itself (clearance, heat, drops) is left out: only how far it is to everything counts.
"""

from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

from ortools.sat.python import cp_model

from optimiser.basis.money import cut_steps
from optimiser.builds import Build, Fitted
from optimiser.case import Board, BoardFace, CableOpening, Case, Face
from optimiser.catalogue import Catalogue
from optimiser.connections import ROWS
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.drawn import reach_mm
from optimiser.fitted.places import Rect, standing_in
from optimiser.fitted.wiring import routed_runs
from optimiser.model import lengths
from optimiser.model.along_faces import AlongFaces
from optimiser.model.assemble import assemble
from optimiser.model.context import FitOut
from optimiser.model.decisions import Stand
from optimiser.physics.surfaces import face_size_mm
from tests import pinning
from tests.attack_moves import AT_BUSBAR, Bench

BOARD_FACES: tuple[BoardFace, ...] = ("front", "rear", "left", "right")
FACES: tuple[Face, ...] = ("floor", "ceiling", *BOARD_FACES)
KNOWN = 0.85  # share of boards and holes that are surveyed
TRIES = 30  # places tried for a body before it is left over another
_LEFT_OUT = (
    *("bay.clearance", "bay.heat", "bay.vents", "bay.vent_place", "bay.mass", "bay.hydrogen", "battery.lead_acid"),
    *("run.", "way.", "energy.", "mass.", "money.", "charge.", "inverter.", "protect.", "measure.", "entry."),
)
Steps = dict[str, tuple[int, ...]]  # run -> of 100 mm, of each core


def loose_model(case: Case, catalogue: Catalogue) -> FitOut:
    """With candidates for all boards that a body may stand on, cables that reach, and none of what is left out."""
    ctx = assemble(case, catalogue, active=lambda name: not name.startswith(_LEFT_OUT), apart=False)
    lengths.require(ctx, AlongFaces(ctx))
    return ctx


# --- a survey at random --------------------------------------------------------------------------------


def surveyed(case: Case, rng: Random) -> Case:
    """The same bays, each with its floor and one to three walls, and holes anywhere on their faces."""
    boards = tuple(board for bay in case.bays for board in _boards(case, bay.name, rng))
    ends = [(way.name, bay) for way in case.ways for bay in (way.start, way.end) if bay in case.bay_of]
    holes = (_hole(case, way, bay, rng) for way, bay in ends if rng.random() < KNOWN)
    return replace(case, boards=boards, cable_openings=tuple(holes), existing=())


def _boards(case: Case, bay: str, rng: Random) -> Iterator[Board]:
    usual: dict[str, Any] = {"bay": bay, "depth_mm": 500, "reach": True, "sight": True, "outside_wall": True}
    faces: list[BoardFace] = ["floor", *rng.sample(BOARD_FACES, rng.randint(1, 3))]
    for face in faces:
        length, height, _ = face_size_mm(size=case.bay_of[bay].inside, face=face)
        left, bottom = rng.randint(0, 40), rng.randint(0, 40)
        usual |= {"length_mm": int(length) - left - rng.randint(0, 40), "width_mm": int(height) - bottom}
        at: dict[str, Any] = {"face": face, "left_mm": left, "bottom_mm": bottom} if rng.random() < KNOWN else {}
        yield Board(name=face, kind="floor" if face == "floor" else "wall", **usual, **at)


def _hole(case: Case, way: str, bay: str, rng: Random) -> CableOpening:
    face = rng.choice(FACES)
    length, height, _ = face_size_mm(size=case.bay_of[bay].inside, face=face)
    return CableOpening(
        way=way, bay=bay, face=face, left_mm=rng.randint(0, int(length)), bottom_mm=rng.randint(0, int(height))
    )


# --- places at random ----------------------------------------------------------------------------------


def scattered(ctx: FitOut, build: Build, rng: Random) -> Build | None:
    """Each body on any board that it may stand on, over no other where there is room; runs by any of their routes.

    None where some run has no way to go.
    """
    bay, put = rng.choice(_bays_for_busbar(ctx, build)), list[tuple[str, Rect]]()
    build = _somewhere(ctx, build, rng)
    for fitted in build.fitted:
        if not fitted.existing:
            moved = _anywhere(ctx, build, fitted, bay if fitted.slot in AT_BUSBAR else "", rng, put)
            build = replace(build, fitted=tuple(moved if f.slot == moved.slot else f for f in build.fitted))
    bench = Bench(ctx.case, ctx.catalogue, rng)
    complete = bench.completed(build)
    if complete is None:
        return None
    routes = {run.name: rng.choice(bench.routes(run.start, run.end)) for run in complete.runs}
    ways = {name: tuple(way.name for way in route.ways) for name, route in routes.items()}
    runs = (replace(run, cut_mm=None, back_mm=None, ways=ways[run.name]) for run in complete.runs)
    return replace(complete, runs=tuple(runs))


def _somewhere(ctx: FitOut, build: Build, rng: Random) -> Build:
    """On boards that the survey has; with entries in any of the walls that they may be in."""
    boards = ctx.case.board_of
    fitted = (f if f.board in boards else replace(f, board=ctx.case.boards[0].place) for f in build.fitted)
    entries = tuple(
        replace(entry, board=rng.choice([place for purpose, _, place in ctx.d.entries if purpose == entry.purpose]))
        for entry in build.entries
    )
    return replace(build, fitted=tuple(fitted), entries=entries)


def _bays_for_busbar(ctx: FitOut, build: Build) -> list[str]:
    """Where all may be that no cable joins to the busbars."""
    found = set(ctx.case.bay_of)
    for fitted in build.fitted:
        if fitted.slot in AT_BUSBAR:
            found &= ctx.d.rows[fitted.slot].at.keys() if fitted.slot in ROWS else ctx.d.slots[fitted.slot].at.keys()
    return sorted(found)


def _anywhere(ctx: FitOut, build: Build, old: Fitted, bay: str, rng: Random, put: list[tuple[str, Rect]]) -> Fitted:
    case = ctx.case
    if old.slot in ROWS:
        boards = [place for place in ctx.d.rows[old.slot].on if case.board_of[place].bay == bay]
        fitted = replace(old, board=rng.choice(boards), rotated=rng.random() < 0.5)
    else:
        stand = rng.choice([s for s in _stands(ctx, build, old) if not bay or s.board.bay == bay])
        fitted = replace(old, board=stand.board.place, orientation=stand.orientation, rotated=stand.rotated)
    turned = replace(build, fitted=tuple(fitted if f.slot == old.slot else f for f in build.fitted))
    body = standing_in(Fit(case, ctx.catalogue, turned)).get(old.slot)
    if body is None:  # a fuse on the bank, which takes no board
        return replace(fitted, x_mm=0, y_mm=0)
    size, board = (body.rect.x1 - body.rect.x0, body.rect.y1 - body.rect.y0), case.board_of[fitted.board]
    for _ in range(TRIES):
        x, y = rng.randint(0, max(0, board.length_mm - size[0])), rng.randint(0, max(0, board.width_mm - size[1]))
        rect = Rect.sized(x, y, *size)
        if all(place != board.place or other.gap(rect) >= 0 for place, other in put):
            break
    put.append((board.place, rect))
    return replace(fitted, x_mm=x, y_mm=y)


def _stands(ctx: FitOut, build: Build, fitted: Fitted) -> list[Stand]:
    key = pinning.option_of(build, fitted)
    return [stand for stand in ctx.d.slots[fitted.slot].stands if stand.option.key == key]


# --- lengths -------------------------------------------------------------------------------------------


def by_audit(case: Case, catalogue: Catalogue, build: Build) -> Steps:
    """What each core of each run has to reach at least."""
    fit = fit_of(case, catalogue, build)
    return {run: tuple(map(cut_steps, reach_mm(fit, laid))) for run, laid in routed_runs(fit).items()}


def by_model(ctx: FitOut, build: Build) -> Steps | None:
    """The least that each core can be cut to, all else as in the build; None where the model has no such build."""
    steps = {name: list(run.cores.values()) for name, run in ctx.d.runs.items()}
    free = {each.index for of_run in steps.values() for each in of_run}
    free |= {each.index for run in ctx.d.runs.values() for _, _, each in run.cables.values()}
    model = ctx.m.clone()
    for var, value in pinning.decisions(ctx, build):
        if var.index not in free:
            model.add(var == value)
    model.minimize(sum(each for of_run in steps.values() for each in of_run))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    solar = {ctx.d.strings[a.regulator].run: f"solar_{a.name}" for a in build.arrays}
    laid = {solar.get(name, name): tuple(map(solver.value, of_run)) for name, of_run in steps.items()}
    return {name: counts for name, counts in laid.items() if build.run(name) or any(counts)}
