"""What changes from build to build, said as a fitter would, with figures that are the audit's."""

import random
from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any

import pytest

from optimiser import builds as b
from optimiser.differences import Order, changes, main_parts, one_line, shared_and_own, side_by_side, totals
from optimiser.differences.change import listed
from optimiser.fitted import cost_and_mass
from tests.differing import EACH, EXISTING_INVERTER, PANEL_175, TWO_ARRAYS, WORLD, turned
from tests.knobs import changed

MAIN_PARTS = (
    "2 x module-100", "2 x panel-100", "inverter-1500", "regulator-20", "alternator-charger-30", "mains-charger-30",
)  # fmt: skip


def _texts(before: b.Build, after: b.Build) -> list[str]:
    return [change.text for change in changes(WORLD.catalogue, before, after)]


@pytest.mark.parametrize("kind", EACH)
def test_each_kind_of_change_is_told_there_and_back(kind: str) -> None:
    before, knobs, there, back = EACH[kind]
    after = turned(before, knobs)
    assert "; ".join(_texts(before, after)) == there
    assert sorted(_texts(after, before)) == sorted(back.split("; "))


def test_every_place_in_the_order_is_taken_by_some_kind() -> None:
    found = {
        change.order
        for before, knobs, *_ in EACH.values()
        for change in changes(WORLD.catalogue, before, turned(before, knobs))
    }
    assert found == set(Order) - {Order.NUMBER}  # which has a test of its own


# --- numbering ---------------------------------------------------------------------------------------


def _renamed(build: b.Build, names: dict[str, str]) -> b.Build:
    """Arrays and regulators under other names."""
    names = names | {f"solar_{old}": f"solar_{new}" for old, new in names.items()}

    def name(old: str) -> str:
        return names.get(old, old)

    return replace(
        build,
        panels=tuple(replace(p, string=f"{name(p.string[0])}{p.string[1:]}") for p in build.panels),
        arrays=tuple(replace(a, name=name(a.name), regulator=name(a.regulator)) for a in build.arrays),
        fitted=tuple(replace(f, slot=name(f.slot)) for f in build.fitted),
        runs=tuple(replace(r, name=name(r.name)) for r in build.runs),
    )


def _numbered_otherwise(build: b.Build) -> b.Build:
    """Arrays a and b and their regulators under each other's names."""
    swap = {"a": "b", "b": "a", "regulator_1": "regulator_2", "regulator_2": "regulator_1"}
    return _renamed(build, swap)


def test_arrays_under_other_numbers_are_the_same_arrays() -> None:
    after = _numbered_otherwise(TWO_ARRAYS)
    assert _texts(TWO_ARRAYS, after) == ["arrays and regulators numbered otherwise"]
    larger = turned(after, {"fitted.regulator_1.part": "mppt-15"})  # of the array that was b
    assert _texts(TWO_ARRAYS, larger) == ["regulator mppt-15 for mppt-30", "arrays and regulators numbered otherwise"]


def test_arrays_that_differ_in_their_regulators_only_are_told_apart() -> None:
    alike = {"panels.2.panel": "panel-100", "panels.3.panel": "panel-100", "arrays.b.panel": "panel-100"}
    before = turned(TWO_ARRAYS, alike | {"arrays.b.roof_plane": "sun"})
    assert _texts(before, _numbered_otherwise(before)) == ["arrays and regulators numbered otherwise"]


def test_an_array_without_a_partner_keeps_its_own_name() -> None:
    after = _renamed(TWO_ARRAYS, {"a": "c"})
    assert _texts(WORLD.build, after)[2:] == [
        "array b added with 2 in series, 1 string",
        "arrays and regulators numbered otherwise",
    ]


def test_an_array_that_is_gone_leaves_its_name_to_another() -> None:
    after = turned(_numbered_otherwise(TWO_ARRAYS), EACH["second array"][1] | {"panels": ()})
    assert _texts(TWO_ARRAYS, after) == [
        "2 panel-100 dropped from roof",
        "2 panel-175 dropped from front",
        "regulator-20 dropped",
        "array a dropped",
        "arrays and regulators numbered otherwise",
    ]


# --- the line ----------------------------------------------------------------------------------------


