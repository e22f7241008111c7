"""What spares a user typing: families, addresses, a case that names its catalogues, a copy to begin with."""

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from optimiser.cli import main
from optimiser.moves import addresses, moved, parse_set
from optimiser.printing.progress import progress_line
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue
from tests.cli_help import run
from tests.conftest import Folders
from tests.reading_help import change


def test_build_means_the_cheapest(trailer: Folders) -> None:
    of = ("--catalogue", trailer.catalogue)

    assert "Want:   cheapest" in run("build", trailer.case, *of).stdout


def test_quiet_tells_no_progress(trailer: Folders) -> None:
    result = run("build", trailer.case, "--catalogue", trailer.catalogue, "--quiet")

    assert result.exit_code == 0 and result.stderr == ""


def test_quiet_says_no_line_that_would_stay(capsys: pytest.CaptureFixture[str]) -> None:
    for quiet in (True, False):
        with progress_line("lightest", "mass", currency="cu", limit_s=60, quiet=quiet) as line:
            line.say("point 1 found")
        assert ("point 1 found" in capsys.readouterr().err) is not quiet


def test_a_family_is_dropped_by_its_name(trailer: Folders) -> None:
    result = run("explain", trailer.case, "--catalogue", trailer.catalogue, "--drop", "energy", "--json")

    assert json.loads(result.stdout)["drops"] == ["energy.floor", "energy.returns", "energy.autonomy"]


def test_a_definition_is_not_dropped_with_its_family(trailer: Folders) -> None:
    """That a body lies inside its board is no limit."""
    result = run("explain", trailer.case, "--catalogue", trailer.catalogue, "--drop", "bay", "--json")

    drops = json.loads(result.stdout)["drops"]
    assert "bay.heat" in drops and "bay.board" not in drops


@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic"])
def test_every_address_listed_is_taken_by_set(name: str) -> None:
    case, catalogue = read_inputs(shipped_cases() / name, shipped_catalogue())

    listed = addresses(case)

    assert len(listed) > 200 and len(dict(listed)) == len(listed)
    columns = {address.rpartition(".")[2] for address, _ in listed}
    assert not columns & {"name", "kind", "bay", "family", "holder"}  # what a row is
    for address, value in listed:
        if value not in ("", "nothing"):
            assert moved(case, catalogue, parse_set(f"{address}=={value}")).address == address


def test_addresses_are_printed_with_their_values() -> None:
    printed = run("explain", "tiny-trailer", "--addresses").stdout

    assert "load.fridge.watt_w=45\n" in printed and "limits.soc_floor_pct=15\n" in printed
    assert json.loads(run("explain", "tiny-trailer", "--addresses", "--json").stdout)["vehicle.axle_x_mm"] == "1700"


def test_a_case_names_its_catalogues(trailer: Folders, build_file: Path) -> None:
    """Relative to its own folder, so that no command repeats them; given ones take their place."""
    named = os.path.relpath(trailer.catalogue, trailer.case)
    assert run("audit", trailer.case, build_file).exit_code != 0  # the parts of the trailer by hand are not shipped

    _name_catalogue(trailer, named)

    assert run("audit", trailer.case, build_file).exit_code == 0
    alone, given = (
        json.loads(run("build", trailer.case, "--json", *more).stdout)
        for more in ((), ("--catalogue", trailer.catalogue))
    )
    assert alone["status"] == "proven" and alone["cost"] == given["cost"]
    assert run("check", trailer.case, "--catalogue", trailer.case / "nowhere").exit_code == 2


def _name_catalogue(trailer: Folders, name: str) -> None:
    brief = trailer.case / "case.toml"
    lines = [line for line in brief.read_text(encoding="utf-8").splitlines() if not line.startswith("catalogue =")]
    brief.write_text("\n".join([f'catalogue = ["{name}"]', *lines]), encoding="utf-8")


def test_a_catalogue_that_is_not_there_is_told(trailer: Folders) -> None:
    _name_catalogue(trailer, "nowhere")

    result = run("check", trailer.case)

    assert result.exit_code == 2 and "nowhere" in result.stderr


def test_a_new_case_like_another(tmp_path: Path) -> None:
    run("new", tmp_path / "mine", "--like", "tiny-trailer")

    made, shipped = tmp_path / "mine", shipped_cases() / "tiny-trailer"
    assert {path.name: path.read_bytes() for path in made.iterdir()} == {
        path.name: path.read_bytes() for path in shipped.iterdir()
    }


def test_an_impossible_build_says_what_is_odd(trailer: Folders) -> None:
    """A feed that no charger of the catalogue takes."""
    change(trailer.case / "case.toml", "rating_a = 120", "rating_a = 2")

    result = run("build", trailer.case, "--catalogue", trailer.catalogue)

    assert result.exit_code == 3
    assert "Warning, and perhaps why: alternator: the smallest charger draws" in " ".join(result.stdout.split())


def test_the_shell_completes_cases() -> None:
    words = {"COMP_WORDS": "optimiser check tiny", "COMP_CWORD": "2", "_OPTIMISER_COMPLETE": "bash_complete"}

    result = CliRunner().invoke(main, [], env=words, prog_name="optimiser")

    assert {"plain,tiny-trailer", "dir,tiny"} <= set(result.stdout.splitlines())
