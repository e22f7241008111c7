"""The contracts on imports name all that they are about."""

from __future__ import annotations

import ast
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def test_every_family_of_the_model_is_in_its_contract() -> None:
    """A family is what posts requirements: the contract lists them by name, and a new one must not be left out."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]
    (contract,) = (c for c in settings["contracts"] if c["name"].startswith("Families of the model"))
    families = {
        f"optimiser.model.{path.stem}"
        for path in (ROOT / "optimiser" / "model").glob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name in ("decide", "require")
    }

    assert families == set(contract["modules"])
