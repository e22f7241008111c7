"""The mains box that a build fills: what is made of it, and what a brief may say. Its limits: `edges_breakers`."""

from itertools import product
from pathlib import Path

import pytest

from optimiser import builds as b
from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.catalogue import Catalogue
from optimiser.commissioning.sheet import test_sheet as sheet_of
from optimiser.fitted import Fit
from optimiser.fitted.hours import trace_of
from optimiser.parts import Breaker
from optimiser.reading import read_case
from optimiser.schedules import labels, materials, not_in_the_build, pieces, protection
from optimiser.solve import Impossible, Solved, optimise
from tests.asking import Change, broken, finding, taken, world
from tests.edges_breakers import AT, CHANGED, CHANGEOVER, CIRCUITS, DEVICES, FILLED, PASSING
from tests.explaining import STOP
from tests.handmade import World
from tests.knobs import altered
from tests.reading_help import problems_of


def devices(of: dict[str, str]) -> tuple[b.FittedBreaker, ...]:
    return tuple(b.FittedBreaker(place, name) for place, name in of.items())


def best(at: World) -> Solved | Impossible:
    found = optimise(at.case, at.catalogue, "cheapest", stop=STOP)
    assert isinstance(found, Solved | Impossible)
    return found


@pytest.mark.parametrize("changes", [FILLED, PASSING, CHANGED])
def test_the_worlds_with_a_filled_box_hold(changes: tuple[Change, ...]) -> None:
    at = world(*changes)

    assert broken(at) == set()
    assert taken(at)


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (("build.breakers", devices({k: v for k, v in AT.items() if k != "outlet_heater"})), "outlet_heater"),
        (("build.breakers", devices(AT | {"inverter_in": "breaker-10"})), "inverter_in"),
        (("build.breakers", devices(AT | {"outlet_heater": "residual-25"})), "outlet_heater"),
        (("build.breakers", devices(AT | {"residual_hook_up": "combined-10"})), "residual_hook_up"),
        (("runs.outlet_heater", None), "outlet_heater"),
        (("runs.outlet_heater.end", "sockets_point"), "outlet_heater"),
        (("parts.mains-box-2.modules", 0), "mains_box"),
    ],
)
def test_what_is_missing_or_there_for_nothing_is_found(change: Change, place: str) -> None:
    at = world(*FILLED, change)

    assert f"run.complete[{place}]" in broken(at)
    assert not taken(at)


def test_an_empty_box_is_none_where_nothing_fills_it() -> None:
    at = world(("parts.mains-box-2.modules", 14))

    assert broken(at) == {"run.complete[mains_box]"}
    assert isinstance(best(at), Impossible)


def test_a_circuit_that_is_wired_takes_two_modules_and_no_cable() -> None:
    circuits = (CIRCUITS[0], c.Circuit(name="heater", source="hook_up", wired=True))
    less = {place: name for place, name in AT.items() if place != "outlet_heater"}
    at = world(*FILLED, ("brief.circuits", circuits), ("build.breakers", devices(less)), ("runs.outlet_heater", None))

    assert broken(at) == set() and taken(at)
    assert "breaker.modules" in broken(World(*two(at, ("parts.mains-box-2.modules", 13)), at.build))


def two(at: World, *changes: Change) -> tuple[c.Case, Catalogue]:
    made = altered(at, *changes)
    return made.case, made.catalogue


@pytest.mark.parametrize(("combined", "residual"), [(10.0, 12.0), (10.0, 30.0), (13.0, 12.0), (20.0, 12.0)])
def test_the_best_fills_the_box_as_cheaply_as_enumeration_does(combined: float, residual: float) -> None:
    """One device for a side and breakers, or combined ones: every way to fill it, priced by hand."""
    at = world(
        *FILLED,
        ("parts.combined-10.price", combined),
        ("parts.residual-25.price", residual),
        ("parts.residual-inverter.rating_a", 1.0),  # out of the way
    )
    found = best(at)
    assert isinstance(found, Solved)
    prices = {name: device.price for name, device in at.catalogue.of("breakers").items()}
    got = sum(prices[device.breaker] for device in found.build.breakers)
    assert got == pytest.approx(min(_priced(prices)))
    assert not breaches(audit(at.case, at.catalogue, found.build))


def _priced(prices: dict[str, float]) -> list[float]:
    """All ways: each run with a breaker or a combined device, each side with a residual-current device or none."""
    runs = ("mains_inlet", "mains_feed", "inverter_out", "outlet_sockets", "outlet_heater")
    sides = {"mains_feed": 0, "outlet_heater": 0, "outlet_sockets": 1}
    brings = {0: "mains_inlet", 1: "inverter_out"}
    found = []
    for combined in product((False, True), repeat=len(runs)):
        of = dict(zip(runs, combined, strict=True))
        for whole in product((False, True), repeat=2):
            if all(of[run] or whole[side] or of[brings[side]] for run, side in sides.items()):
                found.append(
                    sum(prices["combined-10" if one else "breaker-10"] for one in combined)
                    + sum(whole) * prices["residual-25"]
                )
    return found


def test_a_link_joins_neutral_and_earth_of_an_inverter_alone_that_does_not() -> None:
    def link(*changes: Change) -> bool:
        at = world(*changes)
        return Fit(at.case, at.catalogue, at.build).bond_link

    none = ("parts.inverter-1500.bond", "none")
    assert link(*FILLED, none) and broken(world(*FILLED, none)) == set()
    assert not link(*FILLED) and not link(*PASSING, none) and not link(none)


