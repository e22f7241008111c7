"""The contracts on imports name all that they are about."""

import ast
import tomllib
from collections import Counter
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


UNCALLED = {
    "read_case": "of a program that has its catalogue already",
    "of_model": "the front of any model of two measures, which the solver's own is held against",
    "of_row": "where cables end at a row of fuses or shunts: what lengths between terminals will be measured from",
}
"""Names that the product offers and does not use itself, with why."""


def test_nothing_is_kept_that_only_tests_use() -> None:
    """Functions, classes and constants by name: what nothing in the product speaks of is dead."""
    spoken: Counter[str] = Counter()
    inside: Counter[str] = Counter()  # in their own definition
    for path in (ROOT / "optimiser").rglob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            said = _spoken(node)
            spoken.update(said)
            for name in _defined(node):
                inside[name] += said[name]

    assert {name for name, count in inside.items() if spoken[name] <= count} == set(UNCALLED)


def _defined(node: ast.stmt) -> list[str]:
    if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
        return [] if node.name.startswith("__") else [node.name]
    targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    return [target.id for target in targets if isinstance(target, ast.Name) and target.id != "__all__"]


def _spoken(tree: ast.AST) -> Counter[str]:
    """Names that are read, bare or of something; an import alone is no use."""
    read = (node for node in ast.walk(tree) if isinstance(getattr(node, "ctx", None), ast.Load))
    return Counter(str(getattr(node, "id", "") or getattr(node, "attr", "")) for node in read)
