"""Every build the solver returns passes the audit; each small change of it breaks what it should, or is no better.

A changed build that still holds must not be better than the one that was proven best, and unless it costs
and weighs just the same the audit must say that its claim is wrong.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any, Literal, NamedTuple

import pytest

from optimiser.auditing import audit, breaches
from optimiser.basis import bodies
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import cost_and_mass
from optimiser.parts import Body, Cable, Fuse, Module, Part, Regulator, Shunt
from optimiser.solve import Solved, Want, optimise
from tests import handmade, test_twins
from tests.packing_help import SLOW_BUT_ONE, WANTS, shipped
from tests.twin_search import cheapest, lightest

ROWS = ("fuse_row", "shunt_row")


class Change(NamedTuple):
    """A build with one thing changed, and requirements of which one or more must break if it does not hold."""

    what: str
    build: Build
    expected: frozenset[str]
    must_break: bool = True


# --- changes -----------------------------------------------------------------------------------------

WEIGHT = ("mass.payload", "mass.axle", "mass.hitch_low", "mass.hitch_high", "mass.balance")
STRING = (
    *("string.cold_voltage", "string.hot_voltage", "string.start_voltage"),
    *("string.short_circuit", "string.over_panelling"),
)
WIRE = (
    *("run.section", "run.ampacity", "run.drop", "run.terminal", "run.fuse_under_cable", "run.fuse_breaking"),
    *("run.terminal_heat", "run.copper", "inverter.sag", "way.fill", "entry.cables"),
)
FUSE = (
    *("run.fuse_over_load", "run.fuse_under_cable", "run.fuse_breaking", "run.fuse_voltage", "run.terminal"),
    *("run.terminal_heat", "run.copper", "run.fuse_holder", "measure.channels", "protect.isolator", "protect.busbar"),
    *("run.complete", "bay.board", "bay.clearance", "bay.mass"),
)
SUPPLY = (
    *("energy.floor", "energy.returns", "energy.autonomy", "battery.discharge", "battery.surge", "battery.charge"),
    *("battery.cold", "inverter.sag", "run.terminal", "run.fuse_breaking", "string.system_voltage"),
)
ROOM = (
    *("bay.board", "bay.clearance", "bay.depth", "bay.opening", "bay.orientation", "bay.mass", "run.fuse_distance"),
    *("battery.parallel", "battery.series", "bay.heat"),
)


def changes(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    """All single steps away from a build."""
    for family in (_wires, _dropped, _moved, _bank, _regulators, _roof, _shunts):
        yield from family(case, catalogue, build)


def _change(what: str, build: Build, *names: str, must_break: bool = True) -> Change:
    return Change(what, build, frozenset(names), must_break)


def _beside(rows: list[Any], part: Part, key: str) -> Iterator[Any]:
    """The next smaller and the next larger of a kind."""
    values = sorted({getattr(row, key) for row in rows})
    place = values.index(getattr(part, key))
    for value in values[max(0, place - 1) : place] + values[place + 1 : place + 2]:
        yield next(row for row in rows if getattr(row, key) == value)


def _with(build: Build, field: str, number: int, **new: Any) -> Build:
    rows = list(getattr(build, field))
    rows[number] = replace(rows[number], **new)
    new_rows: dict[str, Any] = {field: tuple(rows)}
    return replace(build, **new_rows)


def _wires(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    for number, run in enumerate(build.runs):
        cable = catalogue.find(run.cable)
        assert isinstance(cable, Cable)
        alike = [other for other in catalogue.of("cables").values() if other.kind == cable.kind]
        for other in _beside(alike, cable, "section_mm2"):
            yield _change(
                f"{run.name} in {other.name}",
                _with(build, "runs", number, cable=other.name),
                *WIRE,
                *WEIGHT,
                must_break=False,
            )
        if run.fuse:
            fuse = catalogue.find(run.fuse)
            assert isinstance(fuse, Fuse)
            alike_fuses = [other for other in catalogue.of("fuses").values() if other.family == fuse.family]
            for fused in _beside(alike_fuses, fuse, "rating_a"):
                changed = _with(build, "runs", number, fuse=fused.name)
                yield _change(f"{run.name} behind {fused.name}", changed, *FUSE, *WEIGHT, must_break=False)
            yield _change(f"{run.name} with no fuse", _with(build, "runs", number, fuse=""), "run.fuse_over_load")


def _dropped(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    for k, run in enumerate(build.runs):
        yield _change(f"no {run.name}", replace(build, runs=build.runs[:k] + build.runs[k + 1 :]), "run.complete")
    for k, fitted in enumerate(build.fitted):
        left = build.fitted[:k] + build.fitted[k + 1 :]
        yield _change(f"no {fitted.slot}", replace(build, fitted=left), "run.complete", "inverter.present")
    for k, entry in enumerate(build.entries):
        left_in = build.entries[:k] + build.entries[k + 1 :]
        yield _change(f"no entry for {entry.purpose}", replace(build, entries=left_in), "entry.cables")
    for k, vent in enumerate(build.vents):
        fewer = build.vents[:k] + build.vents[k + 1 :]
        names = ("bay.heat", "bay.hydrogen", *WEIGHT)
        yield _change(f"no vent in {vent.bay}", replace(build, vents=fewer), *names, must_break=False)


def _moved(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    """To a millimetre nearer to the board's edge than the body wants to be, and off the board."""
    for number, fitted in enumerate(build.fitted):
        body = catalogue.find(fitted.part)
        if not isinstance(body, Body) or getattr(body, "on_terminal", False):
            continue
        size = bodies.footprint(
            body, orientation=fitted.orientation, rotated=fitted.rotated, board=case.board_of[fitted.board]
        )
        names = ("run.complete",) if fitted.existing else ("bay.clearance",)
        if size.clear_x_mm:
            yield _change(f"{fitted.slot} aside", _with(build, "fitted", number, x_mm=size.clear_x_mm - 1), *names)
        if size.clear_y_mm:
            yield _change(f"{fitted.slot} down", _with(build, "fitted", number, y_mm=size.clear_y_mm - 1), *names)
        off = case.board_of[fitted.board].length_mm - size.length_mm + 1
        off_names = ("run.complete",) if fitted.existing else ("bay.board",)
        yield _change(f"{fitted.slot} off its board", _with(build, "fitted", number, x_mm=off), *off_names)