def test_line_in_the_order_of_importance_with_the_audits_figures() -> None:
    before = turned(WORLD.build, {"bank.module": "module-150", "fitted.regulator_1.part": "mppt-15"})
    bank = {"bank.module": "module-280", "bank.parallel": 1, "bank.columns": 1}
    after = turned(before, PANEL_175 | {"fitted.regulator_1.part": "mppt-30"} | bank)
    line = one_line(WORLD.catalogue, before, after, totals(WORLD.case, WORLD.catalogue, before, after))
    # one module of 707.00 and 31.25 kg for two of 407.00 and 18 kg: price, 1.00 sundries, 6 minutes at 60 an hour;
    # and two links of 740 mm, 15 steps at 0.25 and 10 g, with four ends at 1.00
    assert line == (
        "one 280 Ah module for two of 150 Ah; 2 panel-175 for 2 panel-100; regulator mppt-30 for mppt-15"
        ": -114.75 cu, -4.9 kg"
    )


def test_line_without_figures_and_of_equal_builds() -> None:
    same = totals(WORLD.case, WORLD.catalogue, WORLD.build, WORLD.build)
    assert one_line(WORLD.catalogue, WORLD.build, WORLD.build) == "no change"
    assert one_line(WORLD.catalogue, WORLD.build, WORLD.build, same) == "no change: +0.00 cu, +0.0 kg"


def test_line_of_builds_that_differ_in_places_only() -> None:
    after = turned(WORLD.build, {"fitted.inverter.board": "nose.side", "fitted.bank.x_mm": 60})
    assert one_line(WORLD.catalogue, WORLD.build, after) == (
        "same parts, placed otherwise (inverter in nose for locker; one part moved within its bay)"
    )


def _left_out(after: b.Build, shown: int) -> list[str]:
    left = changes(WORLD.catalogue, WORLD.build, after)[shown:]
    of = listed(list(dict.fromkeys(change.order.of for change in left)), "other things") if left else ""
    return [f"... and {len(left)} smaller change{'s' * (len(left) != 1)} of {of}"] if left else []


def test_long_line_is_cut_after_what_matters_most() -> None:
    knobs = {knob: value for before, some, *_ in EACH.values() if before is WORLD.build for knob, value in some.items()}
    after = turned(WORLD.build, {knob: value for knob, value in knobs.items() if value is not None})
    told = _texts(WORLD.build, after)
    for width in (90, 100, 160, 250):
        line = one_line(WORLD.catalogue, WORLD.build, after, width=width)
        *shown, rest = line.split("; ")
        assert shown == told[: len(shown)] and len(line) <= width
        assert [rest] == _left_out(after, len(shown))
        assert one_line(WORLD.catalogue, WORLD.build, after, width=len(line)) == line
        assert len("; ".join([*told[: len(shown) + 1], *_left_out(after, len(shown) + 1)])) > width
    assert one_line(WORLD.catalogue, WORLD.build, after, width=10).startswith(f"{told[0]}; ... and ")  # one at least
    assert one_line(WORLD.catalogue, WORLD.build, after, width=10_000) == "; ".join(told)


def test_what_is_not_told_is_named_by_what_it_is_of() -> None:
    other = {"runs.main.cable": "dc-25", "runs.main.fuse": "fuse-125", "fitted.bank.x_mm": 60}
    after = turned(WORLD.build, PANEL_175 | other)

    line = one_line(WORLD.catalogue, WORLD.build, after, width=80)

    assert line == "2 panel-175 for 2 panel-100; ... and 3 smaller changes of cables, fuses and places"


def test_main_parts_come_in_the_order_of_changes() -> None:
    assert main_parts(WORLD.build) == MAIN_PARTS


def test_main_parts_of_several_builds_are_what_all_have_and_what_each_has_besides() -> None:
    one, two = {"panels.0.panel": "panel-175"}, PANEL_175 | {"fitted.regulator_1.part": "mppt-30"}
    builds = [WORLD.build, turned(WORLD.build, one), turned(WORLD.build, two)]

    shared, own = shared_and_own(builds)

    assert shared == [part for part in MAIN_PARTS if part not in ("2 x panel-100", "regulator-20")]
    assert own == [
        ["2 x panel-100", "regulator-20"],
        ["1 x panel-100", "1 x panel-175", "regulator-20"],
        ["2 x panel-175", "mppt-30"],
    ]
    assert shared_and_own(builds[:1]) == (list(MAIN_PARTS), [[]])


# --- figures -----------------------------------------------------------------------------------------

VALID = [kind for kind, (before, _, *_) in EACH.items() if kind != "board of the same bay"]  # a board that is not there


