"""Answers and audits for programs: the objects whose types are in `objects.py`."""

import json
from collections.abc import Iterable
from math import isfinite
from pathlib import Path
from typing import Any

from pydantic_core import to_jsonable_python

from optimiser.auditing import Finding, breaches
from optimiser.builds import Build
from optimiser.cautions import CAUTIONS
from optimiser.checking import Overview
from optimiser.differences import Totals, main_parts
from optimiser.explaining import Glance
from optimiser.fitted import cost_and_mass
from optimiser.measures import MEASURES
from optimiser.pipeline import Answer, Choice, Comparison, Inputs
from optimiser.printing.moved_json import budget_object, weighed_object
from optimiser.printing.objects import CheckObject, NewObject
from optimiser.printing.objects_built import (
    AnswerObject,
    AuditObject,
    ComparisonObject,
    DifferenceObject,
    FindingObject,
    GlanceObject,
    PointObject,
    StepObject,
)
from optimiser.solve import Impossible
from optimiser.units import CENTS, GRAMS

CAUTION = " ".join(CAUTIONS)


def as_text(content: Any) -> str:
    """An object as a line of JSON."""
    return json.dumps(to_jsonable_python(content), ensure_ascii=False, allow_nan=False) + "\n"


def new_object(folder: Path) -> NewObject:
    """A starter case that was written."""
    return {"status": "written", "folder": str(folder), "files": sorted(path.name for path in folder.iterdir())}


def overview_object(seen: Overview) -> CheckObject:
    """What a case amounts to."""
    return {
        "status": "odd" if seen.oddities else "read",
        "title": seen.title,
        "scenarios": seen.scenarios,
        "zones": seen.zones,
        "bays": seen.bays,
        "ways": seen.ways,
        "existing": seen.existing,
        "old_parts": seen.old_parts,
        "built": seen.built,
        "driven": seen.driven,
        "oddities": seen.oddities,
        "notes": seen.notes,
    }


def answer_object(answer: Answer, glance: Glance | None = None) -> AnswerObject:
    """A solve. A build that the audit refused is not shown."""
    shown = answer.status != "breach"
    build = answer.build if shown else None
    return {
        "status": answer.status,
        "want": answer.want,
        "cost": scaled(build.claim.cost_cents if build else None, CENTS),
        "mass": scaled(build.claim.mass_g if build else None, GRAMS),
        "bound": scaled(answer.bound if shown else None, CENTS if answer.want == "cheapest" else GRAMS),
        "gap": answer.gap if shown else None,
        "build": build,
        "findings": findings_of(answer.findings),
        "glance": None if glance is None else _glance(glance),
        "confirmed": answer.outcome.confirmed if isinstance(answer.outcome, Impossible) else None,
        "seconds": round(answer.outcome.seconds, 3),
        "caution": CAUTION,
    }


def _glance(found: Glance) -> GlanceObject:
    in_vain = [list(names) for names in found.in_vain]
    return {
        "missed": findings_of(found.missed),
        "minimal": found.minimal,
        "in_vain": in_vain,
        "nearest_brief": weighed_object(found.brief) if found.brief else None,
        "least_budget": budget_object(found.least_budget) if found.least_budget else None,
    }


def audit_object(inputs: Inputs, build: Build, findings: tuple[Finding, ...]) -> AuditObject:
    """An audit; cost and mass as the audit calculates them, whatever the build claims."""
    total = cost_and_mass(inputs.case, inputs.catalogue, build)
    return {
        "status": "breach" if breaches(findings) else "pass",
        "cost": total.cents / CENTS,
        "mass": total.grams / GRAMS,
        "findings": findings_of(findings),
        "caution": CAUTION,
    }


def comparison_object(found: Comparison) -> ComparisonObject:
    """A front. Builds that the audit refused are not shown."""
    return {
        "status": found.state,
        "measures": list(found.measures),
        "why": found.why,
        "confirmed": found.confirmed,
        "apart": dict(zip(found.measures, found.apart, strict=True)) if found.apart else None,
        "points": [_point(choice) for choice in found.choices] if found.state != "breach" else [],
        "steps": [StepObject(line=step.line, **difference_of(step.totals)) for step in found.steps],
        "caution": CAUTION,
    }


def _point(choice: Choice) -> PointObject:
    figures = {name: figure / MEASURES[name].per_unit for name, figure in choice.figures.items()}
    point = PointObject(
        cost=figures.pop("cost"),
        mass=figures.pop("mass"),
        proven=choice.proven,
        best_in=list(choice.best_in),
        main_parts=list(main_parts(choice.build)),
        build=choice.build,
        findings=findings_of(choice.findings),
    )
    for name, figure in figures.items():
        point[name] = figure
    return point


def findings_of(findings: Iterable[Finding]) -> list[FindingObject]:
    """Findings, a row each; no number where a limit has no end."""
    return [finding_of(finding) for finding in findings]


def finding_of(finding: Finding) -> FindingObject:
    """One finding."""
    return {
        "requirement": finding.requirement,
        "limit": _number(finding.limit),
        "actual": _number(finding.actual),
        "unit": finding.unit,
        "margin": _number(finding.margin),
        "ok": finding.ok,
        "sentence": finding.sentence,
    }


def difference_of(figures: Totals) -> DifferenceObject:
    """What another build costs and weighs more."""
    return {"cost": figures.cents / CENTS, "mass": figures.grams / GRAMS}


def scaled(value: int | None, scale: int) -> float | None:
    """Whole parts as the unit they are parts of."""
    return None if value is None else value / scale


def _number(value: float) -> float | None:
    return value if isfinite(value) else None  # JSON has no word for endless
