"""The sheet of an impossible case: the nearest brief and its causes, or one conflict and the least that mends it."""

from collections.abc import Iterator

from rich.console import RenderableType

from optimiser.case import Case
from optimiser.checking.odd_values import leaves_little, too_high_words, too_low_words
from optimiser.explaining import Change, Nearest, Reason, Why
from optimiser.pipeline import Explanation, Inputs
from optimiser.printing.asked import asked_words
from optimiser.printing.briefs import brief_words, budget_words, cause_words, longer_words, step_words, undecided
from optimiser.printing.deciders import (
    ASKED_FOR,
    WHOSE,
    by_whose,
    missed_words,
    place_words,
    setter_words,
    wishes,
)


def why_words(inputs: Inputs, found: Explanation) -> Iterator[RenderableType]:
    """All that is known of why there is no build."""
    why = found.why
    assert why is not None
    if why.brief:
        yield from brief_words(inputs, why.brief)
    yield from asked_words(why.asked)
    if why.least_budget:
        yield f"Least budget: {budget_words(why.least_budget)}."
    yield from cause_words(why.causes) if why.causes else _one_conflict(inputs, why)
    if undecided(why.causes) or why.doubtful:
        yield longer_words(inputs, found.seconds)


def _one_conflict(inputs: Inputs, why: Why) -> Iterator[RenderableType]:
    yield f"\n{conflict_words(why)}"
    yield from _wishes(wishes(why.reasons))
    for title, reasons in by_whose(why.reasons):
        yield from [title] if title else []
        for reason in reasons:
            place = place_words(reason.name, reason.places, reason.missed)
            yield f"  {reason.name}{place}: {missed_words(reason.missed)}; {setter_words(reason.name)}"
            if reason.alone:
                way_out = "given up" if reason.set_by == "brief and survey" else "eased"
                less = f"with no more than this {way_out} there is a build (proven)"
                yield f"      every conflict contains it: {less}"
            yield from (f"      {nearest_words(n)}" for n in why.nearest if n.name == reason.name)
    yield from start_words(inputs.case, why)
    yield from _core(why)
    if why.reasons:
        yield from doubtful_words(why.doubtful)
    yield from _beneath(why)
    yield from _changes(why)


def _wishes(reasons: list[Reason]) -> Iterator[str]:
    """What the brief asks for, that which is enough to give up by itself apart."""
    for alone, words in ((True, "; with any one of these given up there is a build (proven)"), (False, "")):
        if told := [f"{r.name}{place_words(r.name, r.places, r.missed)}" for r in reasons if r.alone == alone]:
            yield f"  {ASKED_FOR}: {', '.join(told)}{words}"


def conflict_words(why: Why) -> str:
    """What is known of the conflict, in a sentence that introduces it."""
    count = len(why.reasons) + len(why.doubtful)
    if not count:
        return _no_way_words(why)
    of = f"{count} of {why.negotiable} requirements that brief and survey could ease"
    rest = "all others, of makers, rules and safety, met throughout"
    if not why.reasons:
        all_of = f"No build meets all {why.negotiable} requirements that brief and survey could ease (proven)"
        return f"{all_of}; which of them conflict was not found in time."
    if why.smallest:
        return f"These cannot be met together: a smallest conflict (proven), {of}; {rest}."
    if why.minimal:
        return f"These cannot be met together: none is too many (proven), a smaller conflict may exist; {of}; {rest}."
    return f"These cannot be met together (proven), but the conflict may not be smallest; {of}; {rest}."


def _no_way_words(why: Why) -> str:
    """Only where every value was tried, and proven to be of no use, is it said that none helps."""
    words = "No build meets what makers and rules set, even with all given up that brief and survey ask for (proven)"
    values = len(why.tried.addresses)
    if why.changes:
        return f"{words}; but a value of brief or survey moved changes what they set: see below."
    if why.tried.undecided:
        return f"{words}. Whether a value of brief or survey moved would help is not known: not all were tried in time."
    return f"{words}; nor does any of {values} values help that feed such limits, each moved by itself (proven)."


