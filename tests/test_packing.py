"""Panel packing against published optima, and against trying every place on tiny sheets.

Pallet loading and 2D knapsack instances are read from the shared benchmark folder, which names the source of
each; only those whose optimum was proven there are used. They go through the same calls the roof uses.
"""

import csv
import json
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.model.packing import (
    DoesNotFit,
    Fits,
    Item,
    MomentLimit,
    PackResult,
    Placed,
    Rect,
    Sheet,
    clashes,
    extreme_moment,
    fits,
    most_count,
    most_value,
)

SHARED = Path(__file__).resolve().parents[2] / "shared" / "benchmarks"

PALLETS = [
    "dowsland1",
    "dowsland2",
    "dowsland4",
    "dowsland5",
    "dowsland7",
    "dowsland8",
    "L2",
    "L3",
    "L5",
    "L6",
    "L8",
    "L9",
]
KNAPSACKS = [*(f"ngcutap{k}" for k in (2, 3, 5, 6, 8, 9, 11, 12, 14)), "cgcut1", "gcut1", "gcut5"]


def shared(name: str) -> str:
    """The text of a benchmark file, or a skip where the folder is not at hand."""
    path = SHARED / name
    if not path.exists():
        pytest.skip(f"the benchmark file {name} is not beside this checkout")
    return path.read_text(encoding="utf-8")


def pallet(name: str) -> dict[str, str]:
    row = next((r for r in csv.DictReader(shared("pallet_loading.csv").splitlines()) if r["name"] == name), None)
    if row is None:
        pytest.skip(f"{name} is not in this share of the benchmark set")
    assert row["verified_by_us"] == "yes"
    return row


def knapsack(name: str) -> dict[str, Any]:
    instances = json.loads(shared("packing_knapsack.json"))["instances"]
    found = next((i for i in instances if i["name"] == name), None)
    if found is None:
        pytest.skip(f"{name} is not in this share of the benchmark set")
    return dict(found)


def items_of(instance: dict[str, Any]) -> list[Item]:
    return [
        Item(name=f"item-{k}", length=w, width=h, turns=(False,), value=value, most=most)
        for k, (w, h, most, value) in enumerate(instance["items_w_h_max_value"])
    ]


def frame(length: int, width: int) -> Sheet:
    """A sheet of that size cut out of the middle of a larger one, whose rest is blocked."""
    big_x, big_y, x, y = length + 30, width + 20, 11, 7
    rest = (
        Rect(x=0, y=0, length=x, width=big_y),
        Rect(x=x + length, y=0, length=big_x - x - length, width=big_y),
        Rect(x=0, y=0, length=big_x, width=y),
        Rect(x=0, y=y + width, length=big_x, width=big_y - y - width),
    )
    return Sheet(length=big_x, width=big_y, blocked=rest)


# --- published optima --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PALLETS)
def test_pallet_loading(name: str) -> None:
    row = pallet(name)
    box = Item(name="box", length=int(row["l"]), width=int(row["w"]))

    result = most_count(Sheet(length=int(row["L"]), width=int(row["W"])), box)

    assert result.proven
    assert result.value == int(row["optimum"])


@pytest.mark.parametrize("name", KNAPSACKS)
def test_two_dimensional_knapsack(name: str) -> None:
    instance = knapsack(name)
    assert instance["fixed"]["verified_by_us"] == "yes"

    result = most_value(Sheet(length=instance["W"], width=instance["H"]), items_of(instance))

    assert result.proven
    assert result.value == instance["fixed"]["published"]


@pytest.mark.parametrize("name", ["ngcutap2", "ngcutap3", "ngcutap5"])
def test_knapsack_among_obstacles(name: str) -> None:
    instance = knapsack(name)

    result = most_value(frame(instance["W"], instance["H"]), items_of(instance))

    assert result.proven
    assert result.value == instance["fixed"]["published"]


@pytest.mark.parametrize("name", ["dowsland1", "L2"])
def test_pallet_among_obstacles(name: str) -> None:
    row = pallet(name)
    box = Item(name="box", length=int(row["l"]), width=int(row["w"]))

    result = most_count(frame(int(row["L"]), int(row["W"])), box)

    assert result.proven
    assert result.value == int(row["optimum"])


# --- every place of a tiny sheet -----------------------------------------------------------------------


def every_packing(sheet: Sheet, items: list[Item], gap: int) -> list[list[Placed]]:
    """All packings of at most three copies of each item, whole mm by whole mm; the naive twin."""
    spots = [
        Placed(name=item.name, x=x, y=y, rotated=rotated)
        for item in items
        for rotated in item.turns
        for x, y in product(range(sheet.length + 1), range(sheet.width + 1))
    ]
    alone = [spot for spot in spots if not clashes(sheet, items, [spot], gap=gap)]
    apart = {
        (i, j)
        for i in range(len(alone))
        for j in range(i + 1, len(alone))
        if not clashes(sheet, items, [alone[i], alone[j]], gap=gap)
    }
    limits = {item.name: 3 if item.most is None else min(3, item.most) for item in items}
    found: list[list[int]] = [[]]
    done: list[list[int]] = [[]]
    while found:
        grown = [
            [*chosen, k]
            for chosen in found
            for k in range(chosen[-1] + 1 if chosen else 0, len(alone))
            if all((i, k) in apart for i in chosen)
            and sum(alone[i].name == alone[k].name for i in chosen) < limits[alone[k].name]
        ]
        done += grown
        found = grown
    return [[alone[i] for i in chosen] for chosen in done]


