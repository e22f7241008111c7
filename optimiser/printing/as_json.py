"""Answers and audits for programs: one JSON object each, of the types in `objects.py`."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict
from math import isfinite
from pathlib import Path
from typing import Any

from optimiser.auditing import Finding, breaches
from optimiser.builds import Build, to_json
from optimiser.cautions import CAUTIONS
from optimiser.checking import Overview
from optimiser.explaining import Change, Core, Deciding, Nearest, Why
from optimiser.fitted import worth
from optimiser.measures import MEASURES
from optimiser.moves import Moved
from optimiser.pipeline import Answer, Comparison, Explanation, Inputs
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS
from optimiser.units import CENTS, GRAMS


def new_json(folder: Path) -> str:
    """A starter case that was written."""
    return _text({"status": "written", "folder": str(folder), "files": sorted(path.name for path in folder.iterdir())})


def overview_json(seen: Overview) -> str:
    """What a case amounts to."""
    content = asdict(seen) | {key: [row.model_dump() for row in getattr(seen, key)] for key in ("ways", "kept")}
    return _text({"status": "odd" if seen.oddities else "read", **content})


def answer_json(answer: Answer) -> str:
    """A solve. A build that the audit refused is not shown."""
    outcome, shown = answer.outcome, answer.status != "breach"
    claim = answer.build.claim if answer.build and shown else None
    scale = CENTS if answer.want == "cheapest" else GRAMS
    return _text(
        {
            "status": answer.status,
            "want": answer.want,
            "cost": _scaled(claim.cost_cents if claim else None, CENTS),
            "mass": _scaled(claim.mass_g if claim else None, GRAMS),
            "bound": _scaled(answer.bound if shown else None, scale),
            "gap": answer.gap if shown else None,
            "build": json.loads(to_json(answer.build)) if answer.build and shown else None,
            "findings": findings_json(answer.findings),
            "seconds": round(outcome.seconds, 3),
            "caution": " ".join(CAUTIONS),
        }
    )


def audit_json(inputs: Inputs, build: Build, findings: Iterable[Finding]) -> str:
    """An audit; cost and mass as the audit reckons them, whatever the build claims."""
    found = tuple(findings)
    total = worth(inputs.case, inputs.catalogue, build)
    return _text(
        {
            "status": "breach" if breaches(found) else "pass",
            "cost": _scaled(total.cents, CENTS),
            "mass": _scaled(total.grams, GRAMS),
            "findings": findings_json(found),
            "caution": " ".join(CAUTIONS),
        }
    )


def comparison_json(found: Comparison) -> str:
    """A front. Builds that the audit refused are not shown."""
    shown = found.choices if found.state != "breach" else ()
    return _text(
        {
            "status": found.state,
            "measures": list(found.measures),
            "why": found.why,
            "points": [
                {
                    **{name: figure / MEASURES[name].per_unit for name, figure in choice.figures.items()},
                    "proven": choice.proven,
                    "build": json.loads(to_json(choice.build)),
                    "findings": findings_json(choice.findings),
                }
                for choice in shown
            ],
            "steps": [
                {"line": step.line, "cost": step.totals.cents / CENTS, "mass": step.totals.grams / GRAMS}
                for step in found.steps
            ],
            "caution": " ".join(CAUTIONS),
        }
    )


def explanation_json(found: Explanation) -> str:
    """Why a case has no build, or what decides its best ones."""
    why = found.why
    return _text(
        {
            "status": found.verdict,
            "conflict": _conflict(why) if why else None,
            "changes": [_change(change) for change in why.changes] if why else [],
            "nearest": [_nearest(nearest) for nearest in why.nearest] if why else [],
            "deciding": [_deciding(deciding) for deciding in found.deciding],
            "undecided": [{"want": want, "why": words} for want, words in found.undecided],
            "seconds": round(found.seconds, 3),
            "caution": " ".join(CAUTIONS),
        }
    )


def _conflict(why: Why) -> dict[str, Any]:
    return {
        "requirements": [
            {
                "requirement": reason.name,
                "set_by": reason.set_by,
                **_whose(reason.name),
                "in_every_conflict": reason.alone,
                "enough_at": list(reason.places),
                "missed_by": findings_json([reason.missed])[0] if reason.missed else None,
            }
            for reason in why.reasons
        ],
        "undecided": list(why.doubtful),
        "proven": {"minimal": why.minimal, "smallest": why.smallest},
        "negotiable": why.negotiable,
        "together": [list(names) for names in why.together],
        "further": [list(names) for names in why.further],
        "others_beneath": why.beneath,
        "core": _core(why.core) if why.core else None,
        "tried_in_vain": list(why.tried.addresses),
        "not_tried": [lever.address for lever in why.tried.undecided],
    }


def _whose(name: str) -> dict[str, Any]:
    """Who sets it, and whether it is a wish rather than a limit."""
    known = REGISTER[name.partition("[")[0]]
    return {"setter": known.setter, "asked_for": known.asked_for}


def _core(core: Core) -> dict[str, Any]:
    """What makers and rules set that cannot hold together."""
    rows = zip(core.names, core.missed, strict=True)
    return {
        "requirements": [
            {"requirement": name, "missed_by": findings_json([missed])[0] if missed else None} for name, missed in rows
        ],
        "minimal": core.minimal,
    }


def _nearest(nearest: Nearest) -> dict[str, Any]:
    """How near to what was asked a limit can stay."""
    return {
        "requirement": nearest.name,
        "address": nearest.lever.address,
        "works": _scaled(nearest.works, nearest.scale),
        "bound": nearest.bound / nearest.scale,
        "proven": nearest.exact,
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "moves": [move_json(move) | {"steps": count} for move, count in zip(change.moves, change.counts, strict=True)],
        "least_proven": change.least,
        "build": json.loads(to_json(change.build)),
        "findings": findings_json(change.findings),
    }


def move_json(move: Moved) -> dict[str, Any]:
    """A value moved, and what followed."""
    also = [{"address": address, "before": before, "after": after} for address, before, after in move.also]
    return {"address": move.address, "before": move.before, "after": move.after, "also": also}


def _deciding(found: Deciding) -> dict[str, Any]:
    scale = MEASURES[WANTS[found.want][0]].per_unit
    return {
        "want": found.want,
        "cost": found.best.cost_cents / CENTS,
        "mass": found.best.mass_g / GRAMS,
        "margin": found.margin / scale,
        "requirements": [
            {
                "requirement": decider.name,
                "set_by": decider.set_by,
                **_whose(decider.name),
                "alone": decider.alone,
                "enough_at": list(decider.places),
                "better_by_at_least": None if decider.better_by is None else decider.better_by / scale,
                "better_by_at_most": None if decider.at_most is None else decider.at_most / scale,
                "finding": findings_json([decider.finding])[0] if decider.finding else None,
            }
            for decider in found.deciders
        ],
        "together": [list(names) for names in found.together],
        "undecided": list(found.doubtful),
        "proven": {"minimal": found.minimal, "smallest": found.smallest},
        "prices": [
            {
                "requirement": price.name,
                **move_json(price.move),
                "easing": price.easing,
                "status": price.outcome,
                **{
                    measure: _scaled(change, MEASURES[measure].per_unit)
                    for measure, change in zip(WANTS[found.want], (price.wanted, price.other), strict=True)
                },
            }
            for price in found.prices
        ],
        "room": findings_json(found.room),
    }


def findings_json(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Findings, a row each; no number where a limit has no end."""
    return [
        {
            "requirement": finding.requirement,
            "limit": _number(finding.limit),
            "actual": _number(finding.actual),
            "unit": finding.unit,
            "margin": _number(finding.margin),
            "ok": finding.ok,
            "sentence": finding.sentence,
        }
        for finding in findings
    ]


def _scaled(value: int | None, scale: int) -> float | None:
    return None if value is None else value / scale


def _number(value: float) -> float | None:
    return value if isfinite(value) else None  # JSON has no word for endless


def _text(content: dict[str, Any]) -> str:
    return json.dumps(content, ensure_ascii=False, allow_nan=False) + "\n"