def test_what_changes_over_by_itself_spares_the_bank_on_hook_up_and_what_must_be_switched_does_not() -> None:
    """The kettle at eight, on hook-up from six to nine; the inlet has to bear it in either case."""
    on_site = (("scenarios.summer.hook_up_from_h", 6), ("scenarios.summer.hook_up_to_h", 9))

    def drawn_w(*changes: Change) -> float:
        at = world(*changes, *on_site)
        fit = Fit(at.case, at.catalogue, at.build)
        return float(trace_of(fit, fit.case.scenarios[0]).loads_w[8])

    manual = ("parts.changeover.kind", "manual_changeover")
    assert drawn_w(*FILLED) == drawn_w(*CHANGED, manual) == pytest.approx(drawn_w(*CHANGED) + 600 / 0.9)
    for changes in ((), (manual,)):
        inlet = finding(world(*CHANGED, *changes), "charge.inlet").actual
        assert inlet == pytest.approx(finding(world(*FILLED), "charge.inlet").actual + 600 / 230)


@pytest.mark.parametrize(("asked", "devices"), [("no", 0), ("may", 0), ("must", 1)])
def test_a_changeover_is_bought_where_it_is_asked_for(asked: str, devices: int) -> None:
    """Of two the one by hand, which is cheaper; each for a rating that will do."""
    at = world(
        *CHANGED,
        ("brief.changeover", asked),
        ("more.breakers", _changeover("by-hand", 16, "manual_changeover", 4)),
        ("more.breakers", _changeover("too-small", 6, "manual_changeover", 1)),
    )
    found = best(at)
    assert isinstance(found, Solved) and not breaches(audit(at.case, at.catalogue, found.build))
    assert [one.breaker for one in found.build.breakers if one.place == "changeover"] == ["by-hand"] * devices


def _changeover(name: str, rating_a: float, kind: str, price: float) -> Breaker:
    device = CHANGEOVER.model_copy(update={"name": name, "rating_a": rating_a, "price": price})
    return Breaker.model_validate(device.model_dump() | {"kind": kind})


def test_it_is_told_in_every_list() -> None:
    at = world(*FILLED, ("parts.inverter-1500.bond", "none"))
    fit = Fit(at.case, at.catalogue, at.build)
    findings = audit(fit.case, fit.catalogue, fit.build)

    def cells(rows: object) -> str:
        return "\n".join(" | ".join(map(str, row)) for row in rows)  # type: ignore[attr-defined]

    assert all(device.name in cells(materials(fit).rows) for device in DEVICES)
    assert "outlet_sockets" in cells(pieces(fit).rows) and "outlet_sockets" in cells(labels(fit).rows)
    told = cells(protection(fit, findings).rows)
    assert "combined-10" in told and "residual-inverter" in told
    assert {"mains.bond_link", "mains.trip_inverter.sockets.1x_ms"} <= {check.id for check in sheet_of(fit, findings)}
    left = not_in_the_build(fit)
    assert not any(
        text.startswith(("cables of mains final", "ratings of the breakers", "what protects")) for text in left
    )


def test_with_a_changeover_the_link_is_before_it_and_neutral_is_tried_unplugged() -> None:
    """Behind the changeover the link would join what the site joins already."""

    def told(*changes: Change) -> dict[str, tuple[str, str]]:
        at = world(*changes, ("parts.inverter-1500.bond", "none"))
        fit = Fit(at.case, at.catalogue, at.build)
        return {check.id: (check.what, check.how) for check in sheet_of(fit, audit(fit.case, fit.catalogue, fit.build))}

    alone, changed = told(*FILLED), told(*CHANGED)
    assert "before" not in alone["mains.bond_link"][0] and "changeover" not in alone["mains.bond_link"][0]
    assert "between the inverter and the changeover" in changed["mains.bond_link"][0]
    assert "on hook-up and off it alike" in alone["mains.neutral_on_inverter"][1]
    assert "hook-up unplugged" in changed["mains.neutral_on_inverter"][1]


# --- what a brief may say ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("point", "column", "said"),
    [
        ("moon", "circuits.1.point", "no way reaches 'moon'"),
        ("dc_panel", "circuits.2.point", "no point, though others have one; expected the node where its cable ends"),
    ],
)
def test_what_is_refused(folder: Path, catalogue: Catalogue, point: str, column: str, said: str) -> None:
    path = folder / "case.toml"
    text = path.read_text(encoding="utf-8")
    first = text.index("[[circuits]]")
    one, other = ("".join(f'{key} = "{value}"\n' for key, value in kind) for kind in (
        (("name", "more"), ("source", "hook_up"), ("point", point)), (("name", "others"), ("source", "hook_up")),
    ))  # fmt: skip
    path.write_text(f"{text[:first]}[[circuits]]\n{one}\n[[circuits]]\n{other}\n{text[first:]}", encoding="utf-8")

    problems = [p.message for p in problems_of(lambda: read_case(folder, catalogue)) if p.column == column]

    assert any(message.startswith(said) for message in problems), problems


def test_what_is_in_the_box_weighs_in_its_bay() -> None:
    """Seven devices of 0.2 kg on the locker's wall, beside the box itself."""
    at = world(*FILLED)
    bare = world(*FILLED, *((f"parts.{device.name}.mass_kg", 0) for device in DEVICES))
    assert finding(at, "bay.mass[locker]").actual - finding(bare, "bay.mass[locker]").actual == pytest.approx(1.4)
    limit = finding(at, "bay.mass[locker]").actual
    for allowed, ok in ((limit, True), (limit - 0.001, False)):
        tight = world(*FILLED, ("bays.locker.mass_max_kg", allowed))
        assert (broken(tight) == set(), taken(tight)) == (ok, ok)