def _bank(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    module, bank = catalogue.find(build.bank.module), build.bank
    assert isinstance(module, Module)
    alike = [m for m in catalogue.of("modules").values() if m.nominal_v == module.nominal_v]
    for other in _beside(alike, module, "capacity_ah"):
        swapped = replace(build, bank=replace(bank, module=other.name))
        names = (*SUPPLY, *ROOM, *WEIGHT)
        yield _change(f"bank of {other.name}", swapped, *names, must_break=False)
    if bank.parallel > 1:
        fewer = replace(bank, parallel=bank.parallel - 1, rows=1, columns=bank.series * (bank.parallel - 1))
        yield _change("a module less", replace(build, bank=fewer), *SUPPLY, *ROOM, *WEIGHT, must_break=False)
    split = replace(bank, columns=bank.columns + 1)
    yield _change("a block of more than there is", replace(build, bank=split), "battery.parallel")
    others: tuple[Literal[12, 24, 48], ...] = (12, 24, 48)
    for system_v in (v for v in others if v != build.system_v):
        yield _change(f"{system_v} V", replace(build, system_v=system_v), "string.system_voltage", "battery.voltage")


def _regulators(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    for number, fitted in enumerate(build.fitted):
        if not fitted.slot.startswith("regulator_"):
            continue
        regulator = catalogue.find(fitted.part)
        assert isinstance(regulator, Regulator)
        alike = [r for r in catalogue.of("regulators").values() if r.system_v == regulator.system_v]
        for other in _beside(alike, regulator, "out_a"):
            names = (*STRING, *SUPPLY, *WIRE, *FUSE, *ROOM, *WEIGHT, "protect.isolator", "protect.busbar")
            changed = _with(build, "fitted", number, part=other.name)
            yield _change(f"{fitted.slot} a {other.name}", changed, *names, must_break=False)


def _roof(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    zones = {zone.name: zone for zone in case.zones}
    for number, panel in enumerate(build.panels):
        zone = zones[panel.zone]
        for what, new, name in (
            ("over the rear set-back", {"x_mm": zone.x_mm + zone.set_back_mm - 1}, "roof.set_back"),
            ("over the right set-back", {"y_mm": zone.y_mm + zone.set_back_mm - 1}, "roof.set_back"),
            ("off the roof", {"x_mm": zone.x_mm + zone.length_mm}, "roof.inside"),
        ):
            yield _change(f"panel {number} {what}", _with(build, "panels", number, **new), name)
        left = build.panels[:number] + build.panels[number + 1 :]
        yield _change(f"no panel {number}", replace(build, panels=left), "string.complete")
    for number, array in enumerate(build.arrays):
        more = _with(build, "arrays", number, parallel=array.parallel + 1)
        yield _change(f"{array.name} with a string more than there is", more, "string.complete")


def _shunts(case: Case, catalogue: Catalogue, build: Build) -> Iterator[Change]:
    for number, fitted in enumerate(build.measuring):
        part = catalogue.find(fitted.shunt)
        assert isinstance(part, Shunt)
        kept = build.measuring[:number] + build.measuring[number + 1 :]
        fewer = (replace(fitted, count=fitted.count - 1),) if fitted.count > 1 else ()
        changed = replace(build, measuring=kept + fewer)
        yield _change(f"a {part.name} less", changed, "measure.channels", *WEIGHT, must_break=False)


# --- the assertion -----------------------------------------------------------------------------------


def hold_against_changes(case: Case, catalogue: Catalogue, build: Build, want: Want) -> int:
    """Every change is found out or no better; returns how many there were."""
    weigh = cheapest if want == "cheapest" else lightest
    best = cost_and_mass(case, catalogue, build)
    count = 0
    for change in changes(case, catalogue, build):
        count += 1
        found = {f.name for f in breaches(audit(case, catalogue, change.build))}
        wrong_claim = {name for name in found if name.startswith("claim.")}
        broken = found - wrong_claim
        if broken or change.must_break:
            assert broken & change.expected, f"{change.what}: {sorted(broken)}"
            continue
        new = cost_and_mass(case, catalogue, change.build)
        assert weigh(new) >= weigh(best), f"{change.what}: {new} is better than {best}"
        off = {"claim.cost"} if new.cents != best.cents else set()
        off |= {"claim.mass"} if new.grams != best.grams else set()
        assert wrong_claim == off, change.what
    return count


@cache
def solved(world: str, want: Want) -> tuple[Case, Catalogue, Build]:
    """A case, its catalogue and the proven best build."""
    parts = test_twins.catalogue()
    case, catalogue = {
        "handmade": lambda: (handmade.case(), handmade.catalogue()),
        "tiny": lambda: (test_twins.case(), parts),
        "tiny with inverter": lambda: (test_twins.case(nose=False, wall_mm=(1700, 160), kettle_w=200), parts),
        "tiny and hot": lambda: (test_twins.case(locker={"u_w_m2k": 0.05, "vent_cm2": 0}, nose=False), parts),
    }[world]()
    outcome = optimise(case, catalogue, want, stop=test_twins.STOP)
    assert isinstance(outcome, Solved)
    return case, catalogue, outcome.build


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("world", ["handmade", "tiny", "tiny with inverter", "tiny and hot"])
def test_best_build_holds_and_no_step_from_it_is_better(world: str, want: Want) -> None:
    case, catalogue, build = solved(world, want)
    assert breaches(audit(case, catalogue, build)) == ()
    assert hold_against_changes(case, catalogue, build, want) > 40


def test_build_by_hand_is_held_against_changes_too() -> None:
    """It is not the best, so only what must break counts; a change that mends its cost is no fault."""
    at = handmade.world()
    for change in changes(at.case, at.catalogue, at.build):
        broken = {f.name for f in breaches(audit(at.case, at.catalogue, change.build))}
        assert not change.must_break or broken & change.expected, change.what


@pytest.mark.parametrize("want", WANTS)
@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_stored_build(name: str, want: Want) -> None:
    """Proven best by another run, so that no end of time is taken for an answer; test_cases.py proves them anew."""
    fit = shipped(name, want)
    assert fit.build.claim.status == "proven"
    assert breaches(audit(fit.case, fit.catalogue, fit.build)) == ()
    assert hold_against_changes(fit.case, fit.catalogue, fit.build, want) > 40
