"""What no build can have more of, or do with less of: bounds on what requirements limit, and on each scenario's energy.

Each is a bound by itself, from one linear programme of the model's rows (`relaxed.py`); no build need reach any.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.model.clock import End, OutOfTime, ending
from optimiser.model.context import FitOut, Limited
from optimiser.requirements import LEAST, REGISTER
from optimiser.solve.outcome import Halt
from optimiser.solve.relaxed import Relaxed
from optimiser.solve.search import Expr

_MWH = 1000.0
_ENERGY = ("energy.floor", "energy.returns", "energy.autonomy")
_MOST_SHORT_MWH = 10**12  # no scenario wants a thousand MWh


@dataclass(frozen=True)
class Energy:
    """Of a scenario: what sun, chargers and bank give at most, and what is missing from the bank at least [Wh].

    None where no bound was found in time.
    """

    sun_wh: float | None
    chargers_wh: float | None
    bank_wh: float | None  # from what it starts with down to its floor
    short_wh: float | None


@dataclass(frozen=True)
class Bounds:
    """Scenario, or "" for the days without sun -> its energy at best; requirement -> the nearest to its limit."""

    energy: Mapping[str, Energy] = field(default_factory=dict)
    limited: Mapping[str, float] = field(default_factory=dict)


def bounds(
    case: Case, catalogue: Catalogue, given_up: Collection[str], *, seconds: float, halt: Halt | None = None
) -> Bounds:
    """What builds can have at best that may miss some requirements, and no others.

    Parameters
    ----------
    given_up : requirements with their places; of what these limit a bound is given.
    seconds : time limit; what it cuts short is left out.
    """
    until = time.monotonic() + seconds
    try:
        with ending(End(until, lambda: halt is not None and halt.asked)):
            ctx = assemble(case, catalogue, active=lambda name: name not in given_up)
    except OutOfTime:
        return Bounds()
    short = {name: _short(ctx, name) for name in sorted(_of_energy(given_up) & ctx.supplies.keys())}
    asked = _Asked(Relaxed(ctx.m), until, halt)
    energy = {
        name: Energy(
            _wh(asked.most(supply.sun_mwh)),
            _wh(asked.most(supply.chargers_mwh)),
            _wh(asked.most(supply.bank[0]), supply.bank[1]),
            _wh(asked.least(short[name])) if name in short else 0.0,
        )
        for name, supply in ctx.supplies.items()
    }
    limited = {
        name: figure
        for name, of in ctx.limited.items()
        if name in given_up
        and (figure := asked.nearest(of, most=REGISTER[name.partition("[")[0]].sense == LEAST)) is not None
    }
    return Bounds(energy, limited)


def _of_energy(given_up: Collection[str]) -> set[str]:
    """Scenarios with a requirement given up, "" for the days without sun."""
    return {name.partition("[")[2].rstrip("]") for name in given_up if name.partition("[")[0] in _ENERGY}


def _short(ctx: FitOut, name: str) -> Expr:
    """What is missing from the bank [mWh], as a variable that is to be made small."""
    missing = ctx.number(0, _MOST_SHORT_MWH, f"{name}:short")
    for expr, per_unit in ctx.supplies[name].short:
        ctx.define(per_unit * missing >= expr)
    return missing


@dataclass(frozen=True)
class _Asked:
    """One programme, asked for several bounds until the time is over; None where one does not come."""

    programme: Relaxed
    until: float
    halt: Halt | None

    def least(self, expr: Expr) -> int | None:
        """What an expression cannot be below."""
        seconds = self.until - time.monotonic()
        if seconds <= 0 or (self.halt is not None and self.halt.asked):
            return None
        bound, ended = self.programme.least(expr, seconds=seconds)
        return bound if ended else None

    def most(self, expr: Expr) -> int | None:
        """What it cannot be above."""
        bound = self.least(-expr)
        return None if bound is None else -bound

    def nearest(self, limited: Limited, *, most: bool) -> float | None:
        """The least that a requirement has to allow, or the most that it can be met with."""
        bound = self.most(limited.expr) if most else self.least(limited.expr)
        return None if bound is None else limited.plus + bound / limited.per_unit


def _wh(bound: int | None, per_mwh: int = 1) -> float | None:
    return None if bound is None else max(0, bound) / (_MWH * per_mwh)
