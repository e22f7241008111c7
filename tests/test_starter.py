"""Starter cases of each kind, size and voltage read, look right as far as anyone can tell, and can be built."""

from itertools import product
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from optimiser import library
from optimiser.cli import main
from optimiser.library import SIZES, STARTER_LOADS, VOLTAGES
from tests.cli_help import run

SHAPES = [
    (kind, length, width, voltage)
    for kind, (lengths, widths) in SIZES.items()
    for length, width, voltage in product(lengths, widths, VOLTAGES)
]


@pytest.mark.parametrize(("kind", "length", "width", "voltage"), SHAPES)
def test_each_is_read_without_fault_and_as_asked(
    kind: str, length: int, width: int, voltage: int, tmp_path: Path
) -> None:
    run(
        "new",
        tmp_path / "mine",
        "--kind",
        kind,
        "--length",
        str(length),
        "--width",
        str(width),
        "--voltage",
        str(voltage),
    )

    checked = library.check(library.read(tmp_path / "mine"))

    brief = checked.inputs.case.brief
    assert (brief.vehicle.kind, brief.system_voltages) == (kind, (voltage,))
    assert brief.outline is not None and (brief.outline.length_mm, brief.outline.width_mm) == (length, width)
    # No charger of the catalogue for a 48 V bank draws as little as the plug of a tow feed carries.
    assert [odd.place for odd in checked.oddities] == ["alternator"] * (kind == "trailer" and voltage == 48)


def test_sizes_and_places_grow_with_the_vehicle(tmp_path: Path) -> None:
    small, large = (
        library.read(library.new(tmp_path / str(length), kind="trailer", length_mm=length).folder).case
        for length in (3000, 8000)
    )

    assert small.zones[0].length_mm * 2 < large.zones[0].length_mm < 8000
    assert all(
        one.x_mm < other.x_mm and one.length_mm < other.length_mm
        for one, other in zip(small.bays, large.bays, strict=True)
    )
    assert all(one.length_mm <= other.length_mm for one, other in zip(small.ways, large.ways, strict=True))
    assert small.brief.vehicle.payload_kg < large.brief.vehicle.payload_kg


def test_loads_are_those_asked_for_with_the_circuits_they_want(tmp_path: Path) -> None:
    run("new", tmp_path / "dc", "--loads", "fridge, lights")
    run("new", tmp_path / "all", "--loads", ",".join(STARTER_LOADS))

    dc, whole = (library.read(tmp_path / name).case for name in ("dc", "all"))

    assert [load.name for load in dc.loads] == ["fridge", "lights"] and dc.brief.circuits == ()
    assert [load.name for load in whole.loads] == list(STARTER_LOADS)
    assert {circuit.name for circuit in whole.brief.circuits} == {"galley", "water"}


@pytest.mark.slow
@pytest.mark.parametrize("kind", SIZES)
def test_the_usual_one_can_be_built(kind: Any, tmp_path: Path) -> None:
    best = library.build(library.read(library.new(tmp_path / "mine", kind=kind).folder), seconds=120)

    assert best.status in ("proven", "best found")


def test_the_survey_of_one_is_drawn(tmp_path: Path) -> None:
    run("new", tmp_path / "mine", "--kind", "trailer")

    result = run("check", tmp_path / "mine", "--draw", tmp_path / "drawn")

    assert result.exit_code == 0 and (tmp_path / "drawn" / "survey.html").exists()


def test_what_is_from_the_size_alone_says_so(tmp_path: Path) -> None:
    run("new", tmp_path / "mine")

    for name in ("case.toml", "zones.csv", "obstacles.csv", "bays.csv", "boards.csv", "ways.csv", "node_positions.csv"):
        assert "measure it" in (tmp_path / "mine" / name).read_text(encoding="utf-8"), name


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--length", "8001"), "--length: 8001 mm; expected 4500 to 8000 for the body of a van"),
        (("--kind", "trailer", "--width", "1399"), "--width: 1399 mm; expected 1400 to 2600 for the body of a trailer"),
        (("--voltage", "36"), "--voltage: 36 V; expected 12, 24, 48"),
        (("--loads", "frige"), "--loads: no load 'frige'; expected fridge"),
        (("--like", "tiny-trailer", "--voltage", "24"), "expected it without size, voltage and loads"),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[str, ...], told: str, tmp_path: Path) -> None:
    result = run("new", tmp_path / "mine", *arguments)

    assert result.exit_code == 2 and told in result.stderr
    assert not (tmp_path / "mine").exists()


def test_on_a_terminal_it_asks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Enter takes what is usual."""
    monkeypatch.setattr("optimiser.cli.cases._on_a_terminal", lambda: True)

    result = CliRunner().invoke(main, ["new", str(tmp_path / "mine")], input="trailer\n5000\n\n24\nfridge,lights\n")

    case = library.read(tmp_path / "mine").case
    assert result.exit_code == 0 and case.brief.vehicle.kind == "trailer" and case.brief.system_voltages == (24,)
    assert case.brief.outline is not None and (case.brief.outline.length_mm, case.brief.outline.width_mm) == (
        5000,
        2100,
    )
    assert [load.name for load in case.loads] == ["fridge", "lights"]
