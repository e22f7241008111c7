"""Links of the bank: length, price, mass and what is lost in them, by hand, and by audit and model alike.

A module of the world by hand is 300 x 170 x 210 with 20 to the next, so 320 or 190 from one to the next. Nobody
measured its terminals, so a link goes up and over, 2 x 210, and from + to - as far as 300 + 170 more. 100 mm of one
core cost 0.25 and weigh 10 g, an end costs 1.00.
"""

from dataclasses import replace
from itertools import pairwise
from random import Random
from typing import Any

import numpy as np
import pytest

from optimiser.basis import links
from optimiser.basis.links import Links
from optimiser.basis.money import CostAndMass
from optimiser.builds import Run
from optimiser.case import RuleFigure
from optimiser.fitted import Fit, cost_and_mass
from optimiser.fitted.figures import added
from optimiser.fitted.links import as_one_way_m, in_words, links_of
from optimiser.parts import Module
from optimiser.schedules.links import link_list
from optimiser.schedules.pieces import pieces
from tests import handmade
from tests.asking import Changes, broken, finding, taken, world
from tests.edges import MODULES_FUSED
from tests.handmade import World
from tests.schedules_help import fit_made, rows_of
from tests.worlds import AT_24_V, THREE_FUSED

CASE = handmade.case()
TWO_BY_TWO: Changes = (
    *AT_24_V,
    *(("bank." + key, 2) for key in ("parallel", "rows", "columns")),
    ("boards.floor.width_mm", 600),
)
ON_THE_FRONT: dict[str, Any] = {"terminal_sides": ("front",), "terminal_offset_mm": 100, "lug_room_mm": 25}
# series and parallel, in a string and from string to string as drawn, total, worth of the links
BY_HAND: dict[str, tuple[Changes, tuple[int, int], int, CostAndMass]] = {
    # two of 320 + 420: 15 steps, 4 ends
    "1s2p": ((), (0, 740), 1480, CostAndMass(15 * 25 + 400, 150)),
    # one of 320 + 420 + 470: 13 steps, 2 ends
    "2s1p": (AT_24_V, (1210, 0), 1210, CostAndMass(13 * 25 + 200, 130)),
    # row by row: two of 1210, two of 190 + 420; 37 steps, 8 ends
    "2s2p": (TWO_BY_TWO, (1210, 610), 2 * 1210 + 2 * 610, CostAndMass(37 * 25 + 800, 370)),
}


def _with(name: str, share: float) -> Any:
    figures = CASE.rules.figures | {name: RuleFigure(share, "", "made up for a test", "memory")}
    return replace(CASE, rules=replace(CASE.rules, figures=figures))


def _module(**other: Any) -> Module:
    module = handmade.catalogue().find("module-100")
    assert isinstance(module, Module)
    return module.model_copy(update=other)


