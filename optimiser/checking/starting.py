"""What the charge at the start of a scenario leaves room for, in words."""

from __future__ import annotations

from optimiser.case import Case, Scenario

_MORNING_H = (4, 10)


def leaves_little(scenario: Scenario) -> bool:
    """Whether it begins before the sun fills the bank and must come back to where it began."""
    low, high = _MORNING_H
    return scenario.returns and scenario.start_pct < 100 and low <= scenario.start_h <= high


def too_high_words(scenario: Scenario) -> str:
    """What a day can fill of a bank that must end where it began, and which value says so."""
    start = f"{_begins(scenario)} and must end there: only the top {100 - scenario.start_pct:g} % can be filled"
    return f"{start}; a lower {_value(scenario)} leaves the day more to fill"


def too_low_words(case: Case, scenario: Scenario) -> str:
    """What can be drawn of a bank before a source comes, and which value says so."""
    floor = case.limits.soc_floor_pct
    left = f"{floor:g} % is the floor: only {scenario.start_pct - floor:g} % can be drawn before a source comes"
    return f"{_begins(scenario)}, {left}; a higher {_value(scenario)} leaves more to draw"


def _begins(scenario: Scenario) -> str:
    return f"begins at {scenario.start_pct:g} % at {scenario.start_h:02}:00"


def _value(scenario: Scenario) -> str:
    return f"scenario.{scenario.name}.start_pct"
