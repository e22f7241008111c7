"""Commissioning for programs: one JSON object each, of the types in `objects.py`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from optimiser.auditing import Finding, breaches
from optimiser.cautions import CAUTIONS
from optimiser.commissioning import VERDICTS, Check, Expectation, Expected, Report
from optimiser.printing.as_json import findings_json


def expectation_json(found: Expectation | None, findings: Iterable[Finding] = ()) -> str:
    """What meters should show; None: the build was refused, for the breaches among its findings."""
    moment = found.moment if found else None
    return _text(
        {
            "status": "expected" if found else "breach",
            "at": moment.at.isoformat(timespec="minutes") if moment else None,
            "sky": moment.sky.name if moment and moment.sky else None,
            "scenario": found.scenario if found else None,
            "air_c": found.air_c if found else None,
            "bank_v": found.bank_v if found else None,
            "light_w_m2": found.light_w_m2 if found else {},
            "strings": _rows(found.strings if found else ()),
            "arrays": _rows(found.arrays if found else ()),
            "sources": _rows(found.sources if found else ()),
            "loads": _rows(found.loads if found else ()),
            "measured": _rows(found.measured if found else ()),
            "total": _rows([found.total])[0] if found else None,
            "assumed": list(found.assumed) if found else [],
            "breaches": findings_json(breaches(findings)),
            "caution": " ".join(CAUTIONS),
        }
    )


def report_json(report: Report | None, findings: Iterable[Finding] = (), checks: Iterable[Check] = ()) -> str:
    """Readings held against the design; without a report a blank sheet, or a build that was refused."""
    broken = breaches(findings)
    return _text(
        {
            "status": report.status if report else "breach" if broken else "blank",
            "kind": report.kind if report else "test sheet",
            "counts": {name: report.count(name) for name in VERDICTS} if report else {},
            "readings": [asdict(held) for held in report.held] if report else [],
            "causes": [asdict(cause) for cause in report.causes] if report else [],
            "checks": [_check(check) for check in checks],
            "breaches": findings_json(broken),
            "caution": " ".join(CAUTIONS),
        }
    )


def _rows(rows: Iterable[Expected]) -> list[dict[str, Any]]:
    return [asdict(row) for row in rows]


def _check(check: Check) -> dict[str, Any]:
    design, low, high = check.printed
    content = asdict(check) | {"design": design, "low": low, "high": high}
    shown = ("group", "id", "what", "how", "unit", "design", "low", "high", "basis", "source", "licensed", "table_of")
    return {name: content[name] for name in shown} | {"table": [list(pair) for pair in check.table]}


def _text(content: dict[str, Any]) -> str:
    return json.dumps(content, ensure_ascii=False, allow_nan=False) + "\n"
