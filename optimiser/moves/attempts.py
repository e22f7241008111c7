"""Attempts: values of brief and survey that are worth a try together, as the two ends of a load's hours are.

What feeds limits of makers and rules is tried by itself (`feeding.py`); here are hours, and what stands on the roof.
Hours are moved by whole ones and never past midnight into each other, as reading refuses those.
"""

from collections.abc import Callable, Iterator
from functools import partial

from optimiser.basis.loads import applies
from optimiser.case import Case, Load, Obstacle, Scenario
from optimiser.catalogue import Catalogue
from optimiser.moves.address import of_load_row
from optimiser.moves.feeding import feeding
from optimiser.moves.move import Lever

Attempt = tuple[Lever, ...]

_DAY_H = 24
_LONGER_H = (2, 6)  # hook-up or driving
_EVENING_H, _EVENING_TO_H = 18, (22, 8)  # hook-up where there is none: of an evening, then of a night
_ASIDE_MM = (150, 400)  # an obstacle that is not cut in yet


def attempts(case: Case, catalogue: Catalogue) -> tuple[Attempt, ...]:
    """All of them, the nearest to what was asked first among those of the same values."""
    single = ((lever,) for lever in feeding(case, catalogue))
    return tuple(dict.fromkeys((*single, *_loads(case), *_scenarios(case), *_obstacles(case))))


def easings(case: Case) -> tuple[Attempt, ...]:
    """Those that leave more room or ask for less, whatever else is moved; not the same at another hour or place."""
    smaller = (_smaller(obstacle) for obstacle in case.obstacles)
    left_out = (attempt for scenario in case.scenarios for attempt in _left_out(case, scenario))
    return (*smaller, *left_out, *_scenarios(case))


def _to(address: str, value: float | str, words: str) -> Lever:
    return Lever(address, None, "", words, act=True, to=f"{value}")


# --- loads: at another hour, shorter, in fewer scenarios ------------------------------------------------


def _loads(case: Case) -> Iterator[Attempt]:
    """Of a load with several spans each span by itself; reading refuses those that come to lie over each other."""
    for place, load in enumerate(case.load_rows):
        length = _hours(load)
        if length == 0:
            continue
        at = partial(of_load_row, case, place)
        words = _named(case, load)
        for by in sorted({1, length}):
            if by + length < _DAY_H:
                yield from (_shifted(load, sign * by, at, words) for sign in (1, -1))
        if length > 1:
            yield (_to(at("to_h"), (load.to_h - 1) % _DAY_H, f"{words} off an hour sooner"),)
    for scenario in case.scenarios:
        yield from _left_out(case, scenario)


def _shifted(load: Load, by: int, at: Callable[[str], str], words: str) -> Attempt:
    """On and off so many hours later; which end goes first keeps the hours from being none in between."""
    on, off = ((hour + by) % _DAY_H for hour in (load.from_h, load.to_h))
    ends = (_to(at("to_h"), off, f"{words} off at {off}:00"), _to(at("from_h"), on, f"{words} on from {on}:00"))
    return ends if by > 0 else ends[::-1]


def _left_out(case: Case, scenario: Scenario) -> Iterator[Attempt]:
    """What draws most in a scenario, of what is on for some hours and in others too, not on in it.

    With all its spans there, each of which must be of another scenario too: a span of none cannot be written.
    """
    on_hook_up = case.circuits_from("hook_up")
    on: dict[str, list[tuple[int, Load]]] = {}
    for place, row in enumerate(case.load_rows):
        if row.circuit not in on_hook_up and applies(row, scenario):
            on.setdefault(row.name, []).append((place, row))
    can = [rows for rows in on.values() if all(_hours(row) and len(_of(case, row)) > 1 for _, row in rows)]
    if can:
        most = max(can, key=lambda rows: sum(_daily_wh(row) for _, row in rows))
        yield tuple(
            _to(
                of_load_row(case, place, "scenarios"),
                " ".join(name for name in _of(case, row) if name != scenario.name),
                f"{_named(case, row)} not on in {scenario.name}",
            )
            for place, row in most
        )


def _named(case: Case, load: Load) -> str:
    """Which of its spans is meant, where it has several."""
    return f"load {load.name}" + (f" (on at {load.from_h}:00)" if load.name in case.spans_of else "")


def _of(case: Case, load: Load) -> list[str]:
    return [scenario.name for scenario in case.scenarios if applies(load, scenario)]


def _hours(load: Load) -> int:
    """It is on for; 0 of what is on all day, as that is meant to be."""
    return (load.to_h - load.from_h) % _DAY_H


def _daily_wh(load: Load) -> float:
    return load.watt_w * load.duty_pct / 100 * _hours(load)


# --- scenarios: shorter, longer on hook-up or on the road -----------------------------------------------


def _scenarios(case: Case) -> Iterator[Attempt]:
    for scenario in case.scenarios:
        if scenario.hours > _DAY_H and not scenario.returns:
            fewer = scenario.hours - _DAY_H
            yield (_to(f"scenario.{scenario.name}.hours", fewer, f"{scenario.name} a day shorter"),)
        for window, words in (("hook_up", "hook-up"), ("drive", "driving"), ("generator", "the generator")):
            yield from _longer(scenario, window, words)
        if case.brief.inlet is not None and scenario.hook_up_from_h is None:
            for until in _EVENING_TO_H:
                ends = (("from", _EVENING_H, "from"), ("to", until, "until"))
                yield tuple(
                    _to(f"scenario.{scenario.name}.hook_up_{end}_h", at, f"hook-up {when} {at}:00 in {scenario.name}")
                    for end, at, when in ends
                )


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
        yield _smaller(obstacle)


def _smaller(obstacle: Obstacle) -> Attempt:
    measures = (("length_mm", obstacle.length_mm, "long"), ("width_mm", obstacle.width_mm, "wide"))
    return tuple(
        _to(f"obstacle.{obstacle.name}.{column}", mm // 2, f"{obstacle.name} half as {words}")
        for column, mm, words in measures
    )


def _aside(obstacle: Obstacle, by: int, side: str) -> str:
    return f"{obstacle.name} {by} mm nearer to the {side}"
