"""A channel of a shunt stands what the fuse of its current lets through, and its terminal takes the current's cable.

By hand: a shunt of 300 A and a hub of four channels of 50 A; the inverter behind 175 A in 50 mm2, both chargers behind
40 A in 16 mm2, the loads behind 10 A in 6 mm2, and the array's one string of 5.2 x 1.25 = 6.5 A in 6 mm2.
"""

import random
from dataclasses import replace
from typing import NamedTuple

import networkx as nx
import pytest

from optimiser import builds as b
from optimiser.auditing.measuring import check
from optimiser.catalogue import Catalogue
from optimiser.fitted import Fit
from optimiser.fitted.channels import channels, most_measured, section_mm2, through_a
from optimiser.fitted.currents import currents
from optimiser.model.assemble import assemble
from optimiser.parts import Shunt
from optimiser.solve import Solved, optimise
from tests import handmade
from tests.asking import Change, broken, taken, world
from tests.handmade import World
from tests.schedules_help import fit_made
from tests.test_measured_behind import aside
from tests.test_twins import STOP, case, catalogue, like
from tests.worlds import AT_24_V

HUB, ALONE = "parts.shunt-4x50", "parts.shunt-1x300"


# --- which cable: of the run that the current is measured in --------------------------------------------


@pytest.mark.parametrize(("takes", "holds"), [(25, True), (24, False)])
def test_the_cable_of_the_panels_counts_where_they_are_measured(takes: float, holds: bool) -> None:
    """A string in 25 mm2 on the hub; behind its regulator, in 6 mm2, it is none of the hub's business."""
    changes: tuple[Change, ...] = (("parts.solar-6.section_mm2", 25), (f"{HUB}.terminal_mm2", takes))

    assert broken(world(*changes)) == (set() if holds else {"measure.channels[25 mm2]"})
    assert taken(world(*changes)) is holds
    assert broken(aside(*changes)) == set()
    assert taken(aside(*changes))


@pytest.mark.parametrize(("takes", "holds"), [(25, True), (24, False)])
def test_the_cable_of_the_regulator_counts_behind_it(takes: float, holds: bool) -> None:
    changes: tuple[Change, ...] = (("runs.regulator_1.cable", "dc-25"), (f"{HUB}.terminal_mm2", takes))

    assert broken(aside(*changes)) == (set() if holds else {"measure.channels[25 mm2]"})
    assert taken(aside(*changes)) is holds
    assert broken(world(*changes)) == set()
    assert taken(world(*changes))


@pytest.mark.parametrize(("takes", "holds"), [(25, True), (24, False)])
def test_the_cable_of_the_loads_counts_behind_a_step_down_without_a_fuse(takes: float, holds: bool) -> None:
    changes: tuple[Change, ...] = (("runs.dc_loads.cable", "dc-25"), (f"{HUB}.terminal_mm2", takes))
    at = world(*AT_24_V, *changes)

    assert ("measure.channels[25 mm2]" in broken(at)) is not holds
    assert taken(at, lambda name: name == "measure.channels") is holds


def test_a_terminal_that_nobody_knows_takes_any_cable() -> None:
    changes = tuple((f"{shunt}.terminal_mm2", 0) for shunt in (HUB, ALONE))

    assert broken(world(*changes)) == set()
    assert taken(world(*changes))


# --- both at once: no channel stands it that also takes it ----------------------------------------------


@pytest.mark.parametrize(("spare", "holds"), [(1, True), (0, False)])
def test_what_takes_the_cable_of_a_small_current_may_be_taken_by_a_large_one(spare: int, holds: bool) -> None:
    """Loads of 10 A in 25 mm2, where the hub takes 16: by rating the hub has room, by terminals alone the shunt of
    300 A takes 70, but that one is the inverter's. A second shunt is enough."""
    changes: tuple[Change, ...] = (
        *(("runs.dc_loads.cable", "dc-25"), (f"{HUB}.terminal_mm2", 16)),
        ("measuring", (b.Measuring("shunt-1x300", 1 + spare), b.Measuring("shunt-4x50", 1))),
    )
    at = world(*changes)

    found = {f.requirement: f for f in check(fit_made(at)) if f.name == "measure.channels"}
    assert found["measure.channels[25 mm2]"].ok is holds
    assert found["measure.channels[25 mm2]"].limit == 2
    assert all(f.ok for name, f in found.items() if name != "measure.channels[25 mm2]")  # it is told once
    assert taken(at, lambda name: name == "measure.channels") is holds