def _bank(series: int, parallel: int, rows: int, case: Any = CASE, **other: Any) -> Links:
    size = {"series": series, "parallel": parallel, "rows": rows, "columns": series * parallel // rows}
    return links.of_bank(case, _module(**other), orientation="flat", **size)


# --- lengths -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BY_HAND)
def test_lengths_price_and_mass_by_hand(name: str) -> None:
    changes, each, total_mm, worth = BY_HAND[name]
    at = world(*changes)
    fit = Fit(at.case, at.catalogue, at.build)
    found = links_of(fit)

    assert found is not None
    assert ((found.in_string_mm if found.in_strings else 0), (found.rail_mm if found.in_rails else 0)) == each
    assert found.total_mm == total_mm
    (item,) = (item for item in added(fit) if item.what == "links of the bank")
    assert (item.worth, item.x_mm, item.place) == (worth, 2500, "box")


def test_each_end_takes_what_the_rule_set_says() -> None:
    """Two links of 740, with 50 or 51 at each end."""
    assert [_bank(1, 2, 1, _with("end_mm", mm)).total_mm for mm in (50, 51)] == [1480 + 4 * 50, 1480 + 4 * 51]


def test_a_single_module_has_none_nor_a_bank_without_a_main_run() -> None:
    alone = world(("bank.parallel", 1), ("bank.columns", 1))
    bare = world(("runs", tuple(run for run in handmade.build().runs if run.name != "main")))
    for at in (alone, bare):
        fit = Fit(at.case, at.catalogue, at.build)
        assert links_of(fit) is None and link_list(fit) == [] and as_one_way_m(fit) == 0 and in_words(fit) == []


def test_from_a_pole_to_the_same_it_is_from_module_to_module_where_terminals_are_in_front() -> None:
    """100 from the middle of 300, anywhere across 170: 370 from any to any."""
    pair, series = _bank(1, 2, 1, **ON_THE_FRONT), _bank(2, 1, 1, **ON_THE_FRONT)
    assert (pair.rail_mm, series.in_string_mm) == (320, 320 + 200 + 170)


def test_terminals_that_face_the_next_module_without_room_go_over_it() -> None:
    """30 for lug and bend, in 20 or 40 between modules."""
    facing = ON_THE_FRONT | {"terminal_sides": ("right",), "lug_room_mm": 30}
    tight, roomy = (_bank(1, 2, 1, **facing, clear_length_mm=mm) for mm in (20, 40))
    assert tight.rail_mm > 320 and roomy.rail_mm == 340


@pytest.mark.parametrize(("rows", "columns"), [(0, 0), (3, 1), (-1, -2)])
def test_a_block_that_is_not_of_its_modules_is_a_row_of_them(rows: int, columns: int) -> None:
    found = links.of_bank(CASE, _module(), series=1, parallel=2, rows=rows, columns=columns, orientation="flat")
    assert found == _bank(1, 2, 1)


def test_a_bank_of_more_than_anybody_counts_is_as_long_as_its_block() -> None:
    """65 in a row: 64 steps of 320, as against one of 320."""
    assert _bank(1, 65, 1, **ON_THE_FRONT).rail_mm == 64 * 320
    assert _bank(1, 64, 1, **ON_THE_FRONT).rail_mm == 320


def _naive(series: int, parallel: int, rows: int) -> int:
    """Total of the best order: each module's place by its number, each link by itself."""
    columns, totals = series * parallel // rows, []
    for by_row, back in ((True, False), (True, True), (False, False), (False, True)):
        along = columns if by_row else rows
        spots = []
        for number in range(series * parallel):
            line, place = divmod(number, along)
            place = along - 1 - place if back and line % 2 else place
            spots.append((place * 320, line * 190) if by_row else (line * 320, place * 190))
        mm = [[abs(a[0] - b[0]) + abs(a[1] - b[1]) for b in spots] for a in spots]
        inside = [mm[k][k + 1] + 890 for k in range(series * parallel - 1) if (k + 1) % series]
        firsts = range(0, series * parallel, series)
        rails = [mm[a + end][b + end] + 420 for a, b in pairwise(firsts) for end in (0, series - 1)]
        totals.append(len(inside) * max(inside, default=0) + len(rails) * max(rails, default=0))
    return min(totals)


def test_the_order_that_takes_least_as_counted_link_by_link() -> None:
    rng, seen = Random(1), set()
    for _ in range(60):
        series, parallel = rng.randint(1, 4), rng.randint(1, 5)
        count = series * parallel
        rows = rng.choice([r for r in range(1, count + 1) if count % r == 0])
        if count > 1:
            found = _bank(series, parallel, rows)
            assert found.total_mm == _naive(series, parallel, rows), (series, parallel, rows)
            seen.add(found.order)
    assert len(seen) > 2


# --- what is lost ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("series", "parallel", "share", "mm"),
    [
        (2, 1, 1.0, 1210),  # all of the current
        (1, 2, 1.0, 0.5 * 740),  # a string's half in the one link on its way
        (2, 2, 1.0, 0.5 * 610 + 0.5 * 1210),
        (1, 4, 1.0, (0.75 + 0.5 + 0.75) * 740),  # by the second string: three and two before it, three behind
        (1, 4, 0.9, (0.75 + 0.5 + 0.75) / 0.9 * 740),  # the busiest carries 1 / 3.6
        (1, 2, 0.5, 740),  # one may carry all
        (1, 4, 0.3, 3 * 740),  # so each link may; a string no more than all there is
    ],
)
def test_the_core_that_loses_as_much_by_hand(series: int, parallel: int, share: float, mm: float) -> None:
    case = _with("parallel_share", share)
    rows = 2 if min(series, parallel) > 1 else 1
    assert _bank(series, parallel, rows, case).carrying_mm(case) == pytest.approx(mm)


@pytest.mark.parametrize("parallel", [2, 3, 4, 5])
@pytest.mark.parametrize("link_mohm", [0.01, 0.1, 1.0])
def test_it_is_no_less_than_strings_that_are_alike_lose(parallel: int, link_mohm: float) -> None:
    """Strings of 4 mohm, solved as a network: 1 A out at the first string's + and in at the last one's -.

    Unknown are the potentials of + and - at each string; what modules alone would lose is taken off.
    """
    string = 4.0
    count = 2 * parallel
    conducts = np.zeros((count, count))
    joined = [(k, parallel + k, string) for k in range(parallel)]
    joined += [(side + k, side + k + 1, link_mohm) for side in (0, parallel) for k in range(parallel - 1)]
    for one, other, mohm in joined:
        for a, b in ((one, other), (other, one)):
            conducts[a, a] += 1 / mohm
            conducts[a, b] -= 1 / mohm
    drawn = np.zeros(count)
    drawn[0], drawn[-1] = -1, 1
    potentials = np.linalg.lstsq(conducts, drawn, rcond=None)[0]
    lost = potentials[-1] - potentials[0] - string / parallel

    assert 0 < lost <= _bank(1, parallel, 1).carrying_mm(CASE) / 740 * link_mohm * (1 + 1e-9)


