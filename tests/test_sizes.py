"""Sizes that the brief asks for: what counts and what does not, what they change, and what is said where none fits."""

from pathlib import Path

import pytest

from optimiser import builds as b
from optimiser import case as c
from optimiser.auditing import audit
from optimiser.basis import volts
from optimiser.catalogue import Catalogue
from optimiser.fitted import fit_of
from optimiser.model.assemble import assemble
from optimiser.parts import Inverter, MainsCharger, Module, Part
from optimiser.pipeline import Inputs
from optimiser.reading import read_case, shipped_cases
from optimiser.solve import Impossible, Question, Solved, optimise
from tests import handmade
from tests.asking import Change, Changes, broken, found, taken, world
from tests.explaining import STOP
from tests.handmade import World
from tests.pairs import NO_KETTLE
from tests.reading_help import change, line_of, problems_of
from tests.trying_help import tried
from tests.worlds import AT_24_V

PARTS = handmade.catalogue()
SIZES = {"mains_charge_a": "size.mains_charge", "solar_w": "size.solar", "bank_ah": "size.bank",
         "inverter_w": "size.inverter"}  # fmt: skip


def test_a_world_that_asks_for_none_is_checked_for_none() -> None:
    at = handmade.world()

    assert not [f for f in audit(at.case, at.catalogue, at.build) if f.name.startswith("size.")]
    assert not [name for name in assemble(at.case, at.catalogue).posted if name.startswith("size.")]


@pytest.mark.parametrize("folder", sorted(shipped_cases().iterdir()), ids=lambda folder: folder.name)
def test_the_shipped_cases_ask_for_none_but_the_refit_for_charging(folder: Path, catalogue: Catalogue) -> None:
    limits = read_case(folder, catalogue).limits

    asked = [18, 0, 0, 0] if folder.name == "older-caravan" else [0, 0, 0, 0]
    assert [getattr(limits, column) for column in SIZES] == asked


@pytest.mark.parametrize(("column", "name"), SIZES.items())
def test_each_is_asked_for_by_itself(column: str, name: str) -> None:
    at = world((f"limits.{column}", 1))

    assert [f.name for f in audit(at.case, at.catalogue, at.build) if f.name.startswith("size.")] == [name]
    assert [posted for posted in assemble(at.case, at.catalogue).posted if posted.startswith("size.")] == [name]


# --- what counts ------------------------------------------------------------------------------------------


def test_a_bank_of_24_v_counts_as_what_stores_as_much_at_12_v() -> None:
    """12.8 V x 100 Ah and 25.6 V x 50 Ah are 1280 Wh; a 48 V bank of 25 Ah as well."""
    asked: Change = ("limits.bank_ah", 1)
    twelve = world(asked, ("bank.parallel", 1))
    twenty_four = world(asked, *AT_24_V, ("bank.series", 1), *module(25.6, 50))
    forty_eight = world(asked, ("build.system_v", 48), ("bank.parallel", 1), *module(51.2, 25))

    stored, counted = zip(*((nominal_wh(at), of_bank(at)) for at in (twelve, twenty_four, forty_eight)), strict=True)

    assert stored == pytest.approx((1280, 1280, 1280))
    assert counted == pytest.approx((100, 100, 100))


@pytest.mark.parametrize(("asked_ah", "is_there"), [(200, True), (200.5, False)])
def test_model_and_audit_count_a_bank_of_24_v_alike(asked_ah: float, is_there: bool) -> None:
    """Two modules of 100 Ah in series: 100 Ah at 24 V, as much as 200 Ah at 12 V."""
    at = world(("limits.bank_ah", asked_ah), *AT_24_V)

    assert found("size.bank", ("limits.bank_ah", asked_ah), *AT_24_V).ok == is_there
    assert taken(at, lambda name: name == "size.bank") == is_there


def module(volt: float, capacity_ah: float) -> Changes:
    return (("parts.module-100.nominal_v", volt), ("parts.module-100.capacity_ah", capacity_ah))


def nominal_wh(at: World) -> float:
    """Before ageing."""
    fit, bank = fit_of(at.case, at.catalogue, at.build), at.build.bank
    aged = volts.bank_capacity_wh(at.case, fit.module, series=bank.series, parallel=bank.parallel)
    return aged / at.case.limits.capacity_kept_pct * 100


