"""The fuse of each string: what it is chosen by and costs, and where it is told. Its limits are among the edges."""

import json
from dataclasses import replace

from optimiser.auditing import audit, breaches
from optimiser.basis import money
from optimiser.builds import from_json, to_json
from optimiser.fitted import Fit, cost_and_mass
from optimiser.parts import StringFuse
from optimiser.schedules import labels, materials, protection
from optimiser.solve import Impossible, Solved, optimise
from tests.asking import broken, taken, world
from tests.edges_string_fuses import FUSE, FUSED
from tests.explaining import STOP
from tests.handmade import World


def fuse(rating_a: float, **other: float) -> StringFuse:
    return FUSE.model_copy(update={"name": f"string-fuse-{rating_a:g}", "rating_a": rating_a, **other})


def test_panels_whose_maker_names_no_fuse_cannot_have_one() -> None:
    at = world(*FUSED, ("parts.panel-100.fuse_max_a", 0))

    assert broken(at) == {"string.fuse_under_panel[a]"}
    assert not taken(at)


def best(*fuses: StringFuse) -> Solved | Impossible:
    """The cheapest with panels where each string wants a fuse, and these there are."""
    at = world(*FUSED[1:3], ("limits.solar_w", 200), *(("more.string_fuses", each) for each in fuses))
    answer = optimise(at.case, at.catalogue, "cheapest", stop=STOP)
    assert isinstance(answer, (Solved, Impossible))
    if isinstance(answer, Solved):
        assert not breaches(audit(at.case, at.catalogue, answer.build))
    return answer


def test_the_one_chosen_is_the_best_of_all_tried_one_by_one() -> None:
    """The naive twin: a solve for each fuse alone. Of two alike the smaller."""
    many = (fuse(6), fuse(8.5), fuse(12, price=4), fuse(15, price=4), fuse(16, price=1), fuse(10, volt_max_v=40))
    alone = {each.name: best(each) for each in many}
    together = best(*many)

    costs = {name: answer.cost_cents for name, answer in alone.items() if isinstance(answer, Solved)}
    assert set(costs) == {"string-fuse-8.5", "string-fuse-12", "string-fuse-15"}  # 6 A too little, 16 A too much
    assert isinstance(together, Solved) and together.cost_cents == min(costs.values())
    assert {array.fuse for array in together.build.arrays} == {"string-fuse-12"}


def test_without_a_fuse_that_suits_there_is_no_build() -> None:
    assert isinstance(best(fuse(6)), Impossible)
    assert isinstance(best(), Impossible)


def test_each_string_has_one_in_price_mass_and_bill() -> None:
    bare, fused = world(), world(*FUSED)
    without, with_them = (cost_and_mass(at.case, at.catalogue, at.build) for at in (bare, fused))
    one = money.part_worth(FUSE, fused.case.brief.labour_per_h)

    assert (with_them.cents - without.cents, with_them.grams - without.grams) == one
    two = as_strings(fused)
    assert cost_and_mass(two.case, two.catalogue, two.build).grams - without.grams == 2 * one.grams
    rows = [row for row in materials(Fit(two.case, two.catalogue, two.build)).rows if FUSE.name in row]
    assert len(rows) == 1 and 2 in rows[0]


def as_strings(at: World) -> World:
    """Its array of two in series as two strings of one."""
    arrays = tuple(replace(array, series=1, parallel=2) for array in at.build.arrays)
    panels = tuple(replace(panel, string=f"a.{k}") for k, panel in enumerate(at.build.panels, 1))
    return World(at.case, at.catalogue, replace(at.build, arrays=arrays, panels=panels))


def test_it_is_told_where_fuses_and_labels_are() -> None:
    at = world(*FUSED)
    fit, findings = Fit(at.case, at.catalogue, at.build), audit(at.case, at.catalogue, at.build)

    told = [row for row in protection(fit, findings).rows if row[0] == "string fuse"]
    assert len(told) == 1 and FUSE.name in told[0]
    assert any("string of a: 10 A" in str(cell) for row in labels(fit).rows for cell in row)


def test_a_build_written_without_fuses_is_read() -> None:
    at = world()
    data = json.loads(to_json(at.build))
    assert data["arrays"][0].pop("fuse") == ""

    assert from_json(json.dumps(data)).arrays == at.build.arrays
