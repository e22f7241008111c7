"""What the list of runs, the cutting list and the protection say beside their figures."""

from dataclasses import replace

import pytest

from optimiser.fitted import Fit
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.schedules.cables import cables
from optimiser.schedules.labels import labels
from optimiser.schedules.links import link_list
from optimiser.schedules.materials import not_in_the_build
from optimiser.schedules.pieces import pieces
from optimiser.schedules.protection import protection
from optimiser.schedules.run_lengths import longest_mm
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import every_build, fit_made, found_in, only_row

# --- ways with mains and low voltage in them -------------------------------------------------------------


def _divided_way(name: str) -> World:
    made = world()
    ways = tuple(w.model_copy(update={"carries": "any", "divided": w.name == name}) for w in made.case.ways)
    return World(replace(made.case, ways=ways), made.catalogue, made.build)


def test_a_divided_way_with_one_kind_only_is_as_any_other() -> None:
    """The inlet's cable lies alone; with the loads' beside it both say so (tests/approved/24-volt/page.txt)."""
    schedule = cables(fit_made(_divided_way("inlet_way")))

    assert schedule.rows and not any("divided" in str(cell) for row in schedule.rows for cell in row)
    assert not any("divided" in note for note in schedule.notes)


# --- how long a run may become ---------------------------------------------------------------------------


def _links_mm(fit: Fit) -> float:
    """Of the cutting list's links, the length in which all the bank's current would lose as much, by whichever string.

    + leaves the first string and - the last: between strings k and k + 1 of n that of + carries what n - k of them
    give, that of - what k give. One gives the nth part, or more by the share of its sum that a bank can use. [mm]
    """
    strings = fit.build.bank.parallel
    one = 1 / (strings * fit.case.rules["parallel_share"]) if strings > 1 else 1.0
    lost = [0.0] * strings
    for link in link_list(fit):
        first, pole = int(link.start.split()[1].strip(",")) if strings > 1 else 1, link.start[-1]
        if "module" in link.start:
            giving, through = 1, range(first - 1, first)
        elif pole == "+":
            giving, through = strings - first, range(first, strings)
        else:
            giving, through = first, range(first)
        for string in through:
            lost[string] += min(1.0, giving * one) * link.cut_mm
    return max(lost)


def _by_ohms_law(fit: Fit, run: str, one_way_mm: float) -> float:
    """Out and back along its own run and those before it, and through the links behind the main run; copper at 0.393 %
    a kelvin above 20 C [V]."""
    wanted, laid = required_runs(fit)[run], routed_runs(fit)
    own_a = wanted.amps if wanted.drop_a is None else wanted.drop_a
    parts = [(own_a, 2 * one_way_mm, laid[run].cable)]
    parts += [(amps, 100 * sum(laid[before].core_steps), laid[before].cable) for before, amps in wanted.behind]
    main_a = own_a if run == "main" else dict(wanted.behind).get("main", 0.0)
    parts.append((main_a, _links_mm(fit), laid["main"].cable))
    cold_v = sum(amps * mm / 1000 * cable.ohm_per_km / 1000 for amps, mm, cable in parts)
    return cold_v * (1 + 0.00393 * (fit.case.rules["conductor_c"] - 20))


@every_build
def test_the_longest_length_told_is_by_ohms_law(name: str, want: str) -> None:
    fit = shipped(name, want)
    wanted, power = required_runs(fit), [one for one in routed_runs(fit).values() if one.cable.kind != "data"]
    assert power
    for laid in power:
        run, longest = laid.run.name, longest_mm(fit, laid)
        allowed_v = wanted[run].volt * wanted[run].share
        assert longest and _by_ohms_law(fit, run, longest) <= allowed_v < _by_ohms_law(fit, run, longest + 1), run


# --- ends ------------------------------------------------------------------------------------------------


@every_build
def test_no_thread_is_made_up(name: str, want: str) -> None:
    fit = shipped(name, want)
    texts = [str(cell) for row in (*pieces(fit).rows, *labels(fit).rows) for cell in row]

    assert not any(f"M{size}" in text.split() for text in texts for size in (4, 5, 6, 8, 10))


# --- from the busbar to the fuse row ---------------------------------------------------------------------


def test_the_reading_of_the_vans_row() -> None:
    """The row, 298 by 160 from x 27, ends at 325; the busbar begins at x 355; they share heights."""
    fit = shipped("grey-month-van", "lightest")
    (note,) = [note for note in protection(fit, ()).notes if "behind the main fuse only" in note]

    assert tail_mm(fit) == 355 - 325
    assert "at least 30 mm" in note and "95 mm2" in note and "studs" in note and "in the price" in note
    assert not any("fuse row" in line for line in not_in_the_build(fit))


# --- studs, and ways of the mains box --------------------------------------------------------------------


def _shared(made: World, what: str) -> str:
    return str(only_row(protection(fit_made(made), found_in(made)), "what", what)["remark"])


@pytest.mark.parametrize(
    ("circuits", "left"), [(2, "no way is left"), (3, "1 way is left"), (4, "2 ways are left"), (1, "no way is left")]
)
def test_ways_of_the_mains_box_that_are_left(circuits: int, left: str) -> None:
    made = changed(world(), "parts.mains-box-2.circuits", circuits)  # two circuits are required
    said = _shared(made, "mains_box")

    assert f"circuits beside its breakers for inlet and feeds of chargers; 2 required: {left}" in said
    assert ("a main residual-current device" in said and "a larger box" in said) == (circuits <= 2)


def test_what_protects_a_mains_run_is_told_where_the_box_has_it() -> None:
    def remark(run: str, made: World) -> str:
        return str(only_row(protection(fit_made(made), found_in(made)), "protects run", run)["remark"])

    for run in ("mains_inlet", "mains_feed"):
        assert "the mains box has a breaker for it, of no rating in the catalogue" in remark(run, world())
    assert "what protects it is not in the build" in remark("inverter_out", world())
    assert all("licensed electrician settles it" in remark(run, world()) for run in ("mains_inlet", "inverter_out"))
    boxless = changed(world(), "fitted.mains_box", None)
    assert "what protects it is not in the build" in remark("mains_inlet", boxless)
    missing = "; ".join(not_in_the_build(fit_made(world())))
    assert "what protects the mains cable from the inverter" in missing and "to inlet" not in missing
