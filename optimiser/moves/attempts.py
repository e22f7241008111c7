"""Attempts: values of brief and survey that are worth a try together, as the two ends of a load's hours are.

What feeds limits of makers and rules is tried by itself (`feeding.py`); here are hours, and what stands on the roof.
Hours are moved by whole ones and never past midnight into each other, as reading refuses those.
"""

from collections.abc import Iterator

from optimiser.basis.loads import applies
from optimiser.case import Case, Load, Obstacle, Scenario
from optimiser.catalogue import Catalogue
from optimiser.moves.feeding import feeding
from optimiser.moves.move import Lever

Attempt = tuple[Lever, ...]

_DAY_H = 24
_LONGER_H = (2, 6)  # hook-up or driving
_ASIDE_MM = (150, 400)  # an obstacle that is not cut in yet


def attempts(case: Case, catalogue: Catalogue) -> tuple[Attempt, ...]:
    """All of them, the nearest to what was asked first among those of the same values."""
    single = ((lever,) for lever in feeding(case, catalogue))
    return tuple(dict.fromkeys((*single, *_loads(case), *_scenarios(case), *_obstacles(case))))


def _to(address: str, value: float | str, words: str) -> Lever:
    return Lever(address, None, "", words, act=True, to=f"{value}")


# --- loads: at another hour, shorter, in fewer scenarios ------------------------------------------------


def _loads(case: Case) -> Iterator[Attempt]:
    for load in case.loads:
        length = (load.to_h - load.from_h) % _DAY_H
        if length == 0:
            continue  # all day
        for by in sorted({1, length}):
            if by + length < _DAY_H:
                yield from (_shifted(load, sign * by) for sign in (1, -1))
        if length > 1:
            last = (load.to_h - 1) % _DAY_H
            yield (_to(f"load.{load.name}.to_h", last, f"load {load.name} off an hour sooner"),)
    for scenario in case.scenarios:
        yield from _left_out(case, scenario)


def _shifted(load: Load, by: int) -> Attempt:
    """On and off so many hours later; which end goes first keeps the hours from being none in between."""
    on, off = ((hour + by) % _DAY_H for hour in (load.from_h, load.to_h))
    ends = (
        _to(f"load.{load.name}.to_h", off, f"load {load.name} off at {off}:00"),
        _to(f"load.{load.name}.from_h", on, f"load {load.name} on from {on}:00"),
    )
    return ends if by > 0 else ends[::-1]


def _left_out(case: Case, scenario: Scenario) -> Iterator[Attempt]:
    """What draws most in a scenario, of what is also in others, not on in it."""
    on = [load for load in case.loads if applies(load, scenario) and len(_of(case, load)) > 1]
    most = max(on, key=_daily_wh, default=None)
    if most is not None:
        others = " ".join(name for name in _of(case, most) if name != scenario.name)
        words = f"load {most.name} not on in {scenario.name}"
        yield (_to(f"load.{most.name}.scenarios", others, words),)


def _of(case: Case, load: Load) -> list[str]:
    return [scenario.name for scenario in case.scenarios if applies(load, scenario)]


def _daily_wh(load: Load) -> float:
    return load.watt_w * load.duty_pct / 100 * ((load.to_h - load.from_h) % _DAY_H or _DAY_H)


# --- scenarios: shorter, longer on hook-up or on the road -----------------------------------------------


def _scenarios(case: Case) -> Iterator[Attempt]:
    for scenario in case.scenarios:
        if scenario.hours > _DAY_H and not scenario.returns:
            fewer = scenario.hours - _DAY_H
            yield (_to(f"scenario.{scenario.name}.hours", fewer, f"{scenario.name} a day shorter"),)
        for window, words in (("hook_up", "hook-up"), ("drive", "driving")):
            yield from _longer(scenario, window, words)


def _longer(scenario: Scenario, window: str, words: str) -> Iterator[Attempt]:
    """From the same hour on."""
    begin, end = (getattr(scenario, f"{window}_{side}_h") for side in ("from", "to"))
    if begin is None or end is None:
        return
    length = (end - begin) % _DAY_H or _DAY_H
    for by in _LONGER_H:
        if length + by < _DAY_H:
            address = f"scenario.{scenario.name}.{window}_to_h"
            yield (_to(address, (end + by) % _DAY_H, f"{by} h more {words} in {scenario.name}"),)


# --- obstacles: aside, or smaller -----------------------------------------------------------------------


def _obstacles(case: Case) -> Iterator[Attempt]:
    for obstacle in case.obstacles:
        for by in _ASIDE_MM:
            for column, one, other in (("x_mm", "rear", "front"), ("y_mm", "right", "left")):
                for sign, side in ((-1, one), (1, other)):
                    address = f"obstacle.{obstacle.name}.{column}"
                    yield (_to(address, getattr(obstacle, column) + sign * by, _aside(obstacle, by, side)),)
        half = (obstacle.length_mm // 2, obstacle.width_mm // 2)
        yield tuple(
            _to(f"obstacle.{obstacle.name}.{side}_mm", mm, f"{obstacle.name} half as {words}")
            for side, words, mm in (("length", "long", half[0]), ("width", "wide", half[1]))
        )


def _aside(obstacle: Obstacle, by: int, side: str) -> str:
    return f"{obstacle.name} {by} mm nearer to the {side}"
