"""Every function of the physics is used by the product: what only tests call guards no build."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1] / "optimiser"
PHYSICS = PACKAGE / "physics"


def names_in(node: ast.AST) -> set[str]:
    """All names and attributes that some code speaks of."""
    found = {x.id for x in ast.walk(node) if isinstance(x, ast.Name)}
    return found | {x.attr for x in ast.walk(node) if isinstance(x, ast.Attribute)}


def words_of(function: ast.FunctionDef) -> set[str]:
    """What parameters that take one of several words may be."""
    found = (node for node in ast.walk(function.args) if isinstance(node, ast.Subscript))
    return {text for node in found if ast.unparse(node.value) == "Literal" for text in ast.literal_eval(node.slice)}


def test_every_word_that_chooses_a_branch_is_said_by_the_product() -> None:
    """A model of the sky, say, that only tests ask for guards no build."""
    offered: set[str] = set()
    for path in PHYSICS.glob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        offered |= {word for node in tree.body if isinstance(node, ast.FunctionDef) for word in words_of(node)}
    said: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        if path.parent != PHYSICS:
            nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            said |= {x.value for x in nodes if isinstance(x, ast.Constant) and isinstance(x.value, str)}
    assert {"gap", "glued"} <= offered
    assert offered - said == set()


def test_each_is_reached_from_outside_the_physics() -> None:
    functions: dict[str, ast.FunctionDef] = {}
    for path in PHYSICS.glob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        functions |= {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    reached: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        if path.parent != PHYSICS:
            reached |= names_in(ast.parse(path.read_text(encoding="utf-8"))) & set(functions)
    waiting = list(reached)
    while waiting:
        called = names_in(functions[waiting.pop()]) & set(functions)
        waiting += called - reached
        reached |= called
    assert set(functions) - reached == set()
