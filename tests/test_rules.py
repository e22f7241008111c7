"""Figures of a rule set: what each may be, and what is said of one that is wrong, unknown or left out."""

from pathlib import Path

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves import MoveProblem, moved, parse_set
from optimiser.reading import read_case, read_catalogue, shipped_cases
from optimiser.rules import KNOWN
from tests.handmade import RULES
from tests.reading_help import line_of, problems_of


@pytest.fixture(scope="module")
def case(catalogue: Catalogue) -> Case:
    """A shipped case."""
    return read_case(shipped_cases() / "tiny-trailer", catalogue)


def row_of(text: str, rule_set: str, figure: str) -> str:
    """The row of a figure."""
    return next(line for line in text.split("\n") if line.startswith(f"{rule_set},{figure},"))


ENDS = {  # figure: just inside, just outside
    "fuse_distance_mm": ((0, 10_000), (-1, 10_001)),
    "tail_distance_mm": ((0, 10_000), (-1, 10_001)),
    "fuse_over_load": ((1, 3), (-1, 0.99, 3.01)),
    "fuse_of_ampacity": ((0.5, 2), (0.49, 2.01)),
    "module_fuse_from_ah": ((0, 100_000), (-1, 100_001)),
    "terminal_c": ((40, 250), (-300, 39, 251)),
    "bundle_factor": ((0.01, 1), (-1, 0, 1.01)),
    "bundle_from_mm": ((0, 10_000), (-1, 10_001)),
    "conductor_c": ((20, 250), (-300, 19, 251)),
    **{
        f"drop_share{run}": ((0.01, 1), (-1, 0, 1.01)) for run in ("", "_inverter", "_solar", "_feed", "_mains")
    },
    "fill_few": ((0.01, 1), (0, 1.01)),
    "fill_many": ((0.01, 1), (0, 1.01)),
    "main_section_min_mm2": ((0.1, 10), (0, 10.1)),
    "dc_section_min_mm2": ((0.1, 10), (0, 10.1)),
    "solar_current_factor": ((1, 3), (-1, 0.99, 3.01)),
    "solar_continuous_factor": ((1, 3), (-1, 0.99, 3.01)),
    "solar_ceiling_v": ((12, 1500), (11.9, 1501)),
    "regulator_voltage_share": ((0.5, 1), (-9, 0.49, 1.01)),
    "string_fuse_from": ((1, 20), (0, 2.5, 21)),
    "shadow_elevation_deg": ((5, 90), (-45, 0, 4.9, 91)),
    "bank_in_living": ((0, 1), (-1, 0.5, 2)),
    "hydrogen_gas_ma_per_ah": ((0, 1000), (-1, 1001)),
    "fan_discharge": ((0.05, 1), (0, 0.04, 1.01)),
    "parallel_share": ((0.3, 1), (0, 0.29, 1.01)),
    "alternator_share": ((0.01, 1), (-1, 0, 1.01)),
    "road_speed_km_h": ((20, 250), (-1, 19, 251)),
    "gust_km_h": ((0, 250), (-1, 251)),
    "roof_suction": ((0.5, 4), (-1, 0.49, 4.01)),
    "fixing_safety": ((1, 20), (0, 0.99, 20.1)),
    "glue_stress_n_mm2": ((0.001, 10), (0, 10.1)),
    "restraint_along_g": ((1, 100), (0, 0.9, 101)),
    "restraint_across_g": ((1, 100), (0, 0.9, 101)),
    "bend_of_outside": ((1, 30), (0, 0.9, 31)),
    "end_mm": ((0, 10_000), (-1, 10_001)),
}  # fmt: skip


def test_every_figure_has_its_ends_here() -> None:
    assert set(ENDS) == set(KNOWN) == set(RULES)


@pytest.mark.parametrize("figure", ENDS)
def test_a_figure_within_its_ends_is_read_and_one_beyond_is_named(figure: str, copy: Path) -> None:
    path = copy / "rule_sets.csv"
    text = path.read_text(encoding="utf-8")
    row = row_of(text, "small-craft", figure)
    cells = row.split(",")
    inside, outside = ENDS[figure]
    for value in inside:
        path.write_text(text.replace(row, ",".join([*cells[:2], str(value), *cells[3:]])), encoding="utf-8")
        assert read_catalogue(copy).rule_sets["small-craft"][figure] == value
    for value in outside:
        path.write_text(text.replace(row, ",".join([*cells[:2], str(value), *cells[3:]])), encoding="utf-8")

        (problem,) = problems_of(lambda: read_catalogue(copy))

        assert (problem.file, problem.row, problem.column) == (str(path), line_of(text, row), "value")
        assert problem.message.startswith(f"{value:g} is not allowed for {figure}; expected ")


@pytest.mark.parametrize("figure", [figure for figure in ENDS if figure != "bank_in_living"])
def test_a_move_has_the_same_ends(figure: str, case: Case, catalogue: Catalogue) -> None:
    inside, outside = ENDS[figure]
    for value in inside:
        assert moved(case, catalogue, parse_set(f"rule.{figure}=={value}")).case.rules[figure] == value
    for value in outside:
        with pytest.raises(MoveProblem, match=f"{figure}.*; expected "):
            moved(case, catalogue, parse_set(f"rule.{figure}=={value}"))


def test_a_figure_left_out_unknown_or_in_another_unit_is_named(copy: Path) -> None:
    path = copy / "rule_sets.csv"
    text = path.read_text(encoding="utf-8")
    changed = (
        text.replace(row_of(text, "default", "fan_discharge") + "\n", "")
        .replace("default,fill_few,", "default,fils_few,")
        .replace("small-craft,bundle_from_mm,610,mm", "small-craft,bundle_from_mm,24,in")
    )
    path.write_text(changed, encoding="utf-8")

    found = {(p.column, p.message) for p in problems_of(lambda: read_catalogue(copy))}

    assert found == {
        (
            "figure",
            "rule set 'default' has no 'fan_discharge'; expected a number from 0.05 to 1 [factor]: of a vent's flow",
        ),
        (
            "figure",
            "rule set 'default' has no 'fill_few'; expected a number above 0 and at most 1 [share]: "
            "of a way's bore that two cables may fill",
        ),
        ("figure", "unknown 'fils_few'; expected fill_few"),
        ("unit", "'in' is not the unit of bundle_from_mm; expected mm"),
    }
