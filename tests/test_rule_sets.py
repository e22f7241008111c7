"""The shipped rule sets of regions: what differs from the default, how surely it is known, and what it changes."""

import re
from dataclasses import replace
from math import floor, pi
from typing import get_args

import pytest

import optimiser
from optimiser.auditing import audit, breaches
from optimiser.catalogue import Catalogue
from optimiser.pipeline import side_by_side
from optimiser.rules import KNOWN, RuleSet, State
from tests.packing_help import shipped

REGIONS = ("au-nz", "eu-uk", "us-ca")
DIFFER: dict[str, dict[str, tuple[float, str, str]]] = {
    "au-nz": {
        "tail_distance_mm": (999, "second hand", "AS/NZS 3001.2:2022 section 5.4 as quoted elsewhere"),
        "solar_ceiling_v": (60, "memory", "touch-safe step of AS/NZS 5033:2021 from memory and not confirmed"),
        "string_fuse_from": (2, "second hand", "AS/NZS 3001.2:2022 as quoted elsewhere by a weak source and not con"),
    },
    "eu-uk": {
        "fuse_of_ampacity": (0.906, "second hand", "IEC 60364-4-43 433.1 as quoted elsewhere"),
        "bundle_factor": (0.5, "second hand", "IEC 60364-5-52 table B.52.17 item 1 as quoted elsewhere"),
        "bundle_from_mm": (0, "second hand", "IEC 60364-5-52 table B.52.17 as quoted elsewhere: no length"),
        "fill_many": (0.35, "second hand", "IET On-Site Guide appendix E as quoted elsewhere"),
        "solar_ceiling_v": (60, "memory", "touch-safe step of IEC 60364-4-41 from memory and not confirmed"),
    },
    "us-ca": {
        "fuse_distance_mm": (178, "read", "33 CFR 183.455(b)(1): 7 in along the conductor (stated for boats)"),
        "dc_section_min_mm2": (1.31, "read", "33 CFR 183.425(d): single conductors of at least 16 AWG"),
        "bundle_factor": (
            0.5,
            "second hand",
            "33 CFR 183.425 note 2 as quoted elsewhere, of 7 to 24 conductors (stated for",
        ),
        "solar_ceiling_v": (60, "memory", "touch-safe step of IEC 60364-4-41 from memory and not confirmed"),
        "main_section_min_mm2": (2.09, "memory", "14 AWG for circuits of 15 A from memory and not confirmed"),
    },
}
"""Rule set -> figure that has another value than the default's: the value, how sure it is, how its source begins."""
BY_ANOTHER_SOURCE: dict[str, dict[str, tuple[str, str]]] = {
    "au-nz": {
        "fuse_distance_mm": ("second hand", "AS/NZS 3001.2:2022 section 5.4 as quoted elsewhere; that"),
        "drop_share_mains": ("memory", "Australian and New Zealand figure for low voltage from memory"),
        "bank_in_living": ("memory", "AS/NZS 3001.2:2022 from memory and not confirmed"),
    },
    "eu-uk": {
        "fuse_distance_mm": ("second hand", "ISO 10133:2000 8.1 as quoted elsewhere (stated for small craft)"),
        "fill_few": ("second hand", "NEC chapter 9 table 1 as quoted elsewhere"),
    },
    "us-ca": {
        "fuse_of_ampacity": ("second hand", "ISO 13297:2020 13.1.5 (stated for a.c.)"),
        "drop_share": ("second hand", "ABYC E-11 for critical circuits as quoted elsewhere (stated for boats"),
        "bank_in_living": ("second hand", "NEC 552.10(D) of 2008 as quoted elsewhere"),
        "restraint_along_g": ("second hand", "UN R100"),
        "restraint_across_g": ("second hand", "UN R100"),
    },
}
"""Likewise of figures with the default's value."""
SAFER = {figure: -1 for of in DIFFER.values() for figure in of} | {"dc_section_min_mm2": 1, "main_section_min_mm2": 1}
"""Which way of a figure asks more of a build: thicker conductors, and less of all else."""


@pytest.mark.parametrize("name", REGIONS)
def test_what_differs_from_the_default_is_this_and_nothing_else(name: str, catalogue: Catalogue) -> None:
    found, rules = side_by_side(catalogue, name), catalogue.rule_sets[name]
    differs = {figure: found.differs(rules, figure) for figure in KNOWN}

    assert {figure for figure, what in differs.items() if what == "value"} == set(DIFFER[name])
    assert {figure for figure, what in differs.items() if what == "source"} == set(BY_ANOTHER_SOURCE[name])
    for figure, (value, state, begins) in DIFFER[name].items():
        assert (rules[figure], rules.figures[figure].state) == (value, state), figure
        assert rules.figures[figure].source.startswith(begins), figure
    for figure, (state, begins) in BY_ANOTHER_SOURCE[name].items():
        assert rules.figures[figure].state == state and rules.figures[figure].source.startswith(begins), figure


