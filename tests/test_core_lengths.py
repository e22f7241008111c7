"""Each core of a run of direct current is cut to its own length: what it reaches, loses, costs and weighs by both.

In the world by hand, without allowances in its bays and with the regulator at x 650 (y 200..300): its positive core
goes by the fuse row (50..200, 350..410) 450 + 50 and on to the busbar (50..150, 50..150) 200, its negative one straight
to the busbar 500 + 50.
"""

from pathlib import Path

import pytest

from optimiser.auditing import audit
from optimiser.basis.money import core_worth_a_step
from optimiser.builds import BuildProblem, from_json, to_json
from optimiser.commissioning import test_sheet as sheet_of
from optimiser.fitted import cost_and_mass
from optimiser.fitted.links import links_of
from optimiser.parts import Cable
from optimiser.pipeline.inputs import Inputs
from optimiser.printing.fitted import run_table
from optimiser.schedules.cables import cables
from optimiser.schedules.materials import lines, materials, sums
from optimiser.schedules.pieces import pieces
from tests.asking import Change, Changes, broken, cut_to, finding, long_enough, taken, world
from tests.edges_places import MUCH_DROP
from tests.handmade import World
from tests.schedules_help import fit_made, found_in, number, only_row, rows_of, total

ASIDE: Changes = (
    ("bays.locker.cable_allowance_mm", 0),
    ("bays.box.cable_allowance_mm", 0),
    ("fitted.regulator_1.x_mm", 650),
    *MUCH_DROP,
)
WARM = 1 + 0.00393 * (70 - 20)  # copper, against 20 C


def aside(cut_mm: int, back_mm: int | None, *changes: Change, run: str = "regulator_1") -> World:
    return cut_to(long_enough(world(*ASIDE, *changes)), run, cut_mm, back_mm)


# --- what each reaches -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cut_mm", "back_mm", "missed"),
    [
        (700, 600, None),
        (700, None, None),  # both alike
        (600, 600, (600, 700)),
        (700, 500, (500, 550)),
        (600, None, (600, 700)),
        (600, 500, (600, 700)),  # the one with less to spare is told
        (1200, 500, (500, 550)),
    ],
)
def test_each_core_is_as_long_as_it_reaches(cut_mm: int, back_mm: int | None, missed: tuple[int, int] | None) -> None:
    at = aside(cut_mm, back_mm)
    found = finding(at, "run.length[regulator_1]")

    assert broken(at) == ({"run.length[regulator_1]"} if missed else set())
    assert taken(at) is (missed is None)
    assert missed is None or (found.limit, found.actual) == missed


@pytest.mark.parametrize(
    ("cut_mm", "back_mm", "said"),
    [
        (700, 600, ""),
        (600, 600, "the + core of regulator_1 needs 700 mm by its ways and as drawn, it is cut to 600 mm"),
        (700, 500, "the - core of regulator_1 needs 550 mm by its ways and as drawn, it is cut to 500 mm"),
        (600, 500, "the + core of regulator_1 needs 700 mm by its ways and as drawn, it is cut to 600 mm"),  # by 100
        (600, 400, "the - core of regulator_1 needs 550 mm by its ways and as drawn, it is cut to 400 mm"),  # by 150
    ],
)
def test_the_core_that_is_short_is_named_and_of_two_the_one_short_by_more(cut_mm: int, back_mm: int, said: str) -> None:
    at = aside(cut_mm, back_mm)
    short = [f.sentence for f in audit(at.case, at.catalogue, at.build) if f.name == "run.length" and not f.ok]

    assert short == ([said] if said else [])


@pytest.mark.parametrize(("cut_mm", "holds"), [(600, True), (500, False)])
def test_cores_that_are_alike_are_both_short(cut_mm: int, holds: bool) -> None:
    """Two allowances of 300 each."""
    found = finding(cut_to(world(), "regulator_1", cut_mm), "run.length[regulator_1]")
    words = f"each core of regulator_1 needs 600 mm by its ways and as drawn, it is cut to {cut_mm} mm"

    assert (found.ok, found.sentence) == (holds, words)


@pytest.mark.parametrize(("cut_mm", "holds"), [(1300, True), (1200, False)])
def test_a_cable_of_several_cores_is_short_as_a_whole(cut_mm: int, holds: bool) -> None:
    """Ways of 1000 and an allowance of 300."""
    found = finding(cut_to(world(), "mains_inlet", cut_mm), "run.length[mains_inlet]")
    words = f"the cable of mains_inlet needs 1300 mm by its ways and as drawn, it is cut to {cut_mm} mm"

    assert (found.ok, found.sentence) == (holds, words)


