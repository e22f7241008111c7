"""Why not this part: the sheet and the object of a trial with parts or without them."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.explaining import KeptOut
from optimiser.pipeline import Inputs, PartTrial
from optimiser.printing.as_json import CAUTION
from optimiser.printing.deciders import missed_words, place_words, setter_words
from optimiser.printing.explaining_json import came_to, core_object, reason_object, rows_of, totals_object
from optimiser.printing.impossible import doubtful_words
from optimiser.printing.objects_explained import KeptOutObject, PartObject
from optimiser.printing.trying import FOR_NOW, REFUSED, came_to_words
from optimiser.printing.wording import caution_lines, table


def part_sheet(inputs: Inputs, trial: PartTrial) -> list[RenderableType]:
    """Both builds and what differs, or what leaves no such build."""
    return [
        f"{inputs.case.brief.title} ({inputs.case.name})",
        f"Want:     {trial.before.want}",
        *([f"With:     {', '.join(trial.wanted)}"] if trial.wanted else []),
        *([f"Without:  {', '.join(trial.banned)}"] if trial.banned else []),
        *_body(inputs, trial),
        *caution_lines(inputs.case.rules),
    ]


def _body(inputs: Inputs, trial: PartTrial) -> Iterator[RenderableType]:
    yield f"As asked: {came_to_words(inputs, trial.before)}"
    if trial.status == "breach":
        yield REFUSED
    elif trial.before.status == "impossible":
        yield "Nothing to do with a part: optimiser explain says why there is no build, and the least to change."
    elif trial.already:
        yield f"That build is so already: it {_so(trial)}."
    else:
        yield f"Changed:  {came_to_words(inputs, trial.after)}"
        yield from [f"Change:   {trial.line}"] if trial.line else []
        yield from [_differing(trial)] if trial.rows else []
        yield from _kept_out(trial)
        yield from [FOR_NOW] if trial.after.build else []


def _so(trial: PartTrial) -> str:
    """What is asked of it: ``has panel-200-slim and is without mains_chargers``."""
    has = [f"has {' and '.join(trial.wanted)}"] if trial.wanted else []
    lacks = [f"is without {' and '.join(trial.banned)}"] if trial.banned else []
    return " and ".join([*has, *lacks])


def _differing(trial: PartTrial) -> Table:
    """The rows that say something else, main parts first as on every sheet."""
    made = table("What differs", "what", "as asked", "changed")
    for row in trial.rows:
        if row.differs:
            made.add_row(row.what, row.before, row.after)
    return made


def _kept_out(trial: PartTrial) -> Iterator[str]:
    found = trial.kept_out
    if found is None:
        if trial.after.status == "impossible":
            yield "Why was not found in time."
        return
    if found.reasons:
        yield f"\n{_conflict_words(trial, found)}"
    elif found.doubtful:
        unknown = f"which requirements keep it so was not found in time ({len(found.doubtful)} could)"
        yield f"\nNo build {_so(trial)} (proven); {unknown}."
    for reason in found.reasons:
        place = place_words(reason.name, reason.places, reason.missed)
        missed = missed_words(reason.missed)
        yield f"  {reason.name}{place}: {missed}; {setter_words(reason.name)}"
        if reason.alone and len(found.reasons) > 1:
            yield "      with no more than this given up or eased there is a build (proven)"
    yield from doubtful_words(found.doubtful) if found.reasons else ()
    yield from _core(trial, found)


def _conflict_words(trial: PartTrial, found: KeptOut) -> str:
    state = (
        "a smallest set (proven)"
        if found.smallest
        else "none is too many (proven), a smaller set may do"
        if found.minimal
        else "proven, but some may be too many"
    )
    return f"No build {_so(trial)} because of these, {state}; all else is met throughout:"


def _core(trial: PartTrial, found: KeptOut) -> Iterator[str]:
    """Where nothing that brief, survey and shop ask for matters."""
    if found.reasons or found.doubtful:
        return
    yield f"\nNo build {_so(trial)}, whatever else brief, survey and shop give up (proven)."
    if found.core is None:
        yield "Which limits of makers and rules these are was not found in time."
    elif found.core.names:
        state = "none of them is too many (proven)" if found.core.minimal else "some may be too many"
        yield f"These limits of makers and rules leave no room for it, {state}:"
        for name, missed in zip(found.core.names, found.core.missed, strict=True):
            yield f"  {name}: {missed_words(missed)}; {setter_words(name)}"
    elif found.facts:
        yield from (f"  {fact}" for fact in found.facts)
    else:
        yield "No requirement is at fault: no place, feed or voltage of this vehicle is for it, or it is existing."


# --- for programs --------------------------------------------------------------------------------------


def part_object(trial: PartTrial) -> PartObject:
    """The same. Builds are left out, as of any trial."""
    return {
        "status": trial.status,
        "want": trial.before.want,
        "wanted": list(trial.wanted),
        "banned": list(trial.banned),
        "as_asked": came_to(trial.before),
        "changed": came_to(trial.after),
        "already": trial.already,
        "rows": rows_of(trial),
        "line": trial.line,
        "difference": totals_object(trial.totals),
        "kept_out": _kept_out_object(trial.kept_out) if trial.kept_out else None,
        "caution": CAUTION,
    }


def _kept_out_object(found: KeptOut) -> KeptOutObject:
    return {
        "requirements": [reason_object(reason) for reason in found.reasons],
        "undecided": list(found.doubtful),
        "proven": {"minimal": found.minimal, "smallest": found.smallest},
        "core": core_object(found.core) if found.core else None,
        "facts": list(found.facts),
    }