def _core(why: Why) -> Iterator[str]:
    if why.core is not None and why.core.names:
        state = "none of them is too many (proven)" if why.core.minimal else "some may be too many"
        yield f"{WHOSE['makers and rules']} These cannot be met together, {state}:"
        for name, missed in zip(why.core.names, why.core.missed, strict=True):
            yield f"  {name}: {missed_words(missed)}"
    elif why.core is not None:
        yield "No requirement is at fault: no part of the catalogue fills a place that every build has."
    elif not why.reasons and not why.doubtful:
        yield "Which of makers' and rules' limits these are was not found in time."
    if not why.changes and why.tried.no_use and not why.reasons and not why.doubtful:
        yield f"  tried: {', '.join(why.tried.addresses)}"


def _beneath(why: Why) -> Iterator[str]:
    """What mending the conflict leaves."""
    for gone in why.together:
        yield f"  enough only together (proven), given up or eased as said above: {', '.join(gone)}"
    for names in why.further:
        yield f"  mended this, these cannot be met together either (proven): {', '.join(names)}"
    if why.beneath == "unknown":
        yield "  mended this, others may remain: they were not looked at in time."


def _changes(why: Why) -> Iterator[str]:
    if why.changes:
        yield "\nAny one of these makes it possible; for each a build was found and audited:"
        for number, change in enumerate(why.changes, start=1):
            yield f"  {number}. {change_words(change)}"
    elif why.reasons or why.doubtful:
        known = "No value of brief or survey is known that makes it possible by itself"
        yield f"\n{known}; not proven that there is none."


def change_words(change: Change) -> str:
    """A change, with the numbers on both sides."""
    told = " and ".join(
        f"{step_words(lever, count)} ({move.address}: {move.before} to {move.after})"
        for lever, count, move in zip(change.levers, change.counts, change.moves, strict=True)
    )
    if all(lever.step is None for lever in change.levers):
        return told
    least = "the least in such steps (proven)" if change.least else "whether less is enough is undecided"
    return f"{told}: {least}"


def nearest_words(nearest: Nearest) -> str:
    """How near to what was asked a limit can stay, and what is known of it."""
    lever, (end, nearer) = nearest.lever, ("least", "less") if (nearest.lever.step or 0) > 0 else ("most", "more")

    def told(parts: int) -> str:
        return " ".join(word for word in (nearest.value(parts), lever.unit) if word)

    bound = f"no build is possible with {nearer} than {told(nearest.bound)} (the solver's bound; {lever.address})"
    if nearest.works is None:
        return f"no value that works with all else met was found in time: {bound}"
    if nearest.exact:
        return (
            f"with all else met {told(nearest.works)} {lever.words} is the {end} that works (proven; {lever.address})"
        )
    return f"with all else met {told(nearest.works)} {lever.words} works: a build was found; {bound}; no more is known"


def doubtful_words(names: tuple[str, ...]) -> Iterator[str]:
    """How many could not be told apart in time: a list of them would help nobody."""
    if names:
        yield f"  Whether others belong to it was not decided in time ({len(names)} could)."


# --- why the charge that a scenario starts with leaves no build ---------------------------------------


_RETURNS = "energy.returns"


def start_words(case: Case, why: Why) -> Iterator[str]:
    """Of each scenario whose start moved by itself is enough, and of those whose start the conflict likely turns on."""
    moves = [move for change in why.changes for move in change.moves]
    named = {place for reason in why.reasons for place in (reason.name, *reason.places)}
    for scenario in case.scenarios:
        address = f"scenario.{scenario.name}.start_pct"
        to = [float(move.after) for move in moves if move.address == address]
        if any(after > scenario.start_pct for after in to):
            yield f"  {scenario.name} {too_low_words(case, scenario)}"
        elif to or (leaves_little(scenario) and named & {_RETURNS, f"{_RETURNS}[{scenario.name}]"}):
            yield f"  {scenario.name} {too_high_words(scenario)}"
