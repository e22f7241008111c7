"""README.md against the code: commands, requirements, the case folder, the JSON, the lines that CI runs."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import pytest
from pydantic import BaseModel

from optimiser import FAULT, INTERRUPTED
from optimiser.case import (
    TABLES,
    Alternator,
    Brief,
    Circuit,
    Inlet,
    Limits,
    Outline,
    PassThrough,
    Place,
    Portable,
    Trailer,
    Van,
)
from optimiser.catalogue import Catalogue
from optimiser.cautions import CAUTIONS
from optimiser.cli import main
from optimiser.overview import Overview
from optimiser.parts import PARTS
from optimiser.pipeline import EXIT_CODES, Answer, Comparison, Explanation, Sweep, Trial
from optimiser.printing import (
    answer_json,
    comparison_json,
    explanation_json,
    overview_json,
    sweep_json,
    trial_json,
)
from optimiser.printing.commissioning_json import expectation_json, report_json
from optimiser.reading import read_catalogue, shipped_cases, shipped_catalogue
from optimiser.reading.wording import expected, single
from optimiser.requirements import REGISTER
from optimiser.solve import Impossible
from tests.pictures import FOLDER, pictures

TOP = Path(__file__).resolve().parents[1]
README = (TOP / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
CI = (TOP / ".ci" / "run").read_text(encoding="utf-8")

SECTIONS: dict[str, type[BaseModel]] = {
    "`case.toml`": Brief,
    "`[place]`": Place,
    '`[vehicle]`, `kind = "trailer"`': Trailer,
    '`[vehicle]`, `kind = "van"`': Van,
    "`[limits]`": Limits,
    "`[alternator]`": Alternator,
    "`[inlet]`": Inlet,
    "`[[circuits]]`": Circuit,
    "`[[pass_throughs]]`": PassThrough,
    "`[portable]`": Portable,
    "`[outline]`": Outline,
    **{f"`{key}.csv`": model for key, model in TABLES.items()},
}


def section(heading: str) -> str:
    """The text below a heading of the README, up to the next of any level."""
    found = re.search(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#|\Z)", README, re.MULTILINE | re.DOTALL)
    assert found, f"README has no heading {heading!r}"
    return found[1]


def rows(text: str) -> list[list[str]]:
    """Cells of the tables in a text, without headers."""
    lines = [line for line in text.splitlines() if line.startswith("| `")]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines]


def fields(model: type[BaseModel]) -> Iterator[list[str]]:
    """What the README must say of each field: name, what it takes, what is taken if it is left out."""
    schema = model.model_json_schema()
    defs = schema.get("$defs", {})
    for name, info in model.model_fields.items():
        behind = single(schema["properties"][name], defs)
        if behind.get("type") == "object" or "discriminator" in schema["properties"][name]:
            continue  # a table of its own
        if "$ref" in behind.get("items", {}):
            continue  # likewise, [[several]]
        takes = re.sub("^a name of.*", "a name", expected(behind))
        for whole, short in _LENGTHS.items():
            takes = takes.replace(whole, short)
        yield [f"`{name}`", takes, "needed" if info.is_required() else _default(info.default)]


_LENGTHS = {" from -50000 to 50000": "", " and at most 50000": "", " from 0 to 50000": " of at least 0"}
"""Bounds that the README gives once, for all lengths."""


def test_the_bounds_of_lengths_are_told_once() -> None:
    assert "lengths up to 50000, coordinates from -50000 to 50000" in " ".join(README.split())


def _default(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " ".join(map(str, value))
    return "" if value in (None, "") else f"{value}"


@pytest.mark.parametrize("heading", SECTIONS)
def test_each_column_and_key_of_the_case_folder_is_described(heading: str) -> None:
    told = [row for row in rows(section(heading)) if len(row) == 4]

    assert [row[:3] for row in told] == list(fields(SECTIONS[heading]))
    assert all(row[3] for row in told)


def test_each_requirement_is_listed() -> None:
    told = rows(section("Requirements"))

    assert told == [[f"`{r.name}`", r.sense, r.unit, r.source] for r in REGISTER.values()]


def test_each_command_and_option_is_there() -> None:
    for name, command in main.commands.items():
        text = section(f"`optimiser {name}`")
        for parameter in command.params:
            shown = parameter.opts[0] if isinstance(parameter, click.Option) else parameter.make_metavar(_context())
            assert shown in text, f"{shown} of {name}"


def _context() -> click.Context:
    return click.Context(main)


def test_each_catalogue_file_and_shipped_case_is_named() -> None:
    for key in (*PARTS, "rule_sets"):
        assert f"`{key}.csv`" in section("The catalogue")
    for path in shipped_cases().iterdir():
        assert path.name in README


def test_exit_codes_are_listed() -> None:
    told = {row[0]: row[1] for row in rows(section("Exit codes"))}

    assert set(told) == {"`0`", "`1`", "`2`", "`3`", "`4`", f"`{FAULT}`", f"`{INTERRUPTED}`"}
    for status, code in EXIT_CODES.items():
        assert status in told[f"`{code}`"]


NOTHING = Answer("cheapest", Impossible(1.0), None, ())
JSON = {
    "JSON of a build": answer_json(NOTHING),
    "JSON of a comparison": comparison_json(Comparison(("cost", "mass"), (), (), "impossible")),
    "JSON of an explanation": explanation_json(Explanation("possible")),
    "JSON of a trial": trial_json(Trial((), (), NOTHING, NOTHING)),
    "JSON of a sweep": sweep_json(Sweep("limits.autonomy_days", "days", "1", "cheapest", 3, ())),
    "JSON of an expectation": expectation_json(None),
    "JSON of readings": report_json(None),
    "JSON of a check": overview_json(Overview("", (), (), (), (), (), ())),
}


@pytest.mark.parametrize("heading", JSON)
def test_the_json_is_described(heading: str) -> None:
    assert [row[0] for row in rows(section(heading))] == [f"`{key}`" for key in json.loads(JSON[heading])]


def test_rule_figures_and_cautions_are_there() -> None:
    catalogue: Catalogue = read_catalogue(shipped_catalogue())

    assert all(caution in section("Cautions") for caution in CAUTIONS)
    for name in catalogue.rule_sets:
        assert f"`{name}`" in section("The catalogue")


def test_the_readme_begins_with_the_job_and_the_two_lines_that_ci_runs() -> None:
    paragraphs = [block for block in README.split("\n\n") if not block.startswith("#")]

    job, _, main_job, _, tests = paragraphs[:5]
    assert "proves" in job
    assert all(line.startswith("```sh\n(python3 -m venv .venv") for line in (main_job, tests))
    assert main_job.endswith("optimiser build cases/tiny-trailer --want cheapest\n```")
    assert tests.endswith("-m pytest -q -n 2\n```")
    assert README.count("\n(python3 -m venv") == 2
    assert "< <(grep '^(python3 -m venv' README.md)" in CI


def test_developers_know_every_file() -> None:
    for path in sorted((TOP / "optimiser").iterdir()):
        if (path.suffix == ".py" and not path.name.startswith("__")) or (path / "__init__.py").exists():
            assert f"`{path.name}`" in DEVELOPERS or f"`{path.name}/`" in DEVELOPERS, path.name


def test_the_pictures_are_what_the_program_draws() -> None:
    stored = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.iterdir()}

    assert stored == pictures()
    for name in stored:
        assert f"(.pictures/{name})" in README
