"""Explanations, trials and sweeps for programs: the objects whose types are in `objects_explained.py`."""

from optimiser.auditing import Finding
from optimiser.differences import Totals
from optimiser.explaining import (
    Cause,
    Change,
    Core,
    Decider,
    Deciding,
    Limit,
    NearestBrief,
    Price,
    Reason,
    Why,
    addresses_of,
)
from optimiser.measures import MEASURES
from optimiser.pipeline import Answer, Explanation, Sweep, Swept, Trial
from optimiser.printing.as_json import CAUTION, answer_object, difference_of, finding_of, findings_of, scaled
from optimiser.printing.asked_json import asked_object
from optimiser.printing.moved_json import budget_object, move_object, nearest_object, weighed_object
from optimiser.printing.objects_built import DifferenceObject, FindingObject
from optimiser.printing.objects_explained import (
    BesideObject,
    CameToObject,
    CauseObject,
    ChangeObject,
    ConflictObject,
    CoreObject,
    DeciderObject,
    DecidingObject,
    ExplanationObject,
    LimitObject,
    NearestBriefObject,
    PriceObject,
    ReasonObject,
    SweepObject,
    SweptObject,
    TrialObject,
)
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS
from optimiser.units import CENTS, GRAMS


def explanation_object(found: Explanation) -> ExplanationObject:
    """Why a case has no build, or what decides its best ones."""
    why = found.why
    return {
        "status": found.verdict,
        "confirmed": found.confirmed,
        "conflict": _conflict(why) if why and not why.causes else None,
        "causes": [_cause(cause) for cause in why.causes] if why else [],
        "nearest_brief": _brief(why.brief) if why and why.brief else None,
        "changes": [_change(change) for change in why.changes] if why else [],
        "asked": asked_object(why.asked) if why else None,
        "least_budget": budget_object(why.least_budget) if why and why.least_budget else None,
        "nearest": [nearest_object(nearest) for nearest in why.nearest] if why else [],
        "deciding": [_deciding(deciding) for deciding in found.deciding],
        "undecided": [{"want": want, "why": words} for want, words in found.undecided],
        "earlier": found.earlier,
        "seconds": round(found.seconds, 3),
        "caution": CAUTION,
    }


def trial_object(trial: Trial) -> TrialObject:
    """A trial. Builds are left out: the one of a changed case is of no folder, and must not be taken for one."""
    return {
        "status": trial.status,
        "want": trial.before.want,
        "sets": [move_object(move) for move in trial.moves],
        "drops": list(trial.drops),
        "as_asked": came_to(trial.before),
        "changed": came_to(trial.after),
        "given_up": findings_of(trial.given_up),
        "held_anyway": list(trial.held_anyway),
        "only_to_compare": trial.only_to_compare,
        "rows": rows_of(trial),
        "line": trial.line,
        "difference": totals_object(trial.totals),
        "caution": CAUTION,
    }


def sweep_object(found: Sweep) -> SweepObject:
    """A sweep, a row a value."""
    return {
        "status": found.state,
        "want": found.want,
        "address": found.address,
        "unit": found.unit,
        "before": found.before,
        "values": found.asked,
        "only_to_compare": found.only_to_compare,
        "rows": [_swept(row) for row in found.rows],
        "caution": CAUTION,
    }


def _swept(row: Swept) -> SweptObject:
    return {
        **came_to(row.answer),
        "value": float(row.value),
        "as_asked": row.as_asked,
        "changes": row.changes,
        "since": None if row.since is None else float(row.since),
        "line": row.line,
        "difference": totals_object(row.totals),
    }


def rows_of(trial: Trial) -> list[BesideObject]:
    """Both builds side by side."""
    return [{"what": r.what, "before": r.before, "after": r.after, "differs": r.differs} for r in trial.rows]


def came_to(answer: Answer) -> CameToObject:
    """What a solve came to, without its build."""
    found = answer_object(answer)
    return {
        "status": found["status"],
        "cost": found["cost"],
        "mass": found["mass"],
        "bound": found["bound"],
        "gap": found["gap"],
        "findings": found["findings"],
        "seconds": found["seconds"],
    }