# --- audit and model alike ---------------------------------------------------------------------------


@pytest.mark.parametrize("name", BY_HAND)
def test_the_model_counts_them_to_the_cent_and_the_gram(name: str) -> None:
    at = world(*BY_HAND[name][0])
    cents, grams = cost_and_mass(at.case, at.catalogue, at.build)

    def held(budget: int, payload: int) -> tuple[bool, bool]:
        bounds = ("limits.budget", budget / 100), ("vehicle.payload_kg", payload / 1000)
        made = world(*BY_HAND[name][0], *bounds)
        return broken(made) == set(), taken(made)

    assert held(cents, grams) == (True, True)
    assert held(cents - 1, grams) == held(cents, grams - 1) == (False, False)


def test_links_that_cost_nothing_weigh_all_the_same() -> None:
    """Of a cable that is in stock, fitted at no rate: two of 740 are 15 steps of 10 g."""
    free = (("brief.labour_per_h", 0), *((f"parts.dc-50.{key}", 0) for key in ("price", "sundries", "end_price")))
    at = world(*free)
    (item,) = (item for item in added(Fit(at.case, at.catalogue, at.build)) if item.what == "links of the bank")
    assert item.worth == CostAndMass(0, 150)


def test_what_is_lost_in_them_counts_up_to_the_limit() -> None:
    """Two strings of two at 24 V: 1500 / 0.9 / 24 = 69.444 A for the inverter and 90 / 0.9 / 24 = 4.167 for the rest
    through 2 x 1.6 m and 0.91 m, 69.444 through 1.2 m more, of 0.386 x 1.1965 mohm a metre: 0.17822 of 24."""
    inside, outside = (world(*TWO_BY_TWO, ("rules.drop_share_inverter", share)) for share in (0.00743, 0.00742))
    assert broken(inside) == set() and taken(inside)
    assert broken(outside) == {"run.drop[inverter]"} and not taken(outside)
    assert finding(outside, "run.drop[inverter]").actual == pytest.approx(0.17822, abs=1e-5)


def test_the_holder_of_a_strings_fuse_takes_them_too() -> None:
    """The links from + to +, and the main run, end on it: of 50 mm2."""
    inside, outside = (world(*MODULES_FUSED, ("parts.holder-terminal.terminal_mm2", mm2)) for mm2 in (50, 49))
    assert broken(inside) == set() and taken(inside)
    assert broken(outside) == {"run.terminal[main]"} and not taken(outside)


# --- what is cut -------------------------------------------------------------------------------------


def _cut(at: World) -> list[tuple[object, ...]]:
    names = ("piece", "from", "to", "as drawn", "for its ends", "cut", "cable")
    rows = rows_of(pieces(fit_made(at)))
    return [tuple(row[name] for name in names) for row in rows if str(row["piece"]).startswith("B")]


def test_the_cutting_list_has_each_with_a_mark_and_what_it_joins() -> None:
    at = world(*TWO_BY_TWO, ("rules.end_mm", 50))
    assert _cut(at) == [
        ("B1", "string 1, module 1 +", "string 1, module 2 -", 1210, 100, 1310, "dc-50"),
        ("B2", "string 2, module 1 +", "string 2, module 2 -", 1210, 100, 1310, "dc-50"),
        ("B3", "string 1 +", "string 2 +", 610, 100, 710, "dc-50"),
        ("B4", "string 1 -", "string 2 -", 610, 100, 710, "dc-50"),
    ]
    assert any("Bought as 4100 mm of one core: 60 mm are left" in note for note in pieces(fit_made(at)).notes)


@pytest.mark.parametrize(("changes", "fuses"), [((), ""), (MODULES_FUSED, ""), (THREE_FUSED, "through 2 of them")])
def test_what_several_fuses_feed_a_link_with_is_warned_of(changes: Changes, fuses: str) -> None:
    """A link between two strings carries what the strings on one side of a fault give: one of two, two of three."""
    told = " ".join(pieces(fit_made(world(*changes))).notes)
    assert ("before one opens" in told) is bool(fuses)
    assert fuses in told


def test_they_are_of_the_main_runs_cable() -> None:
    thinner = tuple(replace(r, cable="dc-25") if r.name == "main" else r for r in handmade.build().runs)
    assert isinstance(thinner[0], Run)
    assert {row[-1] for row in _cut(world(("runs", thinner)))} == {"dc-25"}
    assert [row[0] for row in _cut(world())] == ["B1", "B2"]
    assert in_words(fit_made(world())) == ["50 mm2", "2 x 740 mm from string to string"]
