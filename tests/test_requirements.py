"""Each requirement in the model and in the audit: one build just inside passes both, one just outside neither.

A build is pinned: the model is asked about exactly that one. Where its rounding to the safe side leaves a
gap to the audit, the row says how wide. A requirement that is not active must let its own breach through,
since that is how conflicts and prices of limits are found; a definition never does.
"""

import pytest

from optimiser.requirements import REGISTER
from tests.asking import Changes, broken, reaching
from tests.handmade import World
from tests.pairs import PAIRS, Pair, all_but
from tests.pinning import accepts

# Breaches that stand or fall together in the audit.
BESIDE = {"bay.board": {"bay.clearance"}, "measure.switch": {"run.complete"}}

CASES = [pytest.param(pair, id=pair.label) for pair in PAIRS]


def without_place(names: set[str]) -> set[str]:
    return {name.partition("[")[0] for name in names}


def made(case: Pair, changes: Changes) -> World:
    """With each cable as long as it then has to be, but the one that this is asked of."""
    return reaching(*changes, but=case.requirement[len("run.length[") : -1] if case.base == "run.length" else "")


@pytest.mark.parametrize("case", CASES)
def test_inside_passes_both(case: Pair) -> None:
    at = made(case, case.inside)
    assert broken(at) == set()
    assert accepts(at.case, at.catalogue, at.build)


@pytest.mark.parametrize("case", CASES)
def test_outside_passes_neither(case: Pair) -> None:
    at = made(case, case.outside)
    found = broken(at)
    assert case.requirement in found
    if not REGISTER[case.base].is_definition:  # a fair question: nothing else stands against that build
        assert without_place(found) - BESIDE.get(case.base, set()) == {case.base}
    assert not accepts(at.case, at.catalogue, at.build)


@pytest.mark.parametrize("case", CASES)
def test_given_up_lets_its_breach_through(case: Pair) -> None:
    at = made(case, case.outside)
    taken = accepts(at.case, at.catalogue, at.build, all_but(case.base))
    assert taken is not REGISTER[case.base].is_definition


def test_every_requirement_has_a_pair() -> None:
    claims = {name for name in REGISTER if name.startswith("claim.")}
    assert {x.base for x in PAIRS} == set(REGISTER) - claims
