"""12 V circuits behind the fuse panel: what is made of them, and what a brief may say. Their limits: `edges_panel`."""

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.basis import loads
from optimiser.catalogue import Catalogue
from optimiser.commissioning.sheet import test_sheet as sheet_of
from optimiser.fitted import Fit, cost_and_mass
from optimiser.fitted.wiring import required_runs
from optimiser.reading import read_case
from optimiser.schedules import labels, materials, not_in_the_build, pieces, protection
from optimiser.solve import Impossible, Solved, optimise
from tests import handmade
from tests.asking import Change, broken, taken, world
from tests.edges_panel import CIRCUITS, COLD, PANEL
from tests.explaining import STOP
from tests.reading_help import problems_of


def fit_of(*changes: Change) -> Fit:
    at = world(*CIRCUITS, *changes)
    return Fit(at.case, at.catalogue, at.build)


def test_the_world_with_circuits_holds() -> None:
    at = world(*CIRCUITS)

    assert broken(at) == set()
    assert taken(at)


@pytest.mark.parametrize(
    ("change", "place"),
    [
        (("build.dc_panel", ""), "dc_panel"),
        (("runs.circuit_cold", None), "circuit_cold"),
        (("runs.circuit_cold.fuse", ""), "circuit_cold"),
        (("runs.circuit_cold.end", "loads_point"), "circuit_cold"),
        (("runs.circuit_cold.cable", "solar-6"), "circuit_cold"),
        ((f"parts.{PANEL.name}.family", "blade"), "circuit_cold"),
    ],
)
def test_what_is_missing_or_of_another_form_is_found(change: Change, place: str) -> None:
    at = world(*CIRCUITS, change)

    assert f"run.complete[{place}]" in broken(at)
    assert not taken(at)


def test_a_panel_without_circuits_is_too_much() -> None:
    at = world(CIRCUITS[0], CIRCUITS[-1])

    assert broken(at) == {"run.complete[dc_panel]"}


def test_the_best_has_the_cheapest_panel_that_will_do() -> None:
    """Of three, the cheapest has too few ways; and a circuit that is wired takes a way and no cable."""
    small = PANEL.model_copy(update={"name": "panel-of-1", "price": 5.0, "ways": 1})
    large = PANEL.model_copy(update={"name": "panel-of-9", "price": 40.0, "ways": 9})
    at = world(*CIRCUITS, ("more.dc_panels", small), ("more.dc_panels", large))
    found = optimise(at.case, at.catalogue, "cheapest", stop=STOP)

    assert isinstance(found, Solved) and found.build.dc_panel == PANEL.name
    assert {run.name for run in found.build.runs if run.name.startswith("circuit_")} == {"circuit_cold"}
    assert not breaches(audit(at.case, at.catalogue, found.build))
    without = optimise(*two(world()), "cheapest", stop=STOP)
    assert isinstance(without, Solved) and without.build.dc_panel == "" and without.cost_cents < found.cost_cents
    few = world(*CIRCUITS, (f"parts.{PANEL.name}.ways", 1))
    assert isinstance(optimise(*two(few), "cheapest", stop=STOP), Impossible)


def two(at: handmade.World) -> tuple[c.Case, Catalogue]:
    return at.case, at.catalogue


def test_a_circuit_carries_the_worst_of_its_own_loads() -> None:
    """60 W of the fridge all day; 30 W of lamps in the evening, on another circuit or on the same."""
    at = world(*CIRCUITS)
    assert (loads.circuit_w(at.case, "cold"), loads.circuit_w(at.case, "light")) == (60, 30)
    one = world(*CIRCUITS, ("loads.lamps.circuit", "cold"))
    assert loads.circuit_w(one.case, "cold") == 90