def _conflict(why: Why) -> ConflictObject:
    return {
        "requirements": [reason_object(reason) for reason in why.reasons],
        "undecided": list(why.doubtful),
        "proven": {"minimal": why.minimal, "smallest": why.smallest},
        "negotiable": why.negotiable,
        "together": [list(names) for names in why.together],
        "further": [list(names) for names in why.further],
        "others_beneath": why.beneath,
        "core": core_object(why.core) if why.core else None,
        "tried_in_vain": list(why.tried.addresses),
        "not_tried": list(addresses_of(why.tried.undecided)),
    }


def _cause(cause: Cause) -> CauseObject:
    return {
        "address": cause.eased.move.address,
        "requirements": [reason_object(reason) for reason in cause.reasons],
        "undecided": list(cause.doubtful),
        "proven": {"minimal": cause.minimal, "smallest": cause.smallest},
        "needed": cause.needed,
        "least_proven": cause.least,
    }


def reason_object(reason: Reason) -> ReasonObject:
    """A requirement of a conflict."""
    known = REGISTER[reason.name.partition("[")[0]]
    return {
        "requirement": reason.name,
        "set_by": reason.set_by,
        "setter": known.setter,
        "asked_for": known.asked_for,
        "in_every_conflict": reason.alone,
        "enough_at": list(reason.places),
        "missed_by": _maybe(reason.missed),
    }


def core_object(core: Core) -> CoreObject:
    """What makers and rules set that cannot all be met."""
    rows = zip(core.names, core.missed, strict=True)
    return {
        "requirements": [{"requirement": name, "missed_by": _maybe(missed)} for name, missed in rows],
        "minimal": core.minimal,
    }


def _brief(brief: NearestBrief) -> NearestBriefObject:
    return {
        **weighed_object(brief),
        "missed": findings_of(brief.missed),
        "build": brief.build,
        "findings": findings_of(brief.findings),
    }


def _change(change: Change) -> ChangeObject:
    counted = zip(change.moves, change.counts, strict=True)
    return {
        "moves": [{**move_object(move), "steps": count} for move, count in counted],
        "least_proven": change.least,
        "build": change.build,
        "findings": findings_of(change.findings),
    }


def _deciding(found: Deciding) -> DecidingObject:
    scale = MEASURES[WANTS[found.want][0]].per_unit
    return {
        "want": found.want,
        "cost": found.best.cost_cents / CENTS,
        "mass": found.best.mass_g / GRAMS,
        "margin": found.margin / scale,
        "requirements": [_decider(decider, scale) for decider in found.deciders],
        "together": [list(names) for names in found.together],
        "all_together": found.looked_through,
        "undecided": [limit.name for limit in found.doubtful],
        "limits": [_limit(limit, scale) for limit in (*found.doubtful, *found.others)],
        "no_room": findings_of(found.no_room),
        "proven": {"minimal": found.minimal, "smallest": found.smallest},
        "prices": [_price(found, price) for price in found.prices],
        "room": findings_of(found.room),
    }


def _decider(decider: Decider, scale: int) -> DeciderObject:
    known = REGISTER[decider.name.partition("[")[0]]
    return {
        "requirement": decider.name,
        "set_by": decider.set_by,
        "setter": known.setter,
        "asked_for": known.asked_for,
        "enough_at": list(decider.places),
        "better_by_at_least": scaled(decider.better_by, scale),
        "better_by_at_most": scaled(decider.at_most, scale),
        "finding": _maybe(decider.finding),
    }


def _price(found: Deciding, price: Price) -> PriceObject:
    changes = dict(zip(WANTS[found.want], (price.wanted, price.other), strict=True))
    return {
        **move_object(price.move),
        "requirement": price.name,
        "easing": price.easing,
        "status": price.outcome,
        "cost": scaled(changes["cost"], CENTS),
        "mass": scaled(changes["mass"], GRAMS),
        "no_less_than": scaled(price.bound, MEASURES[WANTS[found.want][0]].per_unit),
    }


def _limit(limit: Limit, scale: int) -> LimitObject:
    return {
        "requirement": limit.name,
        "better_by_at_most": limit.at_most / scale,
        "finding": _maybe(limit.finding),
    }


def _maybe(finding: Finding | None) -> FindingObject | None:
    return None if finding is None else finding_of(finding)


def totals_object(figures: Totals | None) -> DifferenceObject | None:
    """What one build costs and weighs more or less than another, if both are there."""
    return None if figures is None else difference_of(figures)