def of_bank(at: World) -> float:
    return next(f.actual for f in audit(at.case, at.catalogue, at.build) if f.name == "size.bank")


def test_ageing_takes_nothing_from_a_bank_by_its_nameplate() -> None:
    assert found("size.bank", ("limits.bank_ah", 200), ("limits.capacity_kept_pct", 50)).ok


def test_a_portable_panel_is_not_on_the_roof() -> None:
    portable = b.PanelArray("folding", "panel-fold", "", 1, 1, "regulator_2")
    arrays = (*handmade.build().arrays, portable)
    there: Changes = (("brief.portable", c.Portable(panel="panel-fold", point="tow_point")), ("arrays", arrays))

    assert found("size.solar", ("limits.solar_w", 300), *there).actual == 200


@pytest.mark.parametrize(("air_c", "amps"), [(40, 30), (50, 22.5), (60, 0)])
def test_mains_charging_is_what_a_charger_gives_in_air_as_warm_as_bays_may_be(air_c: float, amps: float) -> None:
    """All of 30 A up to 40 C, then 2.5 % less for each kelvin."""
    assert found("size.mains_charge", ("limits.mains_charge_a", 1), ("limits.bay_air_max_c", air_c)).actual == amps


def test_heat_takes_nothing_from_an_inverter_by_its_nameplate() -> None:
    assert found("size.inverter", ("limits.inverter_w", 1500), ("limits.bay_air_max_c", 60)).actual == 1500


def test_an_inverter_that_nothing_draws_on_is_there_where_it_is_asked_for() -> None:
    """Where nothing is asked, the model leaves it out, since no build is better for it."""
    idle, asked = world(NO_KETTLE[0]), world(NO_KETTLE[0], ("limits.inverter_w", 1500))

    assert broken(idle) == broken(asked) == set()
    assert (taken(idle), taken(asked)) == (False, True)
    best = optimise(asked.case, asked.catalogue, "cheapest", stop=STOP)
    assert isinstance(best, Solved) and best.build.slot("inverter")


# --- what they change ---------------------------------------------------------------------------------------


def like(name: str, new: str, **other: float) -> Part:
    part = PARTS.find(name)
    assert part is not None
    return part.model_copy(update={"name": new, "price": 200, **other})


MANY: Changes = (  # up to four modules
    ("limits.recharge_h", None), ("parts.fuse-200.breaking_12v_a", 20_000), ("rules.drop_share_inverter", 0.06),
)  # fmt: skip
STRONGER = like("mains-charger-30", "mains-charger-40", charge_a=40)
LARGER: dict[str, tuple[float, float, Changes]] = {  # a size that the cheapest has anyway, a larger one, what it wants
    "mains_charge_a": (22.5, 22.6, (("more.mains_chargers", STRONGER),)),
    "solar_w": (200, 200.1, (("limits.solar_w", 1),)),  # 1 W wants a string of two already
    "bank_ah": (200, 200.1, MANY),
    "inverter_w": (1500, 1500.1, (("more.inverters", like("inverter-1500", "inverter-1510", watt_25c_w=1510)),)),
}  # fmt: skip


def at_least(size: float, column: str) -> Change:
    return (f"limits.{column}", size)


def has(at: World, build: b.Build) -> dict[str, float]:
    """Of a build, added up here."""
    fitted = {f.slot: at.catalogue.find(f.part) for f in build.fitted if f.part}
    inverter, charger, bank = fitted.get("inverter"), fitted.get("mains_charger"), at.catalogue.find(build.bank.module)
    assert isinstance(inverter, Inverter) and isinstance(charger, MainsCharger) and isinstance(bank, Module)
    return {
        "mains_charge_a": 0.75 * charger.charge_a,
        "solar_w": 100.0 * len(build.panels),
        "bank_ah": bank.capacity_ah * build.bank.parallel,
        "inverter_w": inverter.watt_25c_w,
    }