def test_the_channel_proposed_for_a_small_current_takes_its_cable() -> None:
    """The same with two shunts: the loads leave the hub, where the least rating alone would have put them."""
    at = world(
        *(("runs.dc_loads.cable", "dc-25"), (f"{HUB}.terminal_mm2", 16)),
        ("measuring", (b.Measuring("shunt-1x300", 2), b.Measuring("shunt-4x50", 1))),
    )
    by = {c.current.run: c.shunt.name for c in channels(fit_made(at)) if c.current}

    assert by == {
        **dict.fromkeys(("inverter", "dc_loads"), "shunt-1x300"),
        **dict.fromkeys(("alternator", "mains_charger", "solar_a"), "shunt-4x50"),
    }


def test_what_is_left_is_counted_with_what_is_taken() -> None:
    """For the inverter's cable the one shunt; for all of 16 mm2 or more, the least of them behind 40 A, five."""
    found = {f.requirement: (f.limit, f.actual) for f in check(fit_made(world())) if f.name == "measure.channels"}

    assert found["measure.channels[50 mm2]"] == (1, 1)
    assert found["measure.channels[16 mm2]"] == (3, 5)
    assert found["measure.channels[6 mm2]"] == (5, 5)


def test_all_of_it_is_given_up_together() -> None:
    """A current that is not measured wants neither rating nor terminal: one name in the model, without places."""
    at = world((f"{HUB}.terminal_mm2", 15))

    posted = assemble(at.case, at.catalogue).posted
    assert {name for name in posted if name.startswith("measure.channels")} == {"measure.channels"}
    assert not taken(at)
    assert taken(at, lambda name: name != "measure.channels")


# --- the solver: what it costs ---------------------------------------------------------------------------


def test_a_terminal_decides_which_shunts_are_bought() -> None:
    """Loads 40 m away want 16 mm2. A hub of two at 12 + 1 + 6 measures them and the panels; if it takes 10 mm2 only,
    a shunt at 14 + 1 + 6 of 0.5 kg is bought beside it, as two of these would cost 2 more."""
    at = case(nose=False)
    far = (way.model_copy(update={"length_mm": 40_000}) if way.name == "loads_way" else way for way in at.ways)
    at = replace(at, ways=tuple(far))
    hub = like("shunt-4x50", "shunt-2x50", channels=2, price=12)
    alone = like("shunt-1x300", "shunt-1x100", rating_a=100, price=14)
    few = {key: [next(iter(catalogue().of(key).values()))] for key in ("panels", "regulators", "modules")}
    wide, tight = (
        optimise(at, catalogue(shunts=[alone, part], **few), "cheapest", stop=STOP)
        for part in (hub, hub.model_copy(update={"terminal_mm2": 10}))
    )

    assert isinstance(wide, Solved) and isinstance(tight, Solved)
    loads = tight.build.run("dc_loads")
    assert loads and loads.cable == "dc-16"
    assert {m.shunt: m.count for m in wide.build.measuring} == {"shunt-2x50": 1}
    assert {m.shunt: m.count for m in tight.build.measuring} == {"shunt-1x100": 1, "shunt-2x50": 1}
    assert (tight.cost_cents - wide.cost_cents, tight.mass_g - wide.mass_g) == (2100, 500)


# --- every way there is to give channels to currents ----------------------------------------------------


class Need(NamedTuple):
    """What a current asks of its channel, read off the names of its fuse and cable."""

    amps: float
    mm2: float


ROOF = handmade.build().panels
RUNS = ("inverter", "alternator", "mains_charger", "dc_loads")
CABLES = ("dc-6", "dc-16", "dc-25", "dc-50")
TWO_STRINGS: tuple[Change, ...] = (  # on either side of the hatch
    ("arrays.a.parallel", 2),
    ("panels", (*ROOF, *(replace(ROOF[0], x_mm=x_mm, y_mm=-500, string="a.2") for x_mm in (600, 2400)))),
)
MANY = 300
FUSES = ("fuse-10", "fuse-30", "fuse-40", "fuse-50", "fuse-175")


def drawn(seed: int) -> World:
    """Fuses, cables and shunts at random: of three kinds, whose ratings and terminals say nothing of each other."""
    draw = random.Random(seed)
    made = world(("parts.solar-6.section_mm2", draw.choice((6, 16, 25))), *draw.choice(((), TWO_STRINGS)))
    runs = tuple(
        replace(r, cable=draw.choice(CABLES), fuse=draw.choice(FUSES)) if r.name in RUNS else r for r in made.build.runs
    )
    like = made.catalogue.find("shunt-1x300")
    assert isinstance(like, Shunt)
    shunts = {}
    for name in ("one", "two", "three"):
        figures = {
            "rating_a": draw.choice((9, 30, 40, 50, 175, 300)),
            "terminal_mm2": draw.choice((0, 6, 16, 25, 50)),
            "channels": draw.choice((1, 2, 4)),
        }
        shunts[name] = like.model_copy(update={"name": name, **figures})
    counts = {name: draw.choice((0, 1, 1, 2)) for name in shunts}
    measuring = tuple(b.Measuring(name, n) for name, n in counts.items() if n)
    parts = Catalogue({**made.catalogue.tables, "shunts": shunts}, {})
    return World(made.case, parts, replace(made.build, runs=runs, measuring=measuring))