SIDE = st.integers(4, 7)
RECT = st.builds(
    lambda x, y, length, width: Rect(x=x, y=y, length=length, width=width),
    st.integers(-1, 5), st.integers(-1, 5), st.integers(1, 3), st.integers(1, 3),
)  # fmt: skip


@settings(max_examples=40, derandomize=True, deadline=None, database=None)
@given(
    length=SIDE,
    width=SIDE,
    blocked=st.lists(RECT, max_size=2),
    gap=st.integers(0, 1),
    one=st.tuples(st.integers(2, 4), st.integers(2, 3)),
    other=st.tuples(st.integers(3, 5), st.integers(2, 3)),
    turns=st.sampled_from([(False,), (True,), (False, True)]),
)
def test_same_as_trying_every_place(
    length: int,
    width: int,
    blocked: list[Rect],
    gap: int,
    one: tuple[int, int],
    other: tuple[int, int],
    turns: tuple[bool, ...],
) -> None:
    sheet = Sheet(length=length, width=width, blocked=tuple(blocked))
    items = [
        Item(name="one", length=one[0], width=one[1], turns=turns, value=3, most=2),
        Item(name="other", length=other[0], width=other[1], value=5, most=2),
    ]
    values = {item.name: item.value for item in items}
    packings = every_packing(sheet, items, gap)

    result = most_value(sheet, items, gap=gap)

    assert result.proven
    assert not clashes(sheet, items, result.placed, gap=gap)
    assert result.value == max(sum(values[p.name] for p in packing) for packing in packings)
    for counts in product(range(3), range(2)):
        wanted = {item: n for item, n in zip(items, counts, strict=True) if n}
        if not wanted:
            continue
        exists = any(
            all(sum(p.name == item.name for p in packing) == n for item, n in zip(items, counts, strict=True))
            for packing in packings
        )
        assert isinstance(fits(sheet, wanted, gap=gap), Fits if exists else DoesNotFit)


# --- where the weight lies -----------------------------------------------------------------------------

ROOF = Sheet(length=9, width=6, blocked=(Rect(x=3, y=2, length=2, width=2),))
ONE = Item(name="one", length=3, width=2, most=2)
WEIGHT = {"one": 5}


def moments(axis: str) -> list[int]:
    """Every moment two copies may have."""
    found = []
    for packing in every_packing(ROOF, [ONE], 1):
        if len(packing) == 2:
            ends = [(p.x, p.y, *ONE.extent(p.rotated)) for p in packing]
            found.append(sum(5 * (2 * x + dx if axis == "x" else 2 * y + dy) for x, y, dx, dy in ends))
    return found


@pytest.mark.parametrize("largest", [False, True])
@pytest.mark.parametrize("axis", ["x", "y"])
def test_extreme_moment_is_the_extreme_of_all(axis: Any, largest: bool) -> None:
    result = extreme_moment(ROOF, {ONE: 2}, axis=axis, weights=WEIGHT, gap=1, largest=largest)

    assert isinstance(result, PackResult) and result.proven
    assert result.value == (max if largest else min)(moments(axis))


@pytest.mark.parametrize("axis", ["x", "y"])
def test_moment_limit_just_inside_and_just_outside(axis: Any) -> None:
    most = max(moments(axis))
    inside = MomentLimit(weight_per_item=WEIGHT, axis=axis, low=most, high=most + 100)
    outside = MomentLimit(weight_per_item=WEIGHT, axis=axis, low=most + 1, high=most + 100)

    assert isinstance(fits(ROOF, {ONE: 2}, gap=1, moments=[inside]), Fits)
    assert isinstance(fits(ROOF, {ONE: 2}, gap=1, moments=[outside]), DoesNotFit)


# --- does it fit at all --------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", ["feasible", "infeasible"])
def test_orthogonal_packing(answer: str) -> None:
    """Instances of Clautiaux, Carlier and Moukrim (2007), as the benchmark folder gives them."""
    data = json.loads(shared("orthogonal_packing.json"))
    chosen = [i for i in data["instances"] if i["verified_by_us"] == "yes" and i["cpsat_answer"] == answer][:5]
    assert chosen
    for instance in chosen:
        sheet = Sheet(length=instance["W"], width=instance["H"])
        sizes: dict[tuple[int, int], int] = {}
        for w, h in instance["rects_w_h"]:
            sizes[w, h] = sizes.get((w, h), 0) + 1
        counts = {Item(name=f"{w}x{h}", length=w, width=h, turns=(False,)): n for (w, h), n in sizes.items()}
        assert isinstance(fits(sheet, counts), Fits if answer == "feasible" else DoesNotFit), instance["name"]
