"""Files that a person could have by mistake, and some that nobody should: told, never a traceback."""

import json
import os
import random
import shutil
from pathlib import Path

import pytest

from optimiser.builds import BuildProblem, from_json, to_json
from optimiser.catalogue import Catalogue
from optimiser.reading import CaseProblems, read_case, read_inputs, shipped_catalogue
from tests import handmade
from tests.reading_help import change, problems_of


@pytest.mark.parametrize("name", ["obstacles.CSV", "obstacles.csv.txt", "obstacle.csv", "Obstacles.csv", "hatches.csv"])
def test_a_table_under_another_name_is_a_fault(name: str, folder: Path, catalogue: Catalogue) -> None:
    (folder / "obstacles.csv").rename(folder / name)
    (folder / "notes.txt").write_text("call again on Monday", encoding="utf-8")
    (folder / ".obstacles.csv.swp").write_text("", encoding="utf-8")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert problem.file == name
    assert problem.message.startswith("not a table of a case; expected ")
    assert "obstacles.csv" in problem.message


@pytest.mark.parametrize("target", ["nowhere.csv", "obstacles.csv"])
def test_a_link_that_leads_nowhere_is_a_fault(target: str, folder: Path, catalogue: Catalogue) -> None:
    (folder / "obstacles.csv").unlink()
    (folder / "obstacles.csv").symlink_to(folder / target)

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert str(problem) == "obstacles.csv: a link that leads nowhere; expected a table, or no such file"


def test_a_pipe_is_not_waited_for(folder: Path, catalogue: Catalogue) -> None:
    (folder / "obstacles.csv").unlink()
    os.mkfifo(folder / "obstacles.csv")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert str(problem) == "obstacles.csv: cannot be read (no ordinary file); expected a readable file"


@pytest.mark.parametrize("depth", [500, 900, 5000])
def test_deep_brackets_are_told(depth: int, folder: Path, catalogue: Catalogue) -> None:
    path = folder / "case.toml"
    path.write_text(f"deep = {'[' * depth}{']' * depth}\n{path.read_text(encoding='utf-8')}", encoding="utf-8")

    found = problems_of(lambda: read_case(folder, catalogue))

    assert {problem.file for problem in found} == {"case.toml"}


def test_long_cells_are_not_shown_whole(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "loads.csv", "fridge,dc", f"{'x' * 100_000},dc")
    change(folder / "case.toml", 'rule_set = "default"', f'rule_set = "{"y" * 100_000}"')

    found = problems_of(lambda: read_case(folder, catalogue))

    assert {p.file for p in found} == {"case.toml", "loads.csv"}
    assert all(len(str(p)) < 250 for p in found)


def test_text_that_turns_its_direction_is_refused(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", 'title = "Small camper van"', 'title = "Small \u202ereppmac"')

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert "control characters" in problem.message


def test_faults_of_several_files_are_listed_at_once(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "ways.csv", "floor_middle,garage,2500,70", "floor_middle,garage,2500,wide")
    change(folder / "node_positions.csv", "inlet,600", "inlett,600")
    change(folder / "loads.csv", "fridge,dc,,50", "fridge,dc,,-50")
    change(folder / "case.toml", "latitude = 48.0", "latitude = 99.0")

    assert {p.file for p in problems_of(lambda: read_case(folder, catalogue))} == {
        "ways.csv",
        "node_positions.csv",
        "loads.csv",
        "case.toml",
    }


def test_a_folder_of_a_few_parts_says_what_to_lay_it_over(folder: Path, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    shutil.copy(shipped_catalogue() / "vents.csv", mine)

    (problem,) = problems_of(lambda: read_inputs(folder, mine))

    assert "--catalogue shipped --catalogue" in problem.message
    assert read_inputs(folder, shipped_catalogue(), mine)


# --- builds --------------------------------------------------------------------------------------------


def test_a_build_with_a_byte_order_mark_is_read() -> None:
    assert from_json(f"\ufeff{to_json(handmade.build())}") == handmade.build()


def broken(what: str) -> str:
    """The JSON of a build with one thing wrong."""
    text = to_json(handmade.build())
    data = json.loads(text)
    if what == "twice":
        return text.replace('"system_v": 12', '"system_v": 12, "system_v": 24', 1)
    if what == "quoted":
        data["panels"][0]["x_mm"] = "600"
    elif what == "vast":
        data["panels"][0]["x_mm"] = 10**400
    elif what == "endless":
        return text.replace('"x_mm": 600', f'"x_mm": {"6" * 5000}', 1)
    elif what == "nameless":
        data["arrays"][0]["name"] = ""
    elif what == "long":
        data["arrays"][0]["name"] = "a" * 41
    return json.dumps(data)


@pytest.mark.parametrize("what", ["twice", "quoted", "vast", "endless", "nameless", "long"])
def test_a_build_that_means_nothing_is_refused_in_short_lines(what: str) -> None:
    with pytest.raises(BuildProblem) as caught:
        from_json(broken(what))

    assert all(len(line) < 250 for line in str(caught.value).splitlines())
    assert from_json(broken("nothing")) == handmade.build()


# --- mutations -------------------------------------------------------------------------------------------

PIECES = (
    "",
    "-1",
    "0",
    "1e300",
    "999999999",
    "nan",
    "x",
    '"',
    "\x00",
    "[",
    "]",
    "=",
    ",",
    ";",
    "\n",
    "\ufeff",
    "é" * 99,
)


def mutated(rng: random.Random, text: str) -> str:
    """The text with a word replaced, or a line taken out or doubled."""
    lines = text.split("\n")
    at = rng.randrange(len(lines))
    kind = rng.randrange(4)
    if kind == 0:
        del lines[at]
    elif kind == 1:
        lines.insert(at, lines[at])
    else:
        cells = lines[at].split(",")
        cells[rng.randrange(len(cells))] = rng.choice(PIECES)
        lines[at] = ",".join(cells)
    return "\n".join(lines)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_mutated_folders_are_read_or_refused_and_nothing_else(seed: int, folder: Path, tmp_path: Path) -> None:
    rng = random.Random(seed)
    parts = Path(shutil.copytree(shipped_catalogue(), tmp_path / "parts"))
    files = sorted([*folder.iterdir(), *parts.iterdir()])
    refused = 0
    for _ in range(50):
        path = rng.choice(files)
        before = path.read_bytes()
        path.write_text(mutated(rng, before.decode()), encoding="utf-8")
        try:
            read_inputs(folder, parts)
        except CaseProblems as problems:
            refused += 1
            assert all("expected" in problem.message for problem in problems.problems)
        path.write_bytes(before)
    assert refused > 10
