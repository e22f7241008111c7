"""The model lays each run as long as the audit measures it, wherever bodies, boards and holes are.

Just as long: if it laid one longer, a build that holds would be lost, and if shorter, a proven build would not hold.
"""

from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest

from optimiser.builds import Build
from optimiser.case import Case, Existing
from optimiser.catalogue import Catalogue
from optimiser.fitted import fit_of
from optimiser.fitted.drawn import by_allowance
from optimiser.fitted.wiring import routed_runs
from tests import handmade
from tests.asking import Changes, world
from tests.edges import OFF_TERMINAL, OWN_SUN, POWER_OUTSIDE
from tests.handmade import World, way
from tests.packing_help import shipped
from tests.scattering import Steps, by_audit, by_model, loose_model, scattered, surveyed
from tests.worlds import AT_24_V

Pair = tuple[Steps | None, Steps]

MORE_WAYS = (  # between all bays, two of them by a junction, so that some runs go through a bay
    way("nose_way", "locker", "nose", 500, 60),
    way("back_way", "box", "nose", 700, 60),
    *(way("one_way", "box", "junction", 400, 60), way("other_way", "junction", "locker", 300, 60)),
)
WORLDS: dict[str, Changes] = {
    "12 V": (),
    "24 V": AT_24_V,
    "a fuse beside the bank": (OFF_TERMINAL,),
    "sun on the alternator charger": OWN_SUN,
    "a pass-through for power": POWER_OUTSIDE,
}
STAYING = {"inverter": "inverter-1500", "mains_box": "mains-box-2", "alternator_charger": "alternator-charger-30"}


def alike(case: Case, catalogue: Catalogue, build: Build, rng: Random, times: int) -> Iterator[Pair]:
    """By the model and by the audit, for a build with its bodies anywhere."""
    ctx = loose_model(case, catalogue)
    for _ in range(times):
        made = scattered(ctx, build, rng)
        if made:
            yield by_model(ctx, made), by_audit(case, catalogue, made)


def staying(at: World, slot: str, rng: Random) -> World:
    """The same with a part that was there before, which is not as large as its maker says."""
    board = rng.choice([board for board in at.case.boards if min(board.length_mm, board.width_mm) >= 150])
    sides = {"length_mm": rng.randint(30, 150), "width_mm": rng.randint(30, 150), "depth_mm": 80}
    x_mm, y_mm = rng.randint(0, board.length_mm - 150), rng.randint(0, board.width_mm - 150)
    old = Existing(name="old", kind="part", part=STAYING[slot], board=board.place, x_mm=x_mm, y_mm=y_mm, **sides)
    fitted = (
        replace(f, board=board.place, x_mm=x_mm, y_mm=y_mm, existing=True) if f.slot == slot else f
        for f in at.build.fitted
    )
    case, build = replace(at.case, existing=(old,)), replace(at.build, fitted=tuple(fitted))
    return World(case, at.catalogue, build)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", WORLDS)
def test_in_the_world_by_hand_wherever_its_boards_and_holes_are(name: str, seed: int) -> None:
    rng = Random(f"{name} {seed}")
    at = world(("ways", (*handmade.case().ways, *MORE_WAYS)), *WORLDS[name])
    at = World(surveyed(at.case, rng), at.catalogue, at.build)
    if seed % 2:
        at = staying(at, rng.choice(list(STAYING)), rng)
    pairs = list(alike(at.case, at.catalogue, at.build, rng, 4))

    assert [model for model, _ in pairs] == [audit for _, audit in pairs]
    assert pairs


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic"])
def test_in_a_shipped_case_wherever_its_bodies_are(name: str, want: str) -> None:
    """Where busbar and fuse row, or bank and fuse, are over each other the model has no such build: passed over."""
    fit = shipped(name, want)
    pairs = [pair for pair in alike(fit.case, fit.catalogue, fit.build, Random(want), 24) if pair[0] is not None]

    assert [model for model, _ in pairs] == [audit for _, audit in pairs]
    assert len(pairs) >= 8


def test_what_is_drawn_at_random_has_all_kinds_of_pieces() -> None:
    """Boards that are surveyed and some that are not, bays gone through, runs within a bay and between bays."""
    at, found = world(("ways", (*handmade.case().ways, *MORE_WAYS))), dict.fromkeys(range(5), 0)
    for seed in range(4):
        rng = Random(seed)
        case = surveyed(at.case, rng)
        made = scattered(loose_model(case, at.catalogue), at.build, rng)
        assert made
        fit = fit_of(case, at.catalogue, made)
        for laid in routed_runs(fit).values():
            faces = {case.board_of[f.board].face for f in made.fitted}
            kinds = (len(laid.ways) > 1, not laid.ways, len(laid.ways) == 1, by_allowance(fit, laid), len(faces) > 2)
            found = {number: found[number] + kind for number, kind in enumerate(kinds)}

    assert all(found.values())
