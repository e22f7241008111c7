"""Tiny worlds three ways: every build gone through with the audit as the only judge, the solver, and HiGHS.

What two of them prove must be the same, in cents or grams. Where the first does not end in time, the others are.
"""

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product
from typing import Any

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import Part
from optimiser.solve import Impossible, Solved, Stop, Want, optimise
from tests.bench.apart import GRACE_S, Died, apart
from tests.bench.side import SETTLED, Result, by_highs, posed
from tests.test_twins import case, catalogue, like
from tests.twin_search import Search, Weigh, cheapest, lightest
from tests.twins import Twin

_STARTING_S = 10.0
World = Callable[[], tuple[Case, Catalogue]]
WEIGH: dict[str, Weigh] = {"cheapest": cheapest, "lightest": lightest}


def _world(panels: int = 2, **other: Any) -> tuple[Case, Catalogue]:
    """The tiny trailer of the twins, with so many types of panel."""
    more: list[Part] = [
        like("panel-100", f"panel-{100 + 10 * k}", price=80 + 14 * k, mass_kg=6 + 0.1 * k, watt_w=100 + 10 * k,
             length_mm=1000 + 70 * k, voc_v=29, vmp_v=25)
        for k in range(panels)
    ]  # fmt: skip
    return case(**other), catalogue(panels=more) if panels != 2 else catalogue()


WORLDS: dict[str, World] = {
    "plain": _world,
    "one wall": partial(_world, nose=False),
    "hot bay": partial(_world, locker={"u_w_m2k": 0.05, "vent_cm2": 0}, nose=False),
    "inverter": partial(_world, nose=False, wall_mm=(1700, 160), kettle_w=200),
    "no room": partial(_world, floor_mm=(339, 209)),
    **{f"{n} panels": partial(_world, n, nose=False) for n in (1, 4, 8, 16)},
}


@dataclass(frozen=True)
class Three:
    """A world and a want: what each way proves, and in how many seconds. ``agree``: no, where two proofs differ."""

    world: str
    want: str
    agree: str
    every_build: str
    every_build_best: int | None
    every_build_s: float | None
    solver: str
    solver_best: int | None
    solver_s: float | None
    highs: str
    highs_best: int | None
    highs_s: float | None
    why: str


def every_build(world: str, want: Want, stop: Stop) -> Result:
    """All builds, cheap ones first; it knows no time limit, and is ended from without."""
    started = time.monotonic()
    best = Search(Twin(*WORLDS[world]())).best(WEIGH[want])
    seconds = time.monotonic() - started
    if best is None:
        return Result("impossible", seconds=seconds)
    found = best.worth.cents if want == "cheapest" else best.worth.grams
    return Result("proven", found, found, seconds)


def by_solver(world: str, want: Want, stop: Stop) -> Result:
    """As the product does it."""
    started = time.monotonic()
    outcome = optimise(*WORLDS[world](), want, stop=stop)
    seconds = time.monotonic() - started
    if isinstance(outcome, Impossible):
        return Result("impossible", seconds=seconds)
    best = outcome.cost_cents if want == "cheapest" else outcome.mass_g
    return Result("proven" if isinstance(outcome, Solved) else "undecided", best, seconds=seconds)


def by_programme(world: str, want: Want, stop: Stop) -> Result:
    """The model in HiGHS, without ties and without places on the roof."""
    return by_highs(posed(*WORLDS[world](), want), stop)


def rows(worlds: Sequence[str], wants: Sequence[Want], stop: Stop) -> Iterator[Three]:
    """Each world and want, one way after the other, each in a process of its own."""
    for world, want in product(worlds, wants):
        one, other, third = (_apart(way, world, want, stop) for way in (every_build, by_solver, by_programme))
        yield three(world, want, one, other, third)


def three(world: str, want: Want, one: Result, other: Result, third: Result) -> Three:
    """The row of three results: of every build, the solver and HiGHS."""
    proofs = {(r.state, r.best) for r in (one, other, third) if r.state in SETTLED}
    return Three(
        world, want, "no" if len(proofs) > 1 else "yes" if proofs else "open",
        one.state, one.best, one.seconds, other.state, other.best, other.seconds,
        third.state, third.best, third.seconds, " ".join(filter(None, (one.why, other.why, third.why))),
    )  # fmt: skip


def log_lines(found: Sequence[Three], *, day: str, seconds: float) -> Iterator[str]:
    """An entry of the log: how many worlds each settles, and that all agree."""
    settled = [sum(getattr(r, way) in SETTLED for r in found) for way in ("every_build", "solver", "highs")]
    yield (
        f"- {day}, tiny worlds, every build / the solver / HiGHS: {' / '.join(map(str, settled))} of {len(found)} "
        f"settled in {seconds:g} s, {sum(r.agree == 'no' for r in found)} contradictions"
    )


def _apart(way: Callable[[str, Want, Stop], Result], world: str, want: Want, stop: Stop) -> Result:
    grace_s = _STARTING_S if way is every_build else GRACE_S
    found = apart(way, world, want, stop, seconds=stop.seconds, grace_s=grace_s)
    if isinstance(found, Died):
        return Result("undecided" if found.late else "crash", why=found.why)
    return found.value
