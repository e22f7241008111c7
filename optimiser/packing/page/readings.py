"""Readings held against the design, as a table of the page."""

from __future__ import annotations

from typing import Any

from optimiser.commissioning import Held, Report
from optimiser.commissioning.filling import figure
from optimiser.packing.telling import counts

HEADERS = ("reading", "what", "at", "measured", "low", "high", "unit", "verdict", "why, or likely causes to check")
_NUMERIC = (3, 4, 5)


def readings(report: Report) -> dict[str, Any]:
    """What the page shows of a report; rows out of band are marked, and told by their verdict too."""
    causes: dict[str, list[str]] = {}
    for cause in report.causes:
        causes.setdefault(cause.id, []).append(f"{cause.text} ({cause.mark})")
    return {
        "words": f"Read from a {report.kind}: {counts(report)}.",
        "headers": HEADERS,
        "rows": [_row(held, causes.get(held.id, [])) for held in report.held],
        "numeric": _NUMERIC,
        "marked": [place for place, held in enumerate(report.held) if held.verdict == "out of band"],
    }


def _row(held: Held, causes: list[str]) -> tuple[str, ...]:
    numbers = _yes(held) if held.unit == "yes" else _figures(held)
    side = f" ({held.side})" if held.side else ""
    said = held.why or ("; ".join(causes) if held.side else "")
    return held.id, held.what, held.at, *numbers, held.unit, f"{held.verdict}{side}", said


def _figures(held: Held) -> tuple[str, str, str]:
    """A reading with enough digits to tell it from its bounds, which are rounded inwards."""
    measured = "" if held.measured is None else f"{held.measured:.6g}"
    return measured, figure(held.low, up=True), figure(held.high, up=False)


def _yes(held: Held) -> tuple[str, str, str]:
    return "" if held.measured is None else "yes" if held.measured else "no", "yes", ""
