"""Trials and sweeps for programs: one JSON object each."""

from __future__ import annotations

import json
from typing import Any

from optimiser.cautions import CAUTIONS
from optimiser.differences import Totals
from optimiser.pipeline import Answer
from optimiser.pipeline.sweeping import Sweep
from optimiser.pipeline.trying import Trial
from optimiser.printing.as_json import answer_json, findings_json, move_json
from optimiser.units import CENTS, GRAMS


def trial_json(trial: Trial) -> str:
    """A trial. Builds are left out: the one of a changed case is of no folder, and must not be taken for one."""
    return _text(
        {
            "status": trial.status,
            "want": trial.before.want,
            "sets": [move_json(move) for move in trial.moves],
            "drops": list(trial.drops),
            "as_asked": _answer(trial.before),
            "changed": _answer(trial.after),
            "given_up": findings_json(trial.given_up),
            "held_anyway": list(trial.held_anyway),
            "only_to_compare": trial.only_to_compare,
            "rows": [row._asdict() | {"differs": row.differs} for row in trial.rows],
            "line": trial.line,
            "difference": _difference(trial.totals),
        }
    )


def sweep_json(found: Sweep) -> str:
    """A sweep, a row a value."""
    return _text(
        {
            "status": found.state,
            "want": found.want,
            "address": found.address,
            "unit": found.unit,
            "before": found.before,
            "values": found.asked,
            "only_to_compare": found.only_to_compare,
            "rows": [
                _answer(row.answer)
                | {
                    "value": float(row.value),
                    "as_asked": row.as_asked,
                    "changes": row.changes,
                    "since": None if row.since is None else float(row.since),
                    "line": row.line,
                    "difference": _difference(row.totals),
                }
                for row in found.rows
            ],
        }
    )


def _answer(answer: Answer) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(answer_json(answer))
    return {key: value for key, value in found.items() if key not in ("build", "caution", "want")}


def _difference(figures: Totals | None) -> dict[str, float] | None:
    return None if figures is None else {"cost": figures.cents / CENTS, "mass": figures.grams / GRAMS}


def _text(content: dict[str, Any]) -> str:
    return json.dumps(content | {"caution": " ".join(CAUTIONS)}, ensure_ascii=False, allow_nan=False) + "\n"
