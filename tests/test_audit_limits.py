"""One value moved at a time: just inside its limit the audit passes it, just outside it names it."""

from __future__ import annotations

from typing import Any

import pytest

from optimiser.auditing import audit, breaches
from optimiser.printing.findings import figures
from optimiser.requirements import REGISTER
from tests.edges import EDGES, Edge


def broken(edge: Edge, value: Any) -> set[str]:
    """Requirements that do not hold, with and without their places."""
    world = edge.world(value)
    found = breaches(audit(world.case, world.catalogue, world.build))
    return {f.requirement for f in found} | {f.name for f in found}


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge.requirement}-{edge.knob}")
def test_edge(edge: Edge) -> None:
    assert edge.requirement not in broken(edge, edge.inside)
    assert edge.requirement in broken(edge, edge.outside)


def test_every_requirement_has_an_edge() -> None:
    # Three types of panel want three regulators: that pair of builds stands in test_requirements.
    assert {edge.requirement.partition("[")[0] for edge in EDGES} | {"roof.types"} == set(REGISTER)


@pytest.mark.parametrize(
    "edge", [e for e in EDGES if REGISTER[e.requirement.partition("[")[0]].yes_no], ids=lambda edge: edge.requirement
)
def test_what_is_met_or_not_says_so_without_a_number(edge: Edge) -> None:
    """ "the display is not visible; it must be", and yes or no where others have a figure."""
    seen = set()
    for setting in (edge.inside, edge.outside):
        world = edge.world(setting)
        for finding in audit(world.case, world.catalogue, world.build):
            if finding.requirement == edge.requirement:
                words = REGISTER[finding.name].sentence if finding.ok else REGISTER[finding.name].broken
                assert finding.sentence == words.format(place=finding.place, actual=f"{finding.actual:g}")
                assert figures(finding) == ("yes", "yes" if finding.ok else "no", "")
                seen.add(finding.ok)
    assert False in seen


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge.requirement}-{edge.knob}")
def test_sentence_of_a_breach_shows_both_sides(edge: Edge) -> None:
    world = edge.world(edge.outside)
    for finding in breaches(audit(world.case, world.catalogue, world.build)):
        assert finding.margin < 0
        limit, actual = finding.numbers
        assert limit != actual
        assert actual in finding.sentence or REGISTER[finding.name].yes_no
        assert "{" not in finding.sentence