def test_every_figure_of_every_set_may_be_so_and_has_a_source_and_a_state(catalogue: Catalogue) -> None:
    for rules in catalogue.rule_sets.values():
        assert set(rules.figures) == set(KNOWN)
        for name, figure in rules.figures.items():
            assert KNOWN[name].allows(figure.value) and figure.unit == KNOWN[name].unit, name
            assert len(figure.source) > 10 and figure.state in get_args(State), name


def said(rules: RuleSet) -> dict[str, tuple[State, str]]:
    """State and source of each figure."""
    return {name: (figure.state, figure.source) for name, figure in rules.figures.items()}


@pytest.mark.parametrize("name", ["default", "small-craft", *REGIONS])
def test_nothing_that_is_not_confirmed_looks_like_a_clause(name: str, catalogue: Catalogue) -> None:
    """Of AS/NZS 3001.2:2022 only section 5.4 was seen quoted; a clause from memory is none."""
    clause = re.compile(r"section|clause|\b\d{1,3}\.\d+\.\d+", re.IGNORECASE)
    for figure, (state, source) in said(catalogue.rule_sets[name]).items():
        if state == "memory" or "not confirmed" in source:
            assert not clause.search(source), figure
        for section in re.findall(r"AS/NZS 3001\.2:2022 section (\S+)", source):
            assert (section, state) == ("5.4", "second hand"), figure


@pytest.mark.parametrize("name", REGIONS)
def test_no_region_asks_less_than_the_default(name: str, catalogue: Catalogue) -> None:
    default, rules = catalogue.rule_sets["default"], catalogue.rule_sets[name]
    for figure in DIFFER[name]:
        assert (rules[figure] - default[figure]) * SAFER[figure] > 0, figure


def test_figures_that_were_calculated(catalogue: Catalogue) -> None:
    """1.45 / 1.6 = 0.90625, cut off. 16 AWG is 0.005 in x 92^(20/39) = 0.05082 in thick: 1.3087 mm2, rounded up; 14 AWG
    0.005 in x 92^(22/39) = 0.06408 in: 2.0809 mm2. Under 1.0 m is 999 mm at most."""
    rules = catalogue.rule_sets
    assert rules["eu-uk"]["fuse_of_ampacity"] == floor(1000 * 1.45 / 1.6) / 1000
    for gauge, mm2, figure in ((16, 1.3087, "dc_section_min_mm2"), (14, 2.0809, "main_section_min_mm2")):
        section_mm2 = pi / 4 * (25.4 * 0.005 * 92 ** ((36 - gauge) / 39)) ** 2
        assert section_mm2 == pytest.approx(mm2, abs=1e-4)
        assert 0 < rules["us-ca"][figure] - section_mm2 < 0.01
    assert rules["au-nz"]["tail_distance_mm"] == 1000 - 1


# --- what a region's set changes for a build that was made by the default -----------------------------