def needs(at: World) -> list[Need]:
    """One for each run that is measured, and one for each string."""
    found = [
        Need(float(r.fuse.removeprefix("fuse-")), float(r.cable.removeprefix("dc-")))
        for r in at.build.runs
        if r.name in RUNS
    ]
    solar = at.catalogue.find("solar-6")
    return [*found, *[Need(6.5, solar.section_mm2)] * at.build.arrays[0].parallel]  # type: ignore[union-attr]


def places(at: World) -> list[Shunt]:
    """A shunt for each channel there is."""
    kinds = at.catalogue.of("shunts")
    return [kinds[m.shunt] for m in at.build.measuring for _ in range(m.count * kinds[m.shunt].channels)]


def does(shunt: Shunt, need: Need, *, terminals: bool = True) -> bool:
    """Whether a channel of it is for that."""
    takes = not terminals or shunt.terminal_mm2 == 0 or shunt.terminal_mm2 >= need.mm2
    return bool(shunt.rating_a >= need.amps and takes)


def tried(at: World, *, terminals: bool = True) -> int:
    """The most that have a channel each, by every way to hand channels out: in every order, each of each kind or none.

    Channels of one kind are alike, so what counts of a way is only how many of each kind are left.
    """
    kinds = sorted({s.name for s in places(at)})
    of = at.catalogue.of("shunts")
    left = tuple(sum(s.name == kind for s in places(at)) for kind in kinds)
    reached = {left: 0}
    for need in needs(at):
        more = dict(reached)
        for state, given in reached.items():
            for k, kind in enumerate(kinds):
                if state[k] and does(of[kind], need, terminals=terminals):
                    after = (*state[:k], state[k] - 1, *state[k + 1 :])
                    more[after] = max(more.get(after, 0), given + 1)
        reached = more
    return max(reached.values())


def matched(at: World) -> int:
    """The same by a matching of a graph, which is others' code."""
    graph: nx.Graph[tuple[str, int]] = nx.Graph()
    ours = [("current", k) for k, _ in enumerate(needs(at))]
    graph.add_nodes_from(ours)
    for k, need in enumerate(needs(at)):
        for n, shunt in enumerate(places(at)):
            if does(shunt, need):
                graph.add_edge(("current", k), ("channel", n))
    return len(nx.bipartite.maximum_matching(graph, top_nodes=ours)) // 2


@pytest.mark.parametrize("first", range(0, MANY, 50))
def test_the_channels_proposed_are_as_many_as_there_can_be(first: int) -> None:
    """And each holds its current; what the audit says is missing is what is missing, and told once."""
    for seed in range(first, first + 50):
        at = drawn(seed)
        fit = Fit(at.case, at.catalogue, at.build)
        most, by_rating = tried(at), tried(at, terminals=False)

        given = [c for c in channels(fit) if c.current]
        assert len(given) == most == matched(at), seed
        assert most_measured(fit, currents(fit), terminals=False) == by_rating, seed
        for channel in given:
            assert channel.current
            assert does(channel.shunt, Need(through_a(fit, channel.current), section_mm2(fit, channel.current))), seed

        found = [f for f in check(fit) if f.name == "measure.channels"]
        assert all(f.ok for f in found) == (most == len(needs(at))), seed
        if by_rating == len(needs(at)):
            missing = sum(max(0, f.limit - f.actual) for f in found if f.place.endswith("mm2"))
            assert missing == by_rating - most, seed


def test_the_worlds_drawn_are_of_every_kind() -> None:
    """Or what is above would show little: all measured, too little for the fuses, too little for the cables alone."""
    seen = {"all": 0, "fuses": 0, "cables": 0}
    for seed in range(MANY):
        at = drawn(seed)
        wanted = len(needs(at))
        seen["all" if tried(at) == wanted else "cables" if tried(at, terminals=False) == wanted else "fuses"] += 1

    assert min(seen.values()) >= MANY // 10, seen


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_the_model_takes_what_has_a_channel_for_each(first: int) -> None:
    seen = set()
    for seed in range(first, first + 20):
        at = drawn(seed)
        holds = tried(at) == len(needs(at))
        seen.add(holds)

        assert taken(at, lambda name: name == "measure.channels") is holds, seed
        assert taken(at, lambda _: False), seed
    assert seen == {True, False}