@pytest.mark.parametrize("kind", VALID)
def test_figures_are_the_audits_and_change_sign_on_the_way_back(kind: str) -> None:
    before, knobs, *_ = EACH[kind]
    after = turned(before, knobs)
    there = totals(WORLD.case, WORLD.catalogue, before, after)
    back = totals(WORLD.case, WORLD.catalogue, after, before)
    old, new = (cost_and_mass(WORLD.case, WORLD.catalogue, build) for build in (before, after))
    assert (there.cents, there.grams) == (new.cents - old.cents, new.grams - old.grams)
    assert (back.cents, back.grams) == (-there.cents, -there.grams)
    money, mass = there.text.removesuffix(" kg").split(" cu, ")
    assert (round(float(money) * 100), round(float(mass) * 1000)) == (there.cents, there.grams)
    assert money[0] in "+-" and mass[0] in "+-"


# --- nothing is missed -------------------------------------------------------------------------------

PARTS = {"panel": "panels", "module": "modules", "cable": "cables", "fuse": "fuses", "shunt": "shunts"}
PARTS |= {"vent": "vents", "entry": "entries"}
NAMES = {
    "zone": ("roof", "front"),
    "roof_plane": ("sun", "shade", ""),
    "string": ("a.1", "a.2", "b.1"),
    "regulator": ("regulator_1", "regulator_2", "alternator_charger"),
    "board": ("locker.wall", "nose.side", "box.floor"),
    "orientation": ("flat", "side", "end"),
    "start": ("box", "locker", "nose"),
    "end": ("box", "locker", "nose"),
    "ways": ((), ("main_way",), ("main_way", "tow_way")),
    "part": ("inverter-1500", "mppt-15", "mppt-30"),
    "purpose": ("sun", "shade", "aerial"),
    "bay": ("box", "locker", "nose"),
    "system_v": (12, 24, 48),
}
ROWS = ("panels", "arrays", "fitted", "runs", "vents", "measuring", "entries")


def _others(row: object) -> Iterator[tuple[str, Any]]:
    """Each field of a row with each other value it may have; names of slots, runs and arrays are no values."""
    for name in (field.name for field in fields(row)):  # type: ignore[arg-type]
        old = getattr(row, name)
        if name in PARTS:
            values: Any = WORLD.catalogue.of(PARTS[name])
        elif isinstance(old, bool):
            values = (not old,)
        elif isinstance(old, int) and name not in NAMES:
            values = (old + 1, old + 2)
        else:
            values = NAMES.get(name, ())
        if not (name == "part" and old == ""):  # a slot that carries no single part
            yield from ((name, value) for value in values if value != old)


def _steps(build: b.Build) -> list[b.Build]:
    """Every build that is one value or one row away."""
    found = [replace(build, system_v=24)]
    found += [replace(build, bank=_put(build.bank, name, value)) for name, value in _others(build.bank)]
    for group in ROWS:
        rows = getattr(build, group)
        for k, row in enumerate(rows):
            found += [_put(build, group, (*rows[:k], _put(row, *other), *rows[k + 1 :])) for other in _others(row)]
            found.append(_put(build, group, rows[:k] + rows[k + 1 :]))
    return found


def _put(owner: Any, name: str, value: Any) -> Any:
    return replace(owner, **{name: value})


@pytest.mark.parametrize("start", [WORLD.build, TWO_ARRAYS], ids=["one array", "two arrays"])
def test_every_single_step_is_told_both_ways(start: b.Build) -> None:
    steps = _steps(start)
    assert len(steps) > 500
    for step in steps:
        assert changes(WORLD.catalogue, start, step), step
        assert changes(WORLD.catalogue, step, start), step
        assert not changes(WORLD.catalogue, step, step)


def _plain(build: b.Build) -> tuple[object, ...]:
    """All that a build says but for case, claim and the order of its lists."""
    return build.system_v, build.bank, *(sorted(map(repr, getattr(build, group))) for group in ROWS)


def test_several_steps_are_told_unless_they_lead_back() -> None:
    rng = random.Random(4)
    seen = []
    for _ in range(60):
        build = TWO_ARRAYS
        for _ in range(rng.randint(1, 4)):
            build = rng.choice(_steps(build))
        seen.append(build)
    for one, other in zip(seen, [*seen[1:], TWO_ARRAYS], strict=True):
        assert bool(changes(WORLD.catalogue, one, other)) == (_plain(one) != _plain(other))
        assert one_line(WORLD.catalogue, one, other)


