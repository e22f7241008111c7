"""What the program makes of its own documents: ``python -m tests.pages`` writes them anew.

The tables of the reference and its schemas, and in the README what commands print, from a fresh run.
"""

import json
import re
import shlex
import shutil
import tempfile
from contextlib import chdir
from pathlib import Path

import click
from click.testing import CliRunner

from optimiser.cli import main
from optimiser.reading import shipped_cases
from optimiser.reference import PAGES, Columns, all_tables, filled, schemas

TOP = Path(__file__).resolve().parents[1]
README = TOP / "README.md"
SCHEMAS = PAGES.parent / "schemas"
_OUTPUT = re.compile(r"(<!-- output: (?P<command>.+?) \| (?P<until>.+?) -->\n).*?(?=<!-- end -->)", re.DOTALL)
_VARIES = ("Search:",)  # lines that no two runs have alike
_CHANGED = {
    "my-trailer": (  # slips as they are made on site
        ("loads.csv", "fridge,dc,,45,", "fridge,dc,,4 5,"),
        ("ways.csv", "roof_drop,roof_gland,", "roof_drop,roof_glans,"),
        ("bays.csv", "galley_base,450,", "galley_base,45,"),
    ),
    # One value moved back is its nearest brief, proven in some seconds of work: a slow machine finds the same.
    "drained-trailer": (("scenarios.csv", "cold_night,4,10,18,13,0,1,10,70,", "cold_night,4,10,18,13,0,1,10,20,"),),
}


def pages() -> dict[Path, str]:
    """File -> content: the hand-written words of each page with its tables made anew, and every schema."""
    known = all_tables() | _option_tables()
    found = {path: filled(path.read_text(encoding="utf-8"), known) for path in PAGES.glob("*.md")}
    made = {SCHEMAS / name: json.dumps(schema) + "\n" for name, schema in schemas().items()}
    return found | made


def _option_tables() -> dict[str, Columns]:
    """``options of COMMAND`` -> its arguments and options, from the commands themselves."""
    found = {}
    for name, command in main.commands.items():
        context = click.Context(command, info_name=name)
        rows = [record for option in command.params if (record := option.get_help_record(context)) and record[1]]
        found[f"options of {name}"] = Columns(("option", "meaning"), tuple(rows))
    return found


def readme() -> str:
    """The README with the output of its commands made anew."""
    with tempfile.TemporaryDirectory() as folder:
        return _OUTPUT.sub(lambda found: f"{found[1]}{_shown(found, Path(folder))}", README.read_text(encoding="utf-8"))


def _shown(found: re.Match[str], folder: Path) -> str:
    command, until = found["command"], found["until"]
    arguments = shlex.split(command)
    for name in _CHANGED.keys() & set(arguments):
        _make(folder, name)
    no_cache = {"XDG_CACHE_HOME": str(folder / "cache")}  # what an earlier run proved is told
    with chdir(folder):  # so that a command it prints names the case as the reader does
        result = CliRunner(env=no_cache).invoke(main, [*arguments, *(["--quiet"] if arguments[0] != "check" else [])])
    lines = (result.stdout or result.stderr).split("\n")
    end = next((k for k, line in enumerate(lines) if line.startswith(until)), len(lines))
    kept = [line for line in lines[:end] if not line.startswith(_VARIES)]
    return "\n".join([f"```console\n$ optimiser {command}", *"\n".join(kept).rstrip().split("\n"), "```", ""])


def _make(folder: Path, name: str) -> None:
    """The tiny trailer as a folder of another name, with some values changed."""
    case = Path(shutil.copytree(shipped_cases() / "tiny-trailer", folder / name, dirs_exist_ok=True))
    for file, old, new in _CHANGED[name]:
        text = (case / file).read_text(encoding="utf-8")
        assert old in text
        (case / file).write_text(text.replace(old, new), encoding="utf-8")


if __name__ == "__main__":
    SCHEMAS.mkdir(exist_ok=True)
    for path, content in pages().items():
        path.write_text(content, encoding="utf-8")
    README.write_text(readme(), encoding="utf-8")
