"""The reference: every file, column, requirement and key has its meaning, made from the code and not stale."""

import json
from typing import Any

import pytest
from pydantic import TypeAdapter

from optimiser.case import TABLES
from optimiser.parts import PARTS
from optimiser.printing.objects import OBJECTS
from optimiser.reference import PAGES, all_tables, page, schemas
from optimiser.requirements import REGISTER
from optimiser.rules import KNOWN
from tests.cli_help import run
from tests.conftest import Folders
from tests.pages import SCHEMAS, pages


def test_pages_and_schemas_are_what_the_program_makes() -> None:
    """`python -m tests.pages` writes them anew."""
    made = pages()

    for path, content in made.items():
        assert path.read_text(encoding="utf-8") == content, path.name
    assert set(made) == {*PAGES.glob("*.md"), *SCHEMAS.glob("*.json")}


def test_every_file_requirement_and_figure_is_there() -> None:
    tables = all_tables()

    assert {*TABLES, *PARTS, "editions"} <= tables.keys()
    assert [row[0] for row in tables["requirements"].rows] == list(REGISTER)
    assert [row[0] for row in tables["rule_sets"].rows] == list(KNOWN)


@pytest.mark.parametrize("name", all_tables())
def test_everything_in_a_table_is_explained(name: str) -> None:
    table = all_tables()[name]
    last = len(table.heads) - 1

    assert all(row[last].strip() for row in table.rows), [row[0] for row in table.rows if not row[last].strip()]


@pytest.mark.parametrize("name", schemas())
def test_every_key_of_a_schema_is_explained(name: str) -> None:
    """At any depth: pages and completion of editors are made of it."""
    whole = schemas()[name]
    kinds = {"": whole} | whole.get("$defs", {})

    lacking = [
        f"{kind}.{key}"
        for kind, of in kinds.items()
        for key, field in of.get("properties", {}).items()
        if not field.get("description", "").strip()
    ]

    assert lacking == []


def test_every_table_stands_on_a_page() -> None:
    shown = "".join(page(path.stem) for path in PAGES.glob("*.md"))

    assert [name for name in all_tables() if f"<!-- table: {name} -->" not in shown] == []


def test_the_command_prints_pages_tables_and_schemas() -> None:
    names = json.loads(run("reference", "--json").stdout)

    for name in names["pages"]:
        assert run("reference", name).stdout == page(name)
    printed = " ".join(run("reference", "zones").stdout.split())
    assert all(name in printed for name in ("front_set_back_mm", "meaning", "needed"))
    rows = json.loads(run("reference", "zones", "--json").stdout)
    assert [row["name"] for row in rows] == list(TABLES["zones"].model_fields)
    assert json.loads(run("reference", "build.schema.json").stdout) == schemas()["build.schema.json"]


def test_a_name_that_is_not_there_is_refused_with_the_nearest() -> None:
    result = run("reference", "zone")

    assert result.exit_code == 2 and "expected zones" in result.stderr


# --- what commands print is what the schemas say ---------------------------------------------------------


def _strict(kind: Any, text: str) -> None:
    TypeAdapter(kind).validate_json(text, strict=True)
    assert set(json.loads(text)) == set(TypeAdapter(kind).json_schema()["properties"])


@pytest.mark.slow
def test_json_of_the_commands_is_of_their_types(trailer: Folders) -> None:
    of = ["--catalogue", str(trailer.catalogue), "--json"]
    build = trailer.case.parent / "build.json"

    _strict(OBJECTS["check"], run("check", trailer.case, *of).stdout)
    _strict(OBJECTS["build"], run("build", trailer.case, "--want", "cheapest", "--out", build, *of).stdout)
    _strict(OBJECTS["audit"], run("audit", trailer.case, build, *of).stdout)
    _strict(OBJECTS["compare"], run("compare", trailer.case, "--points", "2", *of).stdout)
    _strict(OBJECTS["explain --set"], run("explain", trailer.case, "--set", "payload_kg=+5", *of).stdout)
    _strict(
        OBJECTS["explain --sweep"], run("explain", trailer.case, "--sweep", "autonomy_days=0.5:0.6:0.1", *of).stdout
    )
    _strict(OBJECTS["explain --with"], run("explain", trailer.case, "--with", "panel-flex", *of).stdout)
    _strict(OBJECTS["explain"], run("explain", trailer.case, "--want", "cheapest", *of).stdout)
    _strict(OBJECTS["pack"], run("pack", trailer.case, build, "--alone", "--out", build.parent / "pack", *of).stdout)
    at = ("--at", "2027-01-14T09:30", "--sky", "clear")
    _strict(OBJECTS["expect"], run("expect", trailer.case, build, *at, *of).stdout)
    sheet = build.parent / "sheet.csv"
    _strict(OBJECTS["commission"], run("commission", trailer.case, build, "--blank", sheet, *of).stdout)
    _strict(OBJECTS["rules"], run("rules", "--json").stdout)
    _strict(OBJECTS["new"], run("new", build.parent / "mine", "--json").stdout)


# --- parts -----------------------------------------------------------------------------------------------


def test_parts_are_listed_with_what_their_columns_mean() -> None:
    listed = run("parts", "panels", "--where", "watt_w>=200", "--where", "kind=rigid", "--columns", "name,watt_w,price")

    assert "panel-200-slim" in listed.stdout and "panel-175-rigid" not in listed.stdout
    assert "panel-200-flex" not in listed.stdout and "watt_w: at standard test conditions" in listed.stdout
    rows = json.loads(run("parts", "panels", "--where", "watt_w<60", "--json").stdout)
    assert rows and all(row["watt_w"] < 60 for row in rows)
    assert "panels" in json.loads(run("parts", "--json").stdout)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("panel",), "expected panels"),
        (("panels", "--columns", "watts"), "no such column"),
        (("panels", "--where", "watt_w"), "is no test; expected as watt_w>=200"),
        (("panels", "--where", "watt_w>=much"), "'much' is not a number"),
    ],
)
def test_what_cannot_be_listed_is_refused(arguments: tuple[str, ...], told: str) -> None:
    result = run("parts", *arguments)

    assert result.exit_code == 2 and told in result.stderr