@pytest.mark.parametrize(("cut_mm", "back_mm", "holds"), [(1700, 1800, True), (1600, 1800, False), (1700, 1700, False)])
def test_the_negative_core_may_be_the_longer_one(cut_mm: int, back_mm: int, holds: bool) -> None:
    """Ways of 1500; from the busbar to the fuse row 200, to the shunt row (250..450, 350..450) 100 + 200."""
    at = aside(cut_mm, back_mm, run="dc_loads")

    assert broken(at) == (set() if holds else {"run.length[dc_loads]"})
    assert taken(at) is holds


@pytest.mark.parametrize(("cut_mm", "back_mm"), [(800, 700), (900, 600)])
@pytest.mark.parametrize(("end_mm", "holds"), [(25, True), (25.1, False)])
def test_each_core_has_the_ends_of_its_own_pieces(cut_mm: int, back_mm: int, end_mm: float, holds: bool) -> None:
    """Two pieces of the positive core take 100 beside 700, one of the other 50 beside 550; or 102 and 51."""
    at = cut_to(long_enough(world(*ASIDE, ("rules.end_mm", end_mm))), "regulator_1", cut_mm, back_mm)

    assert broken(at) == (set() if holds else {"run.length[regulator_1]"})
    assert taken(at) is holds


@pytest.mark.parametrize(("back_mm", "holds"), [(600, True), (500, False)])
def test_no_core_is_shorter_than_ways_and_allowances(back_mm: int, holds: bool) -> None:
    """Two of 300, though it is 50 from the regulator at x 50 to the busbar below it."""
    at = cut_to(world(), "regulator_1", 600, back_mm)

    assert broken(at) == (set() if holds else {"run.length[regulator_1]"})
    assert taken(at) is holds


@pytest.mark.parametrize("run", ["mains_inlet", "display", "pass_aerial"])
def test_a_cable_of_several_cores_has_no_second_length(run: str) -> None:
    at = world()
    its = {"mains_inlet": 1300, "display": 600, "pass_aerial": 1100}[run]

    assert broken(cut_to(at, run, its)) == set()
    assert broken(cut_to(at, run, its, its)) == {f"run.complete[{run}]"}
    assert not taken(cut_to(at, run, its, its))


# --- what both lose --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cut_mm", "back_mm"), [(700, 600), (700, 700), (1200, 600)])
def test_the_drop_is_that_of_both_cores(cut_mm: int, back_mm: int) -> None:
    """20 A in 6 mm2 of 3.3 ohm/km."""
    drop = finding(aside(cut_mm, back_mm), "run.drop[regulator_1]").actual

    assert drop == pytest.approx(20 * (cut_mm + back_mm) / 1000 * 3.3 / 1000 * WARM)


@pytest.mark.parametrize(("share", "holds"), [(0.0413, True), (0.0412, False)])
def test_a_longer_negative_core_loses_more(share: float, holds: bool) -> None:
    """12.6 m of the feed lose 0.03824 of its 12 V (see `edges`), so 13.6 m 0.04128."""
    at = cut_to(world(("rules.drop_share_feed", share)), "alternator_feed", 6300, 7300)

    assert broken(at) == (set() if holds else {"run.drop[alternator_feed]"})
    assert taken(at) is holds


@pytest.mark.parametrize(("share", "holds"), [(0.00216, True), (0.00214, False)])
def test_a_mains_cable_loses_out_and_back_in_its_one_length(share: float, holds: bool) -> None:
    """1.3 m lose 0.00107 to 0.00108 (see `edges`), 2.6 m twice that; the model is asked beyond the shortest length."""
    at = cut_to(world(("rules.drop_share_mains", share)), "mains_inlet", 2600)

    assert broken(at) == (set() if holds else {"run.drop[mains_inlet]"})
    assert taken(at) is holds


@pytest.mark.parametrize(("mohm", "holds"), [(19.24, True), (19.28, False)])
def test_a_start_goes_through_both_cores(mohm: float, holds: bool) -> None:
    """19.72 in the isolator are the limit with 1.3 m each (see `edges`); a metre more of 50 mm2 is 0.462."""
    at = cut_to(world(("parts.isolator-300.resistance_mohm", mohm), *MUCH_DROP), "main", 1600, 2600)

    assert broken(at) == (set() if holds else {"inverter.sag"})
    assert taken(at) is holds


