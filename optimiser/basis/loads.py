"""What the loads draw, hour by hour and at their worst."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from optimiser.case import Case, Load, Scenario

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class HourLoads:
    """One scenario, an entry an hour: average draw [W] and what else goes on."""

    clock: NDArray[np.int_]  # hour of the day
    dc_w: Floats  # at the 12 V loads
    inverter_w: Floats  # at the sockets of circuits the inverter feeds
    hook_up_w: Floats  # at the sockets of circuits only hook-up feeds, while hooked up
    driving: Flags
    hooked_up: Flags
    portable: Flags  # the portable panel is out
    gives: dict[str, Floats]  # slot of a charger -> share of its output that what feeds it can give


OfDay = Callable[[HourLoads], Floats]
"""A figure of each hour of a day."""


@dataclass(frozen=True)
class Peaks:
    """The worst that runs together in any hour of any scenario [W]."""

    dc_w: float
    inverter_w: float
    inverter_surge_w: float
    hook_up_w: float  # a generator counts as hook-up
    generator_w: float = 0.0  # the same in hours of the generator alone


def in_window(hour: int, from_h: int | None, to_h: int | None) -> bool:
    """Whether the hour that starts at ``hour`` lies in a window that may pass midnight."""
    if from_h is None or to_h is None:
        return False
    if from_h < to_h:
        return from_h <= hour < to_h
    return hour >= from_h or hour < to_h


def clock_hours(scenario: Scenario) -> NDArray[np.int_]:
    """The hour of the day of each hour of the scenario."""
    return (scenario.start_h + np.arange(scenario.hours)) % 24


def applies(load: Load, scenario: Scenario) -> bool:
    """Whether a load, or one span of it, is of a scenario."""
    return "all" in load.scenarios or scenario.name in load.scenarios


def on_at(case: Case, scenario: Scenario, hour: int) -> list[Load]:
    """The loads a scenario may have on in the hour of the day that starts at ``hour``, each with its duty then."""
    return [load for load in case.load_rows if applies(load, scenario) and in_window(hour, load.from_h, load.to_h)]


def _of_circuits(case: Case, source: str) -> frozenset[str]:
    return frozenset(case.circuits_from(source))


def hourly(case: Case, scenario: Scenario) -> HourLoads:
    """What a scenario's loads draw on average in each hour."""
    clock = clock_hours(scenario)

    def flags(from_h: int | None, to_h: int | None) -> Flags:
        return np.array([in_window(int(h), from_h, to_h) for h in clock])

    def draw(chosen: Iterator[Load]) -> Floats:
        total = np.zeros(len(clock))
        for load in chosen:
            total += load.watt_w * load.duty_pct / 100 * flags(load.from_h, load.to_h)
        return total

    ours = [load for load in case.load_rows if applies(load, scenario)]
    driving = flags(scenario.drive_from_h, scenario.drive_to_h)
    hooked_up = flags(scenario.hook_up_from_h, scenario.hook_up_to_h)
    hooked_up |= flags(scenario.generator_from_h, scenario.generator_to_h)  # at the same inlet
    return HourLoads(
        clock=clock,
        dc_w=draw(load for load in ours if load.supply == "dc"),
        inverter_w=draw(load for load in ours if load.circuit in _of_circuits(case, "inverter")),
        hook_up_w=draw(load for load in ours if load.circuit in _of_circuits(case, "hook_up")) * hooked_up,
        driving=driving,
        hooked_up=hooked_up,
        portable=flags(scenario.portable_from_h, scenario.portable_to_h),
        gives={
            "alternator_charger": (driving & (case.brief.alternator is not None)).astype(np.float64),
            "mains_charger": (hooked_up & (case.brief.inlet is not None)).astype(np.float64),
        },
    )


