"""Helpers of the tests of the command line: run it, and write the handmade trailer out as folders for it."""

from __future__ import annotations

import csv
import json
import signal
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from optimiser import FAULT
from optimiser.case import TABLES, Case
from optimiser.catalogue import Catalogue
from optimiser.cli import main
from optimiser.parts import PARTS
from optimiser.rules import KNOWN


def run(*arguments: str | Path) -> Result:
    """A command in this process."""
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code != FAULT, result.stderr
    return result


def command(*arguments: str | Path, **options: Any) -> subprocess.Popen[str]:
    """A command in a process of its own, which hears Ctrl-C even if a script in the background runs the tests."""
    given = [sys.executable, "-m", "optimiser", *map(str, arguments)]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | options
    return subprocess.Popen(given, text=True, preexec_fn=_hears_ctrl_c, **pipes)


def _hears_ctrl_c() -> None:
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def write_catalogue(folder: Path, catalogue: Catalogue, case: Case) -> Path:
    """The parts, and the case's rules as the default rule set."""
    folder.mkdir()
    for key, model in PARTS.items():
        if key in ("string_fuses", "dc_panels", "breakers"):
            continue  # may be left out
        rows = [part.model_dump() for part in catalogue.of(key).values()] or [_unfit(catalogue, key)]
        _write(folder / f"{key}.csv", list(model.model_fields), rows)
    header = ["rule_set", "figure", "value", "unit", "source", "state"]
    figures = case.rules.figures.items()
    rows = [
        dict(zip(header, ("default", name, f.value, KNOWN[name].unit, f.source, f.state), strict=True))
        for name, f in figures
    ]
    _write(folder / "rule_sets.csv", header, rows)
    return folder


def _unfit(catalogue: Catalogue, key: str) -> dict[str, Any]:
    """A catalogue file wants a row: for inverter-chargers, one for a voltage the case does not allow."""
    assert key == "inverter_chargers"
    inverter = next(iter(catalogue.of("inverters").values()))
    return inverter.model_dump() | {
        "name": "inverter-charger-48",
        "system_v": 48,
        "cut_off_v": 42,
        "charge_a": 10,
        "transfer_a": 16,
    }


def write_case(folder: Path, case: Case) -> Path:
    """The case as its folder."""
    folder.mkdir()
    for key, model in TABLES.items():
        rows = case.load_rows if key == "loads" else getattr(case, key)
        _write(folder / f"{key}.csv", list(model.model_fields), (row.model_dump() for row in rows))
    (folder / "case.toml").write_text(_toml(case.brief.model_dump(exclude_none=True)), encoding="utf-8")
    return folder


def _write(path: Path, header: list[str], rows: Iterable[Mapping[str, Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(header)
        sheet.writerows([_cell(row[name]) for name in header] for row in rows)


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " ".join(map(str, value))
    return "" if value is None else str(value)


def _toml(content: Mapping[str, Any]) -> str:
    """Keys first, since a key below a table would belong to it."""
    tables = {key: value for key, value in content.items() if isinstance(value, dict) or _rows(value)}
    lines = [f"{key} = {json.dumps(value)}" for key, value in content.items() if key not in tables]
    for key, value in tables.items():
        for row in value if _rows(value) else (value,):
            lines += [f"[[{key}]]" if _rows(value) else f"[{key}]"]
            lines += [f"{name} = {json.dumps(cell)}" for name, cell in row.items()]
    return "\n".join(lines) + "\n"


def _rows(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], dict)
