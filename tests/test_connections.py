"""The list of connections, which the model reads, against the audit's own."""

from typing import Any

import pytest

from optimiser.auditing import bays, complete
from optimiser.connections import CHARGERS, CONNECTIONS, FAMILIES, SLOTS, connection_of, is_regulator, slot_of
from optimiser.fitted import Fit
from optimiser.fitted.currents import currents
from optimiser.fitted.fit import WORKS
from optimiser.fitted.wiring import RequiredRun, required_runs, roof_plane_entry
from tests import handmade
from tests.edges_breakers import PASSING
from tests.edges_panel import CIRCUITS
from tests.knobs import altered
from tests.worlds import AT_24_V

SHARES = {figure: 0.01 * n for n, figure in enumerate(sorted({c.drop for c in CONNECTIONS.values()}), start=1)}
APART = tuple((f"rules.{figure}", share) for figure, share in SHARES.items())  # no two alike
INVERTER_CHARGER = (("parts.inverter-1500.charge_a", 30), ("parts.inverter-1500.transfer_a", 20))
POWER_OUTSIDE = (
    (
        "brief.pass_throughs",
        (handmade.case().brief.pass_throughs[0].model_copy(update={"carries": "power", "current_a": 1.5}),),
    ),
)
WORLDS = {
    "12 V": (*INVERTER_CHARGER, *POWER_OUTSIDE, *CIRCUITS, ("brief.monitor", "must")),
    "24 V": AT_24_V,
    "mains box filled": PASSING,
}
FEEDS = {"main_fuse": "bank", "fuse_row": "busbar", "feed": "alternator", "panel": "panel", "mains_box": "", "": ""}


def fit(name: str) -> Fit:
    world = altered(handmade.world(), *WORLDS[name], *APART)
    return Fit(world.case, world.catalogue, world.build)


def node(found: Fit, run: str, end: str) -> str | None:
    """Where an end that the list names is, by the survey and the build."""
    brief: Any = found.case.brief
    if end == "array":
        return roof_plane_entry(found, array_of(found, run))
    if end in ("entry", "outside"):
        outside = next(p for p in brief.pass_throughs if run == f"pass_{p.name}")
        entry = next(e for e in found.build.entries if e.purpose == outside.name)
        return entry.board.partition(".")[0] if end == "entry" else outside.point
    if end == "circuit":
        return next(str(circuit.point) for circuit in brief.dc_circuits if run == f"circuit_{circuit.name}")
    if end == "outlet":
        return next(str(circuit.point) for circuit in brief.circuits if run == f"outlet_{circuit.name}")
    if end == "dc_panel":
        return str(brief.dc_panel_point)
    if end in SLOTS or is_regulator(end):
        return found.node(end)
    return str(getattr(brief, end).point)


def array_of(found: Fit, run: str) -> Any:
    return next(a for a in found.build.arrays if run == f"solar_{a.name}")


def terminals(found: Fit, run: str) -> set[str]:
    """The slots with terminals that the list puts a run on in this build; the bank's are its modules'."""
    if run.startswith("solar_"):
        return {array_of(found, run).regulator}
    slots = set(connection_of(run).slots) - {"bank"}
    if run == "dc_loads":
        slots -= {"step_down"} if found.system_v == 12 else {"busbar"}
    return slots


def everything() -> list[tuple[Fit, RequiredRun]]:
    return [(found, wanted) for found in map(fit, WORLDS) for wanted in required_runs(found).values()]


@pytest.mark.parametrize("found, wanted", [pytest.param(f, w, id=f"{f.system_v} V {w.name}") for f, w in everything()])
def test_the_model_and_the_audit_know_a_run_alike(found: Fit, wanted: RequiredRun) -> None:
    """Where it starts and ends, what it is, on which terminals it goes, what it may lose, what drives a fault in it."""
    connection, array = connection_of(wanted.name), wanted.name.startswith("solar_")
    assert wanted.start == node(found, wanted.name, connection.start)
    assert wanted.end == (
        found.node(array_of(found, wanted.name).regulator) if array else node(found, wanted.name, connection.end)
    )
    data = wanted.kind == "data"
    assert (data and wanted.name.startswith("pass_")) or wanted.kind == connection.kind
    assert set(wanted.ends) == terminals(found, wanted.name)
    assert data or wanted.share == SHARES[connection.drop]
    unfused = (wanted.name, found.system_v) == ("dc_loads", 24) or data
    assert wanted.feed == ("" if unfused else FEEDS[connection.guard])


def test_every_connection_is_in_one_of_these_builds() -> None:
    wanted = {w.name if w.name in CONNECTIONS else w.name.partition("_")[0] for _, w in everything()}
    assert wanted == set(CONNECTIONS)


@pytest.mark.parametrize("world", WORLDS)
def test_the_same_currents_are_measured(world: str) -> None:
    found = fit(world)
    measured = {name for name in required_runs(found) if connection_of(name).measured}
    measured -= set() if found.case.brief.monitor == "must" else {"main"}
    assert {current.run for current in currents(found)} == measured


def test_the_same_slots_are_reached_seen_and_kept_from_what_harms_electronics() -> None:
    """The audit's findings on the handmade build: one of each kind for each slot that must be so."""
    reached = {name for name, slot in SLOTS.items() if slot.reached}
    assert set(bays.REACHED) == reached
    found = fit("24 V")
    held = {f.requirement for f in bays.check(found)}
    for fitted in found.build.fitted:
        slot = slot_of(fitted.slot)
        assert (f"bay.electronics[{fitted.slot}]" in held) == slot.electronics
        assert (f"bay.sight[{fitted.slot}]" in held) == slot.seen


def test_the_same_chargers_work_in_the_same_states() -> None:
    assert {name: SLOTS[name].works for name in CHARGERS} == WORKS


def test_the_same_slots_are_always_there() -> None:
    assert set(complete.ALWAYS) == {name for name, slot in SLOTS.items() if slot.always or slot.is_row} | {"bank"}


def test_the_same_slots_stand_by_the_busbars() -> None:
    assert set(complete.AT_BUSBAR) == {name for name, slot in SLOTS.items() if slot.at_busbar}


def test_families_stand_for_runs_of_any_number() -> None:
    assert set(FAMILIES) <= set(CONNECTIONS)
    assert connection_of("regulator_2").bodies == ("regulator_2", "busbar")
    assert connection_of("solar_front").slots == ("regulator", "alternator_charger")


@pytest.mark.parametrize("run", ["regulator", "regulator_0", "solar", "solar_", "pass", "pass_", "mast"])
def test_what_is_no_run_is_not_known(run: str) -> None:
    with pytest.raises(KeyError):
        connection_of(run)


@pytest.mark.parametrize("slot", ["regulator_0", "mast"])
def test_what_is_no_slot_is_not_known(slot: str) -> None:
    with pytest.raises(KeyError):
        slot_of(slot)