Limit = tuple[float, float, bool]  # by the default, by the other, whether it is still met
CHANGED: dict[str, dict[str, Limit]] = {
    "au-nz": {  # one panel of 27 V on the coldest morning: no string beside it, no voltage near 60
        "string.parallel[array_1]": (2, 1, True),
        "string.ceiling[array_1]": (120, 60, True),
        "run.tail_distance": (1016, 999, True),
    },
    "eu-uk": {  # five cables share a way: 0.5 for 0.7 of what they carry, and 0.906 of that for their fuses
        "string.ceiling[array_1]": (120, 60, True),
        "run.ampacity[main]": (214.13, 152.95, True),
        "run.ampacity[regulator_1]": (28.8, 20.57, True),
        "run.ampacity[dc_loads]": (37.57, 26.83, True),
        "run.ampacity[inverter_out]": (9.22, 6.58, True),
        "run.fuse_under_cable[main]": (214.13, 138.57, False),  # a fuse of 150 A
        "run.fuse_under_cable[inverter]": (190.69, 172.77, True),  # by itself in its bay
        "run.fuse_under_cable[regulator_1]": (28.8, 18.64, False),  # of 20 A
        "run.fuse_under_cable[dc_loads]": (37.57, 24.31, True),
        "way.fill[side_wall]": (785.4, 687.22, True),  # 50 mm of bore: 1963.5 mm2
    },
    "us-ca": {
        **{f"run.section[{run}]": (1, 1.31, True) for run in ("main", "inverter", "regulator_1", "solar_array_1")},
        "run.section[dc_loads]": (1, 1.31, True),
        "run.section[inverter_out]": (1.5, 2.09, False),
        "string.ceiling[array_1]": (120, 60, True),
        "run.ampacity[main]": (214.13, 152.95, True),
        "run.ampacity[regulator_1]": (28.8, 20.57, True),
        "run.ampacity[dc_loads]": (37.57, 26.83, True),
        "run.ampacity[inverter_out]": (9.22, 6.58, True),
        "run.fuse_under_cable[main]": (214.13, 152.95, True),
        "run.fuse_under_cable[regulator_1]": (28.8, 20.57, True),
        "run.fuse_under_cable[dc_loads]": (37.57, 26.83, True),
        "run.fuse_distance": (200, 178, True),
    },
}
"""What differs of what is asked of it: of 236 requirements, and whether they are met."""
BREACHED: dict[tuple[str, str], set[str]] = {
    ("grey-month-van", "au-nz"): {"string.ceiling[array_2]"},
    ("grey-month-van", "eu-uk"): {
        "string.ceiling[array_2]", "run.copper[alternator]", "run.copper[alternator_feed]",
        "run.fuse_under_cable[main]", "run.fuse_under_cable[alternator]", "run.fuse_under_cable[alternator_feed]",
    },
    ("grey-month-van", "us-ca"): {
        "string.ceiling[array_2]", "run.copper[alternator]", "run.fuse_under_cable[alternator]",
        "run.section[inverter_out]", "run.section[mains_feed]", "run.section[mains_inlet]",
    },
    ("travelling-clinic", "au-nz"): {"string.ceiling[array_1]", "string.parallel[array_2]"},
    ("travelling-clinic", "eu-uk"): {
        "string.ceiling[array_1]", "run.ampacity[solar_array_1]", "run.ampacity[solar_array_2]",
        "run.ampacity[dc_loads]", "run.ampacity[mains_inlet]", "run.copper[regulator_1]", "run.copper[regulator_2]",
        "run.fuse_under_cable[regulator_1]", "run.fuse_under_cable[regulator_2]",
    },
    ("travelling-clinic", "us-ca"): {
        "string.ceiling[array_1]", "run.ampacity[solar_array_1]", "run.ampacity[solar_array_2]",
        "run.ampacity[dc_loads]", "run.ampacity[mains_inlet]", "run.copper[regulator_1]", "run.copper[regulator_2]",
        "run.fuse_under_cable[regulator_1]", "run.fuse_under_cable[regulator_2]", "run.section[inverter_out]",
        "run.section[mains_feed]",
    },
}  # fmt: skip
"""Of the larger vehicles, what their cheapest builds then breach."""


@pytest.mark.parametrize("name", REGIONS)
def test_what_changes_for_the_stored_trailer(name: str, catalogue: Catalogue) -> None:
    """Its cheapest build, which meets all that the default asks. By hand: 214.13 x 0.5 / 0.7 = 152.95, x 0.906 =
    138.57; 1963.5 x 0.35 = 687.2."""
    fit = shipped("tiny-trailer")
    case = replace(fit.case, rules=catalogue.rule_sets[name])

    before, after = (audit(its, catalogue, fit.build) for its in (fit.case, case))

    assert [f.requirement for f in before] == [f.requirement for f in after]
    assert all(f.ok for f in before)
    changed = {
        new.requirement: (round(old.limit, 2), round(new.limit, 2), new.ok)
        for old, new in zip(before, after, strict=True)
        if (old.limit, old.ok) != (new.limit, new.ok)
    }
    assert changed == CHANGED[name]


@pytest.mark.slow
@pytest.mark.parametrize(("vehicle", "name"), BREACHED)
def test_what_the_stored_builds_of_larger_vehicles_breach(vehicle: str, name: str, catalogue: Catalogue) -> None:
    fit = shipped(vehicle)
    case = replace(fit.case, rules=catalogue.rule_sets[name])

    assert {f.requirement for f in breaches(audit(case, catalogue, fit.build))} == BREACHED[vehicle, name]


SOLVED = {"default": 3435.44, "small-craft": 3435.44, "au-nz": 3435.44, "eu-uk": None, "us-ca": 3437.12}
"""Rule set -> what the cheapest of the tiny trailer costs by it, proven; none where it has no build, proven too."""


@pytest.mark.slow
@pytest.mark.parametrize(("rule_set", "cost"), SOLVED.items())
def test_what_the_best_of_a_shipped_case_comes_to_by_each(rule_set: str, cost: float | None) -> None:
    """Thicker cables by us-ca; by eu-uk cables beside each other stand half from the first millimetre on, and the
    inverter's run has none that would do."""
    trial = optimiser.what_if(optimiser.read("tiny-trailer"), [f"rule_set={rule_set}"], seconds=120)

    assert trial.status == ("impossible" if cost is None else "proven")
    if cost is not None:
        assert trial.after.best == round(100 * cost)