def test_case_claim_order_and_the_name_of_a_row_are_no_change() -> None:
    rng = random.Random(5)
    same = replace(TWO_ARRAYS, case="another", claim=b.Claim(status="best found", cost_cents=1))
    for group in ROWS:
        rows = list(getattr(same, group))
        rng.shuffle(rows)
        same = _put(same, group, tuple(rows))
    same = turned(same, {"fitted.bank.part": "module-100", "fitted.fuse_row.part": "fuse_row"})
    assert same != TWO_ARRAYS
    assert changes(WORLD.catalogue, TWO_ARRAYS, same) == ()


# --- side by side ------------------------------------------------------------------------------------


def test_side_by_side_says_what_each_has() -> None:
    before, after = WORLD.build, TWO_ARRAYS
    rows = {row.what: row for row in side_by_side(WORLD.case, WORLD.catalogue, before, after)}
    expected = {  # two panels at 27.00 and 1 kg, a regulator, a fuse and a holder at 17.00 and 0.5 kg, and
        # cables of 0.6 m and 2.3 m at 0.50 and 20 g the 100 mm, with six ends each at 1.00
        "cost": ("721.75 cu", "853.25 cu"),
        "mass": ("20.510 kg", "24.590 kg"),
        "system voltage": ("12 V", "12 V"),
        "bank": ("2 x module-100, 1 in series, 2 in parallel, 1 row of 2; 200 Ah",) * 2,
        "panels on roof": ("2 x panel-100", "2 x panel-100"),
        "panels on front": ("", "2 x panel-175"),
        "array a": ("panel-100, 2 in series, 1 string, on regulator-20",) * 2,
        "array b": ("", "panel-175, 2 in series, 1 string, on mppt-30"),
        "bank stands": ("on box floor", "on box floor"),
        "inverter": ("inverter-1500 on locker wall", "inverter-1500 on locker wall"),
        "regulator 2": ("", "mppt-30 on locker wall"),
        "shunts": ("1 x shunt-1x300, 1 x shunt-4x50",) * 2,
        "vents in locker": ("1 x grille", "1 x grille"),
        "entry aerial": ("1 x pass on nose side", "1 x pass on nose side"),
        "main run": ("50 mm2, 200 A bolt-in, 1.6 m", "50 mm2, 200 A bolt-in, 1.6 m"),
        "regulator 2 run": ("", "6 mm2, 40 A bolt-in, 0.6 m"),
        "array b run": ("", "6 mm2, 2.3 m"),
    }
    assert {what: (rows[what].before, rows[what].after) for what in expected} == expected
    assert [what for what, row in rows.items() if row.differs] == [
        "cost", "mass", "panels on front", "array b", "regulator 2", "regulator 2 run", "array b run"
    ]  # fmt: skip


def test_side_by_side_keeps_rows_in_an_order_that_suits_both() -> None:
    without = turned(TWO_ARRAYS, {"arrays.a": None, "fitted.main_fuse": None})
    whats = [row.what for row in side_by_side(WORLD.case, WORLD.catalogue, _lone(without), TWO_ARRAYS)]
    assert whats == [row.what for row in side_by_side(WORLD.case, WORLD.catalogue, TWO_ARRAYS, TWO_ARRAYS)]


def _lone(build: b.Build) -> b.Build:
    """Without the panels and the run of the array that is gone."""
    return replace(
        build,
        panels=tuple(p for p in build.panels if p.string != "a.1"),
        runs=tuple(r for r in build.runs if r.name != "solar_a"),
    )


def test_side_by_side_of_a_part_that_stays_and_of_two_cases() -> None:
    longer = changed(changed(WORLD, "ways.main_way.length_mm", 2000), "brief.labour_per_h", 120).case
    after = turned(WORLD.build, EXISTING_INVERTER)
    rows = side_by_side(WORLD.case, WORLD.catalogue, WORLD.build, after, case_after=longer)
    found = {row.what: (row.before, row.after) for row in rows if row.differs}
    cost = cost_and_mass(longer, WORLD.catalogue, after).cents
    assert found["cost"] == ("721.75 cu", f"{cost / 100:.2f} cu")
    assert found["inverter"] == ("inverter-1500 on locker wall", "inverter-1500 on locker wall (existing)")
    assert found["main run"] == ("50 mm2, 200 A bolt-in, 1.6 m", "50 mm2, 200 A bolt-in, 2.6 m")