def test_what_lies_before_it_loses_with_both_of_its_cores() -> None:
    """The 12 V panel behind the main run: a metre more of 50 mm2 at the bank's current."""
    plain, longer = (cut_to(world(*MUCH_DROP), "main", 1600, back_mm) for back_mm in (1600, 2600))
    amps = finding(plain, "run.drop[main]").actual / (2 * 1.6 * 0.386 / 1000 * WARM + links_ohm())
    more = finding(longer, "run.drop[dc_loads]").actual - finding(plain, "run.drop[dc_loads]").actual

    assert more == pytest.approx(amps * 0.386 / 1000 * WARM)
    assert taken(longer)


def links_ohm() -> float:
    """0.37 m of one core."""
    return 0.37 * 0.386 / 1000 * WARM


def test_only_what_both_cores_must_have_holds_a_fault_back() -> None:
    name = "run.fuse_breaking[inverter]"
    plain, longer, short = (cut_to(world(*MUCH_DROP), "main", 1600, back_mm) for back_mm in (1600, 2600, 1500))

    assert finding(longer, name).limit == finding(plain, name).limit < finding(short, name).limit
    assert taken(longer) and not taken(short)


def test_the_test_sheet_has_the_drop_of_both() -> None:
    at = aside(700, 600)
    (row,) = (one for one in sheet_of(fit_made(at), found_in(at)) if one.id == "drop.regulator_1")

    assert row.design == pytest.approx(20 * 1.3 * 3.3 * WARM)
    assert "laid longer than 1.3 m of both cores together" in row.how


# --- what both cost and weigh, and how lists and drawings have them ------------------------------------------


def test_each_step_of_one_core_is_priced_and_weighed() -> None:
    """At 2.50 a metre and 100 g."""
    alike, shorter = (cost_and_mass(at.case, at.catalogue, at.build) for at in (aside(700, 700), aside(700, 600)))

    assert (alike.cents - shorter.cents, alike.grams - shorter.grams) == (25, 10)


def test_each_step_of_one_core_is_rounded_up() -> None:
    """0.123 + 0.05 + 0.2 = 0.373: 38 cents, where 13 steps in pairs would be 4.85."""
    dear = (("parts.dc-6.price", 1.23), ("parts.dc-6.minutes", 2))
    alike, shorter = (
        cost_and_mass(at.case, at.catalogue, at.build) for at in (aside(700, 700, *dear), aside(700, 600, *dear))
    )
    cable = aside(700, 600, *dear).catalogue.find("dc-6")
    assert isinstance(cable, Cable)

    assert core_worth_a_step(cable, 60).cents == alike.cents - shorter.cents == 38


def test_lists_have_each_core_and_bill_and_pieces_come_to_the_same() -> None:
    at = aside(700, 600)
    fit = fit_made(at)
    row = only_row(cables(fit), "run", "regulator_1")
    ours = [piece for piece in rows_of(pieces(fit)) if piece["run"] == "regulator_1"]
    bill_m = sum(
        number(line["length"]) for line in rows_of(materials(fit)) if line["class"] == "cables" and line["length"]
    )
    runs_m, links = number(total(cables(fit), "to cut in all")), links_of(fit)
    assert links

    assert [row[title] for title in ("length", "cut", "spare")] == [700, 700, 0]
    assert [row[f"{title} of -"] for title in ("length", "cut", "spare")] == [550, 600, 50]
    assert row["to cut in all"] == 1.3
    assert [piece["cut"] for piece in ours] == [500, 200, 600]
    assert [piece["spare"] for piece in ours] == [0, 0, 50]
    assert number(total(pieces(fit), "cut")) - links.total_mm == pytest.approx(1000 * runs_m)
    assert f"the runs are cut to {runs_m:.1f} m." in pieces(fit).notes[-1]
    assert bill_m == pytest.approx(runs_m + links.steps / 10)
    assert sums(lines(fit)).worth == cost_and_mass(at.case, at.catalogue, at.build)


def test_tables_say_both_lengths_or_the_one() -> None:
    at = aside(700, 600)
    table = run_table(Inputs(Path(), at.case, at.catalogue), at.build)
    run, *_, cut = (list(table.columns[k].cells) for k in (0, 5))
    said = dict(zip(run, cut, strict=True))

    assert said["regulator_1"] == "0.7/0.6"
    assert said["mains_inlet"] == "1.0"


# --- in a build file -----------------------------------------------------------------------------------------


def test_a_build_file_says_the_second_length_or_leaves_it_out() -> None:
    build = aside(700, 600).build
    text = to_json(build)

    assert from_json(text) == build
    left_out = from_json(text.replace('"back_mm": 600', '"back_mm": null'))
    run = left_out.run("regulator_1")
    assert run and (run.cut_mm, run.back_mm) == (700, None)
    with pytest.raises(BuildProblem, match="back_mm"):
        from_json(text.replace('"back_mm": 600', '"back_mm": 650'))
