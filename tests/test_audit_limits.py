"""One value moved at a time: just inside its limit the audit passes it, just outside it names it."""

from typing import Any

import pytest

from optimiser.auditing import audit, breaches
from optimiser.printing.findings import figures
from optimiser.requirements import REGISTER
from tests import handmade
from tests.edge import Edge
from tests.edges import EDGES, GONE, MODULES_FUSED
from tests.edges_breakers import FILLED
from tests.knobs import changed
from tests.pinning import accepts


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
    # These want two regulators or more: those pairs of builds stand in test_requirements.
    apart = {"roof.types", "preference.twins"}
    assert {edge.requirement.partition("[")[0] for edge in EDGES} | apart == set(REGISTER)


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
        assert actual in finding.sentence or finding.absent or REGISTER[finding.name].yes_no
        assert "{" not in finding.sentence


NOTHING: list[tuple[Any, ...]] = [  # requirement, what is then said, what is taken away
    ("run.fuse_over_load[inverter]", "inverter has no fuse; it must have one of 174 A or more",
     ("runs.inverter.fuse", "")),
    ("run.fuse_breaking[inverter]", "the fuse of inverter is not made to break this voltage; 4513 A can flow",
     ("parts.fuse-175.breaking_12v_a", 0)),
    ("run.fuse_holder[inverter]", "the holder of the fuse of inverter is for the terminal of a battery, not for there",
     ("parts.holder-row.on_terminal", True)),
    ("run.fuse_distance", "the main fuse is on another board than the bank, or in another bay; 200 mm allowed",
     ("fitted.main_fuse.board", "locker.wall")),
    ("run.tail_distance", "the row of fuses is in another bay than the busbars; 1016 mm allowed",
     ("fitted.fuse_row.board", "box.floor")),
    ("measure.display", "there is no display; it must show 5 channels", ("fitted.display", GONE)),
    ("measure.channels[175 A]",
     "there is no channel for 175 A or more, 1 required, one a current with such a fuse or cable", ("measuring", ())),
    ("measure.channels[50 mm2]",
     "there is no channel for 50 mm2 or more, 1 required, one a current with such a fuse or cable",
     ("parts.shunt-1x300.terminal_mm2", 49)),
    ("charge.recharge", "nothing fills the bank on hook-up; it must be full in 10 h", ("fitted.mains_charger", GONE)),
    ("charge.step_down", "there is no step-down; the 12 V loads take 7.5 A", ("build.system_v", 24)),
    ("entry.cables[sun]", "no entry for sun takes cables that thick; 2 go through", ("entries.sun", GONE)),
    ("bay.hydrogen[nose]",
     "nose holds a lead-acid battery and has no opening to the outside, 16.8 cm2 required",
     ("bays.nose.air", "cabin")),
    ("bay.vent_place[locker]", "no free wall of locker is high enough for the vents cut in it, 210 mm required",
     ("bays.locker.stack_mm", 701)),
    ("size.mains_charge", "hook-up gives the bank nothing; the brief asks for 20 A",
     ("limits.mains_charge_a", 20), ("fitted.mains_charger", GONE)),
    ("size.mains_charge", "hook-up gives the bank nothing; the brief asks for 20 A",
     ("limits.mains_charge_a", 20), ("brief.inlet", None)),
    ("breaker.residual[outlet_heater]",
     "outlet_heater is behind no residual-current device of type A, F or B; one of 30 mA is required",
     *FILLED, ("parts.combined-10.residual_type", "AC"), ("parts.residual-25.residual_type", "AC")),
    ("mains.bond[inverter]",
     "nothing known joins neutral and earth where the inverter feeds the circuits; 1 required",
     *FILLED, ("parts.inverter-1500.bond", None)),
    ("size.solar", "there is no panel on the roof; the brief asks for 200 W", ("limits.solar_w", 200), ("panels", ())),
    ("size.inverter", "there is no inverter; the brief asks for one of 1500 W",
     ("limits.inverter_w", 1500), ("fitted.inverter", GONE)),
    ("battery.module_fuse", "the strings of modules have no fuses; 1 required for each",
     ("rules.module_fuse_from_ah", 199)),
    ("battery.module_breaking", "the fuse of each string of modules is not made to break this voltage; 3650 A can flow",
     *MODULES_FUSED, ("parts.fuse-125.volt_max_v", 14.5)),
]  # fmt: skip


@pytest.mark.parametrize("row", NOTHING, ids=[row[0] for row in NOTHING])
def test_what_is_not_there_is_said_to_be_missing(row: tuple[Any, ...]) -> None:
    """No part that is missing reads as one of 0 A."""
    requirement, said, *changes = row
    world = handmade.world()
    for knob, value in changes:
        world = changed(world, knob, value)

    (found,) = (f for f in audit(world.case, world.catalogue, world.build) if f.requirement == requirement)

    assert (found.ok, found.sentence) == (False, said)
    assert found.numbers[1] in ("none", "unlimited")


def test_whatever_may_be_missing_is_seen_missing() -> None:
    assert {row[0].partition("[")[0] for row in NOTHING} == {r.name for r in REGISTER.values() if r.absent}


def test_nothing_is_said_of_a_fuse_that_is_not_there() -> None:
    world = changed(handmade.world(), "runs.inverter.fuse", "")

    told = {f.name for f in audit(world.case, world.catalogue, world.build) if f.place == "inverter"}

    assert "run.fuse_over_load" in told
    assert not told & {"run.fuse_under_cable", "run.copper", "run.fuse_breaking", "run.fuse_voltage", "run.fuse_holder"}


def test_a_run_of_no_load_must_have_its_fuse_all_the_same() -> None:
    """The bank feeds it whether anything draws or not."""
    world = changed(handmade.world(), "loads", tuple(load for load in handmade.case().loads if load.supply != "dc"))
    world = changed(world, "runs.dc_loads.fuse", "")

    found = breaches(audit(world.case, world.catalogue, world.build))
    assert "run.complete[dc_loads]" in {finding.requirement for finding in found}
    assert not accepts(world.case, world.catalogue, world.build)
