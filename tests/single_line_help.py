"""Builds for the tests of the single-line diagram: the trailer by hand and changed, and stored ones."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache

from optimiser import builds as b
from optimiser import parts as p
from optimiser.auditing import Finding, audit
from optimiser.case import Case, Circuit, Inlet, PassThrough
from optimiser.catalogue import Catalogue
from optimiser.drawing.shapes import Path, Point
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line.diagram import single_line
from optimiser.fitted import Fit, fit_of
from tests import handmade
from tests.asking import Change, world
from tests.edges_breakers import CHANGED, CIRCUITS, FILLED, PASSING
from tests.packing_help import SOLVED, WANTS, findings, shipped

Drawn = tuple[Fit, tuple[Finding, ...]]
WORLD = handmade.world()


def made(build: b.Build, case: Case = WORLD.case, catalogue: Catalogue = WORLD.catalogue) -> Drawn:
    """A fit and what the audit finds of it, breaches and all."""
    return fit_of(case, catalogue, build), audit(case, catalogue, build)


def without(*names: str) -> Drawn:
    """The handmade build less some slots and runs."""
    build = WORLD.build
    fitted = tuple(f for f in build.fitted if f.slot not in names)
    runs = tuple(r for r in build.runs if r.name not in names)
    return made(replace(build, fitted=fitted, runs=runs))


def with_brief(**changes: object) -> Drawn:
    """The handmade build for another brief."""
    return made(WORLD.build, replace(WORLD.case, brief=WORLD.case.brief.model_copy(update=changes)))


def arrays(*regulators: str) -> Drawn:
    """The handmade build with an array for each regulator named; one may be named twice."""
    build = WORLD.build
    found = tuple(b.PanelArray(f"a{k}", "panel-100", "sun", 2, 1, slot) for k, slot in enumerate(regulators))
    slots = [s for s in dict.fromkeys(regulators) if s.startswith("regulator_") and not build.slot(s)]
    fitted = tuple(b.Fitted(slot, "regulator-20", "locker.wall", 0, 0) for slot in slots)
    runs = tuple(b.Run(f"solar_{a.name}", "roof_point", "locker", ("roof_way",), "solar-6") for a in found)
    runs += tuple(b.Run(slot, "locker", "locker", (), "dc-6", "fuse-30") for slot in slots)
    kept = tuple(run for run in build.runs if run.name != "solar_a")
    return made(replace(build, panels=(), arrays=found, fitted=build.fitted + fitted, runs=kept + runs))


def strings_in_parallel() -> Drawn:
    """The handmade build with its two panels side by side, not one behind the other."""
    build = WORLD.build
    panels = tuple(replace(panel, string=f"a.{k}") for k, panel in enumerate(build.panels, start=1))
    shunts = tuple(replace(shunts, count=2) for shunts in build.measuring)  # a channel for either
    arrays_of = (replace(build.arrays[0], series=1, parallel=2),)
    return made(replace(build, panels=panels, arrays=arrays_of, measuring=shunts))


def on_24_v() -> Drawn:
    """With a step-down."""
    build = WORLD.build
    return made(
        replace(
            build,
            system_v=24,
            bank=replace(build.bank, series=2),
            fitted=(*build.fitted, b.Fitted("step_down", "step-down-24", "locker.wall", 0, 0)),
            runs=(*build.runs, b.Run("step_down", "locker", "locker", (), "dc-6", "fuse-30")),
        )
    )


def transferring() -> Drawn:
    """With an inverter-charger in place of inverter and mains charger."""
    parts = WORLD.catalogue.tables
    inverter = next(iter(parts["inverters"].values()))
    assert isinstance(inverter, p.Inverter)
    more = inverter.model_copy(update={"name": "inverter-charger-1500", "charge_a": 60.0, "transfer_a": 16.0})
    catalogue = Catalogue({**parts, "inverter_chargers": {more.name: more}}, WORLD.catalogue.rule_sets)
    build, gone = WORLD.build, ("mains_charger", "mains_feed")
    fitted = tuple(
        replace(f, part=more.name) if f.slot == "inverter" else f for f in build.fitted if f.slot not in gone
    )
    runs = tuple(r for r in build.runs if r.name not in gone)
    back = b.Run("inverter_in", "locker", "locker", (), "mains-2.5")
    return made(replace(build, fitted=fitted, runs=(*runs, back)), catalogue=catalogue)


def circuits(hook_up: int, inverter: int, *, inlet: bool = True) -> Drawn:
    """With so many circuits."""
    named = [Circuit(name=f"hook_up_circuit_{k}", source="hook_up") for k in range(hook_up)]
    named += [Circuit(name=f"inverter_circuit_{k}", source="inverter") for k in range(inverter)]
    return with_brief(circuits=tuple(named), inlet=WORLD.case.brief.inlet if inlet else None)


def filled(*changes: Change) -> Drawn:
    """With a mains box that the build fills."""
    at = world(*changes)
    return made(at.build, at.case, at.catalogue)


_LINK = ("parts.inverter-1500.bond", "none")
_NO_DEVICES = ("build.breakers", ())
_HALF_WIRED = (
    ("brief.circuits", (CIRCUITS[0], Circuit(name="heater", source="hook_up", wired=True))),
    ("runs.outlet_heater", None),
)
VARIED: dict[str, Callable[[], Drawn]] = {
    "as it is": lambda: made(WORLD.build),
    "no inverter": lambda: without("inverter", "inverter_out", "switch"),
    "no inverter, its runs left": lambda: without("inverter"),
    "no switch": lambda: without("switch"),
    "no alternator charger": lambda: without("alternator_charger", "alternator", "alternator_feed"),
    "alternator runs without charger": lambda: without("alternator_charger"),
    "no mains charger": lambda: without("mains_charger", "mains_feed"),
    "no mains charger, its feed left": lambda: without("mains_charger"),
    "no mains box": lambda: without("mains_box"),
    "no mains at all": lambda: without(
        "mains_box", "mains_charger", "mains_inlet", "mains_feed", "inverter", "inverter_out", "switch"
    ),
    "no busbar, isolator, main fuse": lambda: without("busbar", "isolator", "main_fuse"),
    "no rows, no display": lambda: without("fuse_row", "shunt_row", "display"),
    "fused strings": lambda: made(replace(WORLD.build, bank=replace(WORLD.build.bank, fuse="fuse-30"))),
    "no main run": lambda: without("main"),
    "no loads run": lambda: without("dc_loads"),
    "no regulator": lambda: without("regulator_1"),
    "no solar": lambda: arrays(),
    "no fuses": lambda: made(replace(WORLD.build, runs=tuple(replace(r, fuse="") for r in WORLD.build.runs))),
    "no pass-through entry": lambda: made(replace(WORLD.build, entries=())),
    "no runs": lambda: made(replace(WORLD.build, runs=())),
    "nothing but a bank": lambda: made(b.Build(case="handmade", system_v=12, bank=WORLD.build.bank)),
    "step-down at 12 V": lambda: made(
        replace(
            WORLD.build,
            fitted=(*WORLD.build.fitted, b.Fitted("step_down", "step-down-24", "locker.wall", 0, 0)),
        )
    ),
    "a run for nothing": lambda: made(
        replace(WORLD.build, runs=(*WORLD.build.runs, b.Run("step_down", "locker", "locker", (), "dc-6", "fuse-30")))
    ),
    "a way in for a plain inverter": lambda: made(
        replace(WORLD.build, runs=(*WORLD.build.runs, b.Run("inverter_in", "locker", "locker", (), "mains-2.5")))
    ),
    "mains box filled": lambda: filled(*FILLED, _LINK),
    "mains box filled, passing": lambda: filled(*PASSING),
    "mains box filled, changed over": lambda: filled(*CHANGED),
    "mains box with nothing in it": lambda: filled(*FILLED, _NO_DEVICES),
    "mains box filled, a circuit wired": lambda: filled(*FILLED, *_HALF_WIRED),
    "two regulators": lambda: arrays("regulator_1", "regulator_2"),
    "solar on the alternator charger": lambda: arrays("regulator_1", "alternator_charger"),
    "strings in parallel": strings_in_parallel,
    "four arrays": lambda: arrays("regulator_1", "regulator_2", "regulator_3", "alternator_charger"),
    "three arrays on two inputs": lambda: arrays("regulator_1", "regulator_1", "alternator_charger"),
    "two arrays on the alternator charger": lambda: arrays("alternator_charger", "alternator_charger"),
    "24 V": on_24_v,
    "inverter-charger": transferring,
    "no circuits": lambda: circuits(0, 0),
    "five circuits": lambda: circuits(2, 3),
    "many on hook-up": lambda: circuits(6, 1),
    "many on the inverter": lambda: circuits(1, 6),
    "inverter circuits, no inlet": lambda: circuits(0, 2, inlet=False),
    "circuits of hook-up, no inlet": lambda: circuits(2, 1, inlet=False),
    "a large inlet": lambda: with_brief(inlet=Inlet(rating_a=32, point="inlet_point")),
    "pass-throughs": lambda: with_brief(
        pass_throughs=(
            *WORLD.case.brief.pass_throughs,
            *(
                PassThrough(name=f"socket_{k}", carries="power", ip_class=54, point="tv_point", current_a=5)
                for k in range(3)
            ),
        )
    ),
}
METER = re.compile("A[0-9]*")
"""What stands in an ammeter: the number of its channel, if one is free for it."""
SHIPPED = {f"{name} {want}": (name, want) for name in SOLVED for want in WANTS}
ALL = [*VARIED, *SHIPPED]


@cache
def subject(key: str) -> Drawn:
    """A fit and its findings."""
    return (shipped(*SHIPPED[key]), findings(*SHIPPED[key])) if key in SHIPPED else VARIED[key]()


@cache
def sheets(key: str) -> tuple[Sheet, ...]:
    """Its sheets."""
    return single_line(*subject(key))


def drawn(key: str) -> Sheet:
    """Its sheet of the d.c. side."""
    return sheets(key)[0]


def mains(key: str) -> Sheet:
    """Its sheet of the mains."""
    return next(sheet for sheet in sheets(key) if sheet.key == "single-line-mains")


def texts(key: str) -> list[str]:
    """Every text of its sheets."""
    return [text.text for sheet in sheets(key) for text in sheet.texts()]


def bars(sheet: Sheet) -> list[Path]:
    """The sides of the mains box."""
    return [s for s in sheet.shapes if isinstance(s, Path) and s.layer == "mains" and s.weight == 0.7]


def wires(sheet: Sheet) -> list[tuple[Point, Point]]:
    """Every straight piece of a cable, and of the bars."""
    lines = [s for s in sheet.shapes if isinstance(s, Path) and s.layer in ("cable", "mains") and s.dash != "chain"]
    return [pair for line in lines for pair in zip(line.points, line.points[1:], strict=False)]


def dots(sheet: Sheet) -> list[Point]:
    """The middles of the junctions."""
    found = [s for s in sheet.shapes if isinstance(s, Path) and s.fill == "solid" and len(s.points) == 12]
    return [(sum(x for x, _ in s.points) / 12, sum(y for _, y in s.points) / 12) for s in found]


def said(key: str, words: str) -> bool:
    """Whether the notes say something, however they are broken into lines."""
    return words in " ".join(texts(key))