@pytest.mark.parametrize("column", LARGER)
def test_a_larger_ask_makes_another_build_the_best(column: str) -> None:
    anyway, larger, given = LARGER[column]
    worlds = [world(*given, *asked) for asked in ((), (at_least(anyway, column),), (at_least(larger, column),))]

    best = [optimise(at.case, at.catalogue, "cheapest", stop=STOP) for at in worlds]

    plain, same, more = (outcome for outcome in best if isinstance(outcome, Solved))
    sizes = [has(at, found.build)[column] for at, found in zip(worlds, (plain, same, more), strict=True)]
    assert sizes[0] == sizes[1] == anyway and sizes[2] >= larger
    assert plain.cost_cents == same.cost_cents < more.cost_cents
    findings = audit(worlds[2].case, worlds[2].catalogue, more.build)
    assert {f.requirement for f in findings if not f.ok and not f.name.startswith("claim.")} == set()


ONE_ARRAY: Changes = (("limits.regulators_at_most", 1),)
MOST: dict[str, tuple[float, Changes]] = {  # of any build of the world by hand
    "mains_charge_a": (22.5, ()),
    "solar_w": (200, ONE_ARRAY),  # a regulator takes 1.5 x 20 A x 12.8 V, and two panels of 100 W in a string start it
    "bank_ah": (400, MANY),  # four modules in parallel, by their maker
    "inverter_w": (1500, ()),
}


@pytest.mark.parametrize("column", MOST)
def test_the_solver_finds_what_just_fits_and_proves_that_no_more_does(column: str) -> None:
    most, given = MOST[column]
    outcomes = []
    for asked in (most, most + 0.1):
        at = world(*given, (f"limits.{column}", asked))
        outcomes.append(Question(at.case, at.catalogue).any_build(stop=STOP))

    assert isinstance(outcomes[0], Solved) and isinstance(outcomes[1], Impossible)


# --- tried out, and read ------------------------------------------------------------------------------------


def test_one_is_set_and_dropped(inputs: Inputs) -> None:
    trial = tried(inputs, "solar_w=150")

    assert trial.status == "proven" and trial.before.build and trial.after.build
    assert (len(trial.before.build.panels), len(trial.after.build.panels)) == (0, 2)

    too_much = ("limits.bank_ah=500", "inverter_w=1600")
    assert tried(inputs, *too_much, drops=("size.bank",)).status == "impossible"
    for drops in (("size",), ("size.bank", "size.inverter")):
        dropped = tried(inputs, *too_much, drops=drops)
        assert dropped.status == "proven"
        assert {f.requirement for f in dropped.given_up} == {"size.bank", "size.inverter"}


def test_mains_charging_without_hook_up_is_refused(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", "# mains_charge_a = 20 ", "mains_charge_a = 20 ")
    text = change(folder / "case.toml", "[inlet]  ", "# [inlet]  ")
    inlet = text[text.index("# [inlet]") :].split("\n\n", 1)[0]
    text = change(folder / "case.toml", inlet, inlet.replace("\n", "\n# "))

    problems = problems_of(lambda: read_case(folder, catalogue))

    (problem,) = (p for p in problems if p.column == "limits.mains_charge_a")
    assert problem.row == line_of(text, "mains_charge_a")
    assert problem.message == "20 though there is no [inlet]; expected that table, or 0"


def test_an_inverter_that_no_circuit_is_fed_by_is_refused(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", "# inverter_w = 1500 ", "inverter_w = 1500 ")
    assert read_case(folder, catalogue).limits.inverter_w == 1500
    text = change(folder / "case.toml", 'source = "inverter"', 'source = "hook_up"')

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.row, problem.column) == (line_of(text, "inverter_w"), "limits.inverter_w")
    assert problem.message == "1500 though no circuit has the source inverter; expected one that has, or 0"


def test_mains_charging_beside_no_charger_is_refused(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", "# mains_charge_a = 20 ", "mains_charge_a = 20 ")
    assert read_case(folder, catalogue).limits.mains_charge_a == 20
    text = change(folder / "case.toml", 'mains_charger = "may"', 'mains_charger = "no"')

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.row, problem.column) == (line_of(text, "mains_charge_a"), "limits.mains_charge_a")
    assert problem.message == "20 though mains_charger is 'no'; expected may or must there, or 0"
