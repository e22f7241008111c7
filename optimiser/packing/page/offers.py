"""The options as data for the page's script: figures, differences, and drawings that options share written once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

from optimiser.drawing import Sheet, drawings, to_svg
from optimiser.fixings import fixings
from optimiser.packing.dossier import Dossier
from optimiser.packing.options import Option
from optimiser.printing.wording import kg, money

_HELD = "drawing-key"  # in place of ids until the drawing is known


def offers(made: Dossier) -> tuple[dict[str, str], list[dict[str, Any]]]:
    """Drawings by key, and the options that name them."""
    shared: dict[str, str] = {}
    shown = [_offer(made, option, shared) for option in made.options]
    return shared, shown


def _offer(made: Dossier, option: Option, shared: dict[str, str]) -> dict[str, Any]:
    currency = made.fit.case.brief.currency
    sheets = drawings_of(made, option)
    return {
        "name": f"Option {option.number}" if len(made.options) > 1 else "This build",
        "number": option.number,
        "cost": money(option.worth.cents, currency),
        "mass": kg(option.worth.grams),
        "chosen": option.chosen,
        "line": f"{option.line[0].upper()}{option.line[1:]}.",
        "rows": [[row.what, row.before, row.after] for row in option.rows],
        "decided": option.decided,
        "deciders": list(option.deciders),
        "drawings": [[sheet.title, _put(sheet, shared)] for sheet in sheets] if len(made.options) > 1 else [],
    }


def drawings_of(made: Dossier, option: Option) -> Sequence[Sheet]:
    """The drawings of an option; those of the pack's own build are there already."""
    if option.chosen:
        return made.sheets
    return drawings(option.fit, option.findings, fixings(option.fit))


def _put(sheet: Sheet, shared: dict[str, str]) -> str:
    svg = to_svg(replace(sheet, key=_HELD))
    key = f"d{sha256(svg.encode()).hexdigest()[:10]}"
    shared.setdefault(key, svg.replace(_HELD, key))
    return key
