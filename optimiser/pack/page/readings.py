"""Readings held against the design, as a table of the page."""

from __future__ import annotations

from typing import Any

from optimiser.commissioning import Held, Report

HEADERS = ("reading", "what", "at", "measured", "low", "high", "unit", "verdict", "why, or likely causes to check")
_NUMERIC = (3, 4, 5)


def readings(report: Report) -> dict[str, Any]:
    """What the page shows of a report; rows out of band are marked, and told by their verdict too."""
    causes: dict[str, list[str]] = {}
    for cause in report.causes:
        causes.setdefault(cause.id, []).append(f"{cause.text} ({cause.mark})")
    counts = ", ".join(f"{report.count(verdict)} {verdict}" for verdict in ("in band", "out of band", "not tested"))
    return {
        "words": f"Read from a {report.kind}: {counts}.",
        "headers": HEADERS,
        "rows": [_row(held, causes.get(held.id, [])) for held in report.held],
        "numeric": _NUMERIC,
        "marked": [place for place, held in enumerate(report.held) if held.verdict == "out of band"],
    }


def _row(held: Held, causes: list[str]) -> tuple[str, ...]:
    numbers = ("" if value is None else f"{value:.4g}" for value in (held.measured, held.low, held.high))
    side = f" ({held.side})" if held.side else ""
    said = held.why or ("; ".join(causes) if held.side else "")
    return held.id, held.what, held.at, *numbers, held.unit, f"{held.verdict}{side}", said