def test_no_holder_is_bought_for_a_fuse_in_the_panel() -> None:
    """Cable of 1 m twice, a fuse and the panel: nothing else is added."""
    bare, with_it = world(), world(*CIRCUITS)
    parts = {content.part.name for content in Fit(*two(with_it), with_it.build).contents if content.slot == COLD.name}
    assert parts == {"fuse-10"}
    more = cost_and_mass(*two(with_it), with_it.build).grams - cost_and_mass(*two(bare), bare.build).grams
    fuse, cable = handmade.catalogue().of("fuses")["fuse-10"], handmade.catalogue().of("cables")["dc-6"]
    assert more == round(1000 * (PANEL.mass_kg + fuse.mass_kg)) + 20 * round(100 * cable.mass_kg)


def test_it_is_told_in_every_list() -> None:
    fit = fit_of()
    findings = audit(fit.case, fit.catalogue, fit.build)

    def cells(rows: object) -> str:
        return "\n".join(" | ".join(map(str, row)) for row in rows)  # type: ignore[attr-defined]

    assert PANEL.name in cells(materials(fit).rows)
    assert "circuit_cold" in cells(pieces(fit).rows) and "circuit_cold" in cells(labels(fit).rows)
    assert "a way of the fuse panel at loads_point" in cells(protection(fit, findings).rows)
    assert {"drop.circuit_cold"} <= {check.id for check in sheet_of(fit, findings)}
    assert not any(text.startswith("the fuse panel of the 12 V loads") for text in not_in_the_build(fit))
    assert any(note.startswith("Wired already") and "light" in note for note in protection(fit, findings).notes)


def test_behind_a_step_down_they_are_fed_from_it() -> None:
    at = world(*CIRCUITS)
    twelve = fit_of()
    twenty_four = Fit(at.case, at.catalogue, replace(at.build, system_v=24))
    assert [name for name, _ in required_runs(twelve)["circuit_cold"].behind] == ["main", "dc_loads"]
    assert [name for name, _ in required_runs(twenty_four)["circuit_cold"].behind] == ["dc_loads"]


# --- what a brief may say ----------------------------------------------------------------------------------


TABLE = '[[dc_circuits]]\nname = "{}"\n{}\n\n'


@pytest.mark.parametrize(
    ("table", "file", "column", "said"),
    [
        (TABLE.format("cold", ""), "case.toml", "dc_circuits.1.point", "no point; expected the node where its cable"),
        (TABLE.format("cold", 'point = "moon"'), "case.toml", "dc_circuits.1.point", "no way reaches 'moon'"),
        (TABLE.format("galley", "wired = true"), "case.toml", "dc_circuits.1.name", "'galley' is a mains circuit too"),
        (TABLE.format("cold", "wired = true"), "loads.csv", "circuit", "empty cell for a dc load; expected one of"),
        (2 * TABLE.format("cold", "wired = true"), "case.toml", "dc_circuits.2.name", "'cold' stands twice"),
    ],
)
def test_what_is_refused(folder: Path, catalogue: Catalogue, table: str, file: str, column: str, said: str) -> None:
    text = (folder / "case.toml").read_text(encoding="utf-8")
    first = text.index("[[circuits]]")
    (folder / "case.toml").write_text(text[:first] + table + text[first:], encoding="utf-8")

    problems = [
        p.message for p in problems_of(lambda: read_case(folder, catalogue)) if (p.file, p.column) == (file, column)
    ]

    assert any(message.startswith(said) for message in problems), problems


def test_a_12_v_load_names_no_circuit_where_there_are_none(folder: Path, catalogue: Catalogue) -> None:
    path = folder / "loads.csv"
    rows = path.read_text(encoding="utf-8").split("\n")
    place = next(k for k, row in enumerate(rows) if ",dc,," in row)
    rows[place] = rows[place].replace(",dc,,", ",dc,cold,", 1)
    path.write_text("\n".join(rows), encoding="utf-8")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert problem.message == "'cold' for a dc load; expected nothing: case.toml has no [[dc_circuits]]"
