"""The stored builds: without a breach, or nothing made from them would say anything."""

import pytest

from optimiser.auditing import breaches
from tests.packing_help import SOLVED, WANTS, findings


@pytest.mark.parametrize("want", WANTS)
@pytest.mark.parametrize("name", SOLVED)
def test_the_stored_builds_hold_every_requirement(name: str, want: str) -> None:
    found = findings(name, want)

    assert len(found) > 100
    assert not breaches(found)
