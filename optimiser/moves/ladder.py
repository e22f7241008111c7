"""A ladder: all values that one value may be eased to, step by step, and what each weighs.

For a solver that chooses among them: each rung says what it makes of a case, without the checks that `moved` makes.
Whether a whole vehicle may have what was chosen, `moved` tells afterwards.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves.address import find, schemas
from optimiser.moves.move import Lever, MoveProblem, steps
from optimiser.moves.moving import owner, put
from optimiser.moves.values import allows, changed

MOST_STEPS = 64  # of one lever: beyond, it is another vehicle
_WRITTEN = re.compile(
    r"vehicle\.(payload|balance_max|hitch_m(in|ax)|axle_max|front_max|rear_max)_kg"
    r"|limits\.(budget|autonomy_days|soc_floor_pct|recharge_h|mains_charge_a|solar_w|bank_ah|inverter_w)|case\.(alternator|mains)_charger"
    r"|alternator\.(rating|plug)_a|load\..+\.watt_w|scenario\..+\.start_pct|zone\..+\.mass_max_kg"
    r"|bay\..+\.(mass_max_kg|cut_out_max_cm2)"
)  # fmt: skip
"""Values that the model asks for by `limit` or `rungs`."""

WORD_WEIGHS = 10  # a word of the brief given way to weighs as much as so many steps


def has_ladder(address: str) -> bool:
    """Whether the model can ease a value by itself; a ladder of another one is of no use."""
    return bool(_WRITTEN.fullmatch(address))


@dataclass(frozen=True)
class Rung:
    """One value: so many steps of a lever (0: as asked), and what that weighs."""

    lever: Lever | None
    count: int
    weight: int
    value: Any


@dataclass(frozen=True)
class Ladder:
    """The rungs of one value, the one as asked first."""

    address: str
    rungs: tuple[Rung, ...]

    def put(self, case: Case, rung: Rung) -> Case:
        """The case with the value of a rung."""
        return case if rung.count == 0 else put(case, self.address, rung.value)


def ladders_of(case: Case, catalogue: Catalogue, levers: Iterable[Lever]) -> tuple[Ladder, ...]:
    """A ladder for each value of the case that some levers move, those of one value put together."""
    by_address: dict[str, list[Lever]] = {}
    for lever in dict.fromkeys(lever for lever in levers if has_ladder(lever.address)):
        by_address.setdefault(lever.address, []).append(lever)
    return tuple(
        Ladder(address, (Rung(None, 0, 0, None), *(rung for lever in ours for rung in _rungs(case, catalogue, lever))))
        for address, ours in by_address.items()
    )


def _rungs(case: Case, catalogue: Catalogue, lever: Lever) -> Iterable[Rung]:
    """As many steps as the range of the value allows."""
    spot = find(case, catalogue, lever.address)
    row = owner(case, spot)
    schema, old = schemas(type(row))[spot.column], getattr(row, spot.column)
    for count in range(1, MOST_STEPS + 1 if lever.step is not None else 2):
        try:
            value = changed(schema, old, steps(lever, count))
        except MoveProblem:
            return
        if not allows(schema, value):
            return
        yield Rung(lever, count, count if lever.step is not None else WORD_WEIGHS, value)