def together_w(case: Case, now: Sequence[Load], *, starting: Load | None = None) -> float:
    """The most that loads of one hour draw, of each group no more than may run at a time; one of them ``starting`` [W].

    The largest of a group run, among them the one that starts: groups share no load.
    """
    drawn, ours = 0.0, {load.name: load for load in now}
    for group in case.brief.together:
        held = sorted((ours.pop(name) for name in group.loads if name in ours), key=lambda load: -load.watt_w)
        if starting in held:
            held = [starting, *(load for load in held if load is not starting)]
        drawn += sum(load.watt_w for load in held[: group.at_most])
    drawn += sum(load.watt_w for load in ours.values())
    return drawn + (starting.surge_w - starting.watt_w if starting else 0.0)


def circuit_w(case: Case, circuit: str) -> float:
    """The most that the loads of one circuit draw at a time [W]."""
    return max(
        together_w(case, [x for x in on_at(case, scenario, hour) if x.circuit == circuit])
        for scenario in case.scenarios
        for hour in {int(h) for h in clock_hours(scenario)}
    )


def peaks(case: Case) -> Peaks:
    """The worst coincidence of loads; duty does not lower a peak, and what is outside may draw at any hour."""
    outside_w = 12 * sum(x.current_a for x in case.brief.pass_throughs if x.carries == "power")
    dc = inverter = surge = hook_up = generator = 0.0
    on_inverter, on_hook_up = _of_circuits(case, "inverter"), _of_circuits(case, "hook_up")
    for scenario in case.scenarios:
        for hour in {int(h) for h in clock_hours(scenario)}:
            now = on_at(case, scenario, hour)
            dc = max(dc, together_w(case, [x for x in now if x.supply == "dc"]))
            mains = [x for x in now if x.circuit in on_inverter]
            inverter = max(inverter, together_w(case, mains))
            starts = (together_w(case, mains, starting=x) for x in mains if x.surge_w > x.watt_w)
            surge = max(surge, max(starts, default=0.0))
            plugged_in = together_w(case, [x for x in now if x.circuit in on_hook_up])
            if in_window(hour, scenario.generator_from_h, scenario.generator_to_h):
                hook_up, generator = max(hook_up, plugged_in), max(generator, plugged_in)
            elif in_window(hour, scenario.hook_up_from_h, scenario.hook_up_to_h):
                hook_up = max(hook_up, plugged_in)
    return Peaks(
        dc_w=dc + outside_w,
        inverter_w=inverter,
        inverter_surge_w=max(surge, inverter),
        hook_up_w=hook_up,
        generator_w=generator,
    )


def too_much_together(case: Case, most_w: float) -> list[tuple[Load, Load]]:
    """Pairs of loads that draw more than ``most_w`` [W] from the inverter between them, in a scenario of both.

    The brief has them on at different hours, or by an agreement not both, but nothing in the vehicle keeps them apart.
    """
    locked = [set(group.loads) for group in case.brief.together if group.by == "interlock" and group.at_most == 1]
    on_inverter = [load for load in case.loads if load.circuit in _of_circuits(case, "inverter")]
    on = [{row.name for row in case.load_rows if applies(row, scenario)} for scenario in case.scenarios]
    return [
        (one, other)
        for one, other in combinations(on_inverter, 2)
        if one.watt_w + other.watt_w > most_w
        and any({one.name, other.name} <= names for names in on)
        and not any({one.name, other.name} <= names for names in locked)
    ]


def autonomy_scenario(case: Case) -> Scenario:
    """Whose loads the days without sun have."""
    name = case.limits.autonomy_scenario or case.scenarios[0].name
    return next(s for s in case.scenarios if s.name == name)


def autonomy_day(case: Case) -> tuple[float, float]:
    """Average draw over 24 h of the days without sun: (12 V loads, inverter sockets) [W]."""
    day = hourly(case, autonomy_scenario(case).model_copy(update={"start_h": 0, "hours": 24}))
    return float(day.dc_w.mean()), float(day.inverter_w.mean())


def hottest_inverter_w(case: Case) -> float:
    """The largest hourly average at the inverter's sockets: what its heat in a bay is calculated on [W]."""
    return max(float(hourly(case, scenario).inverter_w.max()) for scenario in case.scenarios)
