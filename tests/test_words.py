"""One plain word a thing in all that users read: approved pages, reference, README, help and messages."""

import ast
import re
from pathlib import Path

import click
import pytest

from optimiser import older
from optimiser.cli import main
from optimiser.reference import PAGES
from tests.approving import FOLDER
from tests.pages import README, SCHEMAS

INSTEAD = {
    r"reckon\w*": "calculated",
    r"parted": "disconnected",
    r"no end of": "unlimited",
    r"looks? odd": "warning",
    r"amounts? to": "summary",
    r"\d+ breach(es)?, \d+ allowed": "a sentence",
    r"measuring row": "shunt row",
    r"turned": "rotated 90°",
    r"skin": "outside wall",
    r"surveyed spot": "surveyed position",
    r"\d+ wanted": "required",
    r"told": "reported",
    r"held (to|against|throughout)": "checked, met",
    r"hold together|holds? (every|all|the others|readings)": "meets, checks",
    r"(what is|is) otherwise": "differs",
    r"seen and felt": "visual checks",
    r"in the heat": "on a hot day",
}
"""What a fitter would not say -> what he would."""

MEANS_MORE = {"light", "keep", "kept", "spots", "stands", "turns"}  # old names that say something else as well
OLD = (re.escape(name) for name in older.NOW.keys() - MEANS_MORE)
PATTERN = re.compile(rf"\b({'|'.join((*INSTEAD, *OLD))})\b", re.IGNORECASE)


PAGE = README.parent / "optimiser" / "packing" / "page"
FILES = [README, *PAGES.glob("*.md"), *SCHEMAS.glob("*.json"), *FOLDER.rglob("*.txt"), *PAGE.glob("*.js")]
COMMANDS = {"": main, **main.commands}
WRITTEN = {str(path.relative_to(README.parent)): path for path in FILES}


def _messages() -> str:
    """What the program may print, of all its files."""
    return "\n".join(text for path in (README.parent / "optimiser").rglob("*.py") for text in _texts(path))


def _texts(path: Path) -> list[str]:
    """What a file of the program may print: texts in it that describe nothing."""
    if path.name == "older.py":
        return []
    nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    described = {node.value for node in nodes if isinstance(node, ast.Expr)}
    texts = (node for node in nodes if isinstance(node, ast.Constant) and node not in described)
    return [node.value for node in texts if isinstance(node.value, str)]


def _strange(text: str) -> list[str]:
    """Words that a fitter would not say, with what stands round them."""
    return [text[max(0, m.start() - 40) : m.end() + 40] for m in PATTERN.finditer(text)]


@pytest.mark.parametrize("where", WRITTEN)
def test_no_word_stands_in_a_file_that_a_fitter_would_not_say(where: str) -> None:
    assert _strange(WRITTEN[where].read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("name", COMMANDS)
def test_none_stands_in_the_help(name: str) -> None:
    assert _strange(COMMANDS[name].get_help(click.Context(COMMANDS[name], info_name=name))) == []


def test_none_stands_in_a_message() -> None:
    assert _strange(_messages()) == []
