"""The values said to have a ladder are those that the model asks for in a way that can be eased."""

from collections.abc import Iterator
from typing import Any

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.model.context import FitOut
from optimiser.moves import has_ladder, levers
from optimiser.reading import read_case, shipped_cases
from tests import handmade
from tests.knobs import altered

SIZES = ("mains_charge_a", "solar_w", "bank_ah", "inverter_w")


def _cases(catalogue: Catalogue) -> Iterator[tuple[Case, Catalogue]]:
    yield handmade.case(), handmade.catalogue()
    yield altered(handmade.world(), *((f"limits.{column}", 100) for column in SIZES)).case, handmade.catalogue()
    for name in ("tiny-trailer", "impossible-teardrop", "grey-month-van"):
        yield read_case(shipped_cases() / name, catalogue), catalogue


def test_what_has_a_ladder_is_what_the_model_can_ease(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = set[str]()
    limit, rungs = FitOut.limit, FitOut.rungs

    def limited(self: FitOut, address: str, *rest: Any) -> Any:
        asked.add(address)
        return limit(self, address, *rest)

    def runged(self: FitOut, *values: str) -> Any:
        asked.update(values)
        return rungs(self, *values)

    monkeypatch.setattr(FitOut, "limit", limited)
    monkeypatch.setattr(FitOut, "rungs", runged)
    moved = set[str]()
    for case, parts in _cases(catalogue):
        names = assemble(case, parts).posted
        moved |= {lever.address for name in names for lever in levers(case, parts, name)}

    assert {address for address in asked if not has_ladder(address)} == set()
    assert {address for address in moved if has_ladder(address)} <= asked
