"""Requirements dropped: which is meant, what a build breaks without it, and what cannot be dropped."""

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.auditing import audit, breaches
from optimiser.pipeline import Inputs
from optimiser.pipeline.trying import NOTHING, solved
from optimiser.requirements import REGISTER
from optimiser.solve import Halt
from tests.asking import Changes, world
from tests.pairs import PAIRS, Pair
from tests.trying_help import STOP, UNREACHED, refused, tried

SUNNY: Changes = (  # what only panels can feed, so that there are some
    ("loads.fridge.watt_w", 20),
    *((f"scenarios.summer.{when}_{end}_h", None) for when in ("drive", "hook_up") for end in ("from", "to")),
    ("brief.alternator_charger", "may"),
    ("brief.mains_charger", "may"),
)


def test_a_drop_holds_at_its_place_or_at_all(inputs: Inputs) -> None:
    one, all_places = (tried(inputs, UNREACHED, drops=(drop,)) for drop in ("bay.reach[isolator]", "bay.reach"))

    assert one.status == "impossible"  # the others are still out of reach
    assert all_places.status == "proven"
    assert {f.place for f in all_places.given_up} == {"isolator", "switch", "display", "mains_box", "fuse_row"}
    each = tried(inputs, UNREACHED, drops=tuple(f.requirement for f in all_places.given_up))
    assert set(each.given_up) == set(all_places.given_up)


def test_a_string_goes_by_its_array(inputs: Inputs) -> None:
    low = ("parts.regulator-20.pv_v_max", 40)
    sunny = replace(inputs, case=world(*SUNNY, low).case, catalogue=world(*SUNNY, low).catalogue)

    trial = tried(sunny, drops=("string.cold_voltage[array_1]",))

    assert [f.requirement for f in trial.given_up] == ["string.cold_voltage[array_1]"]
    assert trial.status == "proven"


def test_all_that_cannot_be_tried_is_told_before_anything_is_solved(
    inputs: Inputs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr("optimiser.pipeline.trying.optimise")
    drops = ("mass.hitch_hi", "roof.inside", "bay.heat[lockr]", "mass.payload[box]", "measure.channels[30 A]")

    lines = refused(lambda: tried(inputs, "bay.loker.width_mm=+40", "limits.budget=-1e9", "budget=+1", drops=drops))

    assert lines == (
        "bay.loker.width_mm: no bay 'loker'; expected locker, or one of box, nose",
        "limits.budget=-1e9: '-1e9' is not a number; expected a number above 0 and at most 1000000000",
        "mass.hitch_hi: no such requirement; expected mass.hitch_high",
        "roof.inside: roof.inside says what a build is and cannot be given up; "
        "expected a requirement that a build could break",
        "bay.heat[lockr]: rules nothing out at 'lockr' by itself; "
        "expected bay.heat alone, or at locker, or one of box, nose",
        "mass.payload[box]: rules nothing out at 'box' by itself; expected mass.payload alone",
        "measure.channels[30 A]: rules nothing out at '30 A' by itself; expected measure.channels alone",
    )
    assert refused(lambda: tried(inputs)) == (NOTHING,)
    assert "expected cu" in refused(lambda: tried(inputs, "case.currency=du"))[0]


@pytest.mark.slow
@pytest.mark.parametrize("base", [(), SUNNY], ids=["plain", "sunny"])
@pytest.mark.parametrize("pair", [p for p in PAIRS if not REGISTER[p.base].is_definition], ids=lambda pair: pair.label)
def test_a_build_breaks_no_more_than_what_was_dropped(base: Changes, pair: Pair) -> None:
    """In worlds where each limit is out of reach of the build by hand."""
    strained = world(*base, *pair.outside)
    inputs = Inputs(Path("."), strained.case, strained.catalogue)

    answer, given_up = solved(inputs, "cheapest", STOP, lambda _: None, Halt(), given=(pair.base,), stamp=False)

    assert answer.status in ("proven", "impossible")
    if answer.build:
        assert breaches(audit(inputs.case, inputs.catalogue, answer.build)) == given_up
