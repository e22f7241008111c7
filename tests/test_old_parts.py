"""What comes out of a vehicle: fitted again, sold, or to waste; its weight leaves with it."""

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.catalogue import Catalogue
from optimiser.cli import main
from optimiser.fitted import Fit, cost_and_mass
from optimiser.fitted.old_parts import old_uses
from optimiser.moves import moved, parse_set
from optimiser.reading import read_case
from optimiser.reading.shipped import shipped_cases
from optimiser.schedules import materials
from optimiser.schedules.materials import lines, sums
from optimiser.solve import Solved, optimise
from tests.asking import Change, broken, found, taken, world
from tests.explaining import STOP
from tests.reading_help import problems_of

X, Y = 1000, 200


def named(part: str) -> str:
    return f"old_{part or 'thing'}".replace("-", "_")


def old(part: str = "", count: int = 1, value: float = 0, **other: float) -> c.OldPart:
    return c.OldPart(name=named(part), part=part, count=count, value=value, x_mm=X, y_mm=Y, **other)


def out(*rows: c.OldPart) -> Change:
    return "old_parts", rows


def uses(*changes: Change) -> list[int]:
    at = world(*changes)
    return [use.again for use in old_uses(Fit(at.case, at.catalogue, at.build))]


def less(*rows: c.OldPart, given: tuple[Change, ...] = ()) -> tuple[int, int]:
    """What these make of cost and mass [cents, g]."""
    bare, with_it = world(*given), world(*given, out(*rows))
    one = cost_and_mass(bare.case, bare.catalogue, bare.build)
    other = cost_and_mass(with_it.case, with_it.catalogue, with_it.build)
    return other.cents - one.cents, other.grams - one.grams


def test_what_only_goes_takes_its_weight_along_and_brings_what_it_is_sold_for() -> None:
    """Two of 12.5 kg, six minutes each at 60 an hour, sold for 40 each."""
    assert less(old(count=2, value=40, mass_kg=12.5, minutes=6)) == (2 * (600 - 4000), -25_000)


def test_what_is_fitted_again_is_not_bought() -> None:
    """A regulator of 10.00 and 0.5 kg; sundries and labour of fitting it stay, and it is not sold."""
    assert uses(out(old("regulator-20", value=4))) == [1]
    assert less(old("regulator-20", value=4, minutes=6)) == (600 - 1000, -500)
    assert less(old("regulator-20", count=3, value=4)) == (-1000 - 2 * 400, -1500)


def test_of_panels_too_the_old_ones_go_on_the_roof_first() -> None:
    """Of three old ones two are on the roof; the mounting kits are bought."""
    assert uses(out(old("panel-100", count=3))) == [2]
    assert less(old("panel-100", count=3, value=5)) == (-2 * 1000 - 500, -3 * (500 + 500))


@pytest.mark.parametrize(("count", "joins", "again"), [(1, False, 0), (1, True, 1), (2, False, 2), (5, False, 2)])
def test_old_modules_are_alone_unless_their_maker_lets_new_ones_join(count: int, joins: bool, again: int) -> None:
    assert uses(out(old("module-100", count=count)), ("parts.module-100.joins_old", joins)) == [again]


def test_what_stays_is_no_old_part_that_is_fitted_again() -> None:
    at = world()
    fitted = tuple(replace(f, existing=f.slot == "mains_box") for f in at.build.fitted)
    assert uses(("fitted", fitted), out(old("mains-box-2"))) == [0]


def test_the_hitch_feels_it() -> None:
    """10 kg behind the axle at 2 m, the coupling 3 m ahead of it: 10 kg less at 1 m adds a third of that."""
    before, after = found("mass.hitch_high"), found("mass.hitch_high", out(old(mass_kg=10)))
    assert after.actual - before.actual == pytest.approx(10 * 1000 / 3000)
    left, less_left = found("mass.balance").actual, found("mass.balance", out(old(mass_kg=10))).actual
    assert left < 2 * 10 * Y / 1800 and left + less_left == pytest.approx(2 * 10 * Y / 1800)  # now the right has more
    assert found("mass.payload", out(old(mass_kg=10))).actual == pytest.approx(found("mass.payload").actual - 10)


ROWS = {
    "goes": old(count=2, value=40, mass_kg=12.5, minutes=6),
    "regulator": old("regulator-20", value=4, minutes=12),
    "panels": old("panel-100", count=3, value=5),
    "modules": old("module-100", count=2, value=30),
    "dear": old("regulator-20", value=90),  # sold for more than a new one costs
    "inverter": old("inverter-1500", count=2),
}


@pytest.mark.parametrize("key", ROWS)
def test_model_and_audit_count_it_alike(key: str) -> None:
    """The model of the world by hand, pinned to its build: its cost and mass are the audit's."""
    at = world(out(ROWS[key]))
    assert broken(at) == set() and taken(at)
    for want in ("cheapest", "lightest"):
        found = optimise(at.case, at.catalogue, want, stop=STOP)
        assert isinstance(found, Solved)
        worth = cost_and_mass(at.case, at.catalogue, found.build)
        assert (worth.cents, worth.grams) == (found.cost_cents, found.mass_g)
        assert not breaches(audit(at.case, at.catalogue, found.build))


@pytest.mark.parametrize("key", ROWS)
def test_the_bill_adds_up(key: str) -> None:
    at = world(out(ROWS[key]))
    fit = Fit(at.case, at.catalogue, at.build)
    assert sums(lines(fit)).worth == cost_and_mass(at.case, at.catalogue, at.build)
    told = "\n".join(" | ".join(map(str, row)) for row in materials(fit).rows)
    assert named(ROWS[key].part) in told and "taken out" in told


# --- what a case may say ----------------------------------------------------------------------------------


HEADER = "name,part,count,mass_kg,x_mm,y_mm,value,minutes\n"


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("battery,,1,0,100,0,0,5", "mass_kg", "0 without a part; expected what each weighs, above 0"),
        ("sun,panel-100-rigid,1,7,100,0,0,5", "mass_kg", "7 beside part 'panel-100-rigid', which knows its own"),
        ("lead,cable-mains-4,1,0,100,0,0,5", "part", "'cable-mains-4' cannot be fitted again; expected"),
        ("fold,panel-100-rigd,1,0,100,0,0,5", "part", "'panel-100-rigd' cannot be fitted again; expected"),
        ("a,panel-50-rigid,1,0,9,0,0,5\nb,panel-50-rigid,2,0,9,0,0,5", "part", "'panel-50-rigid' stands in row 2 too"),
    ],
)
def test_what_is_refused(folder: Path, catalogue: Catalogue, row: str, column: str, said: str) -> None:
    (folder / "old_parts.csv").write_text(HEADER + row + "\n", encoding="utf-8")

    found = problems_of(lambda: read_case(folder, catalogue))

    assert [p.column for p in found if p.message.startswith(said) and p.file == "old_parts.csv"] == [column], found


def test_check_says_what_comes_out() -> None:
    lines = CliRunner().invoke(main, ["check", "older-caravan"]).output
    assert "Old parts, taken out:" in lines and "1 x leisure_battery: 24.5 kg each; else to waste" in lines
    assert "1 x old_charger: may be fitted again as mains-charger-12-15; 40 each if sold" in lines


def test_a_value_of_it_is_moved_by_its_address(catalogue: Catalogue) -> None:
    case = read_case(shipped_cases() / "older-caravan", catalogue)
    after = moved(case, catalogue, parse_set("old_part.old_charger.value=55")).case
    assert {row.name: row.value for row in after.old_parts}["old_charger"] == 55
