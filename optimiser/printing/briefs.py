"""The nearest brief in words: what gives way, what is missing, and the conflict that each value of it mends."""

import shlex
from collections.abc import Iterator
from math import ceil

from rich.console import RenderableType

from optimiser.explaining import Cause, Eased, LeastBudget, NearestBrief
from optimiser.moves import WORD_WEIGHS, Lever, Moved
from optimiser.pipeline import Inputs, called
from optimiser.printing.deciders import missed_words, place_words, setter_words
from optimiser.solve import Stop

_IN_FULL = 4  # requirements of a conflict


def brief_words(inputs: Inputs, brief: NearestBrief) -> Iterator[RenderableType]:
    """What gives way by least in all."""
    count = len(brief.eased)
    what = "this value moved" if count == 1 else f"these {count} values moved"
    yield f"\nNearest to what was asked: with {what} there is a build (found and audited); {_weighed(brief)}."
    for number, eased in enumerate(brief.eased, start=1):
        yield f"  {number}. {short_words(eased)}"
    yield f"  to try it: {command_words(inputs, brief)}"


def command_words(inputs: Inputs, brief: NearestBrief) -> str:
    """The command that tries a brief."""
    sets = " ".join(set_words(eased.move) for eased in brief.eased)
    return f"optimiser explain {called(inputs)} {sets}"


def set_words(move: Moved) -> str:
    """The option that makes a move; a second = keeps a value below 0 from being taken off."""
    absolute = "=" * move.after.startswith("-")
    return f"--set {shlex.quote(f'{move.address}={absolute}{move.after}')}"


def step_words(lever: Lever, count: int) -> str:
    """Steps of a lever as a quantity: ``+4 kg allowed hitch load``."""
    if lever.step is None:
        return lever.words
    unit = f"{lever.unit} " if lever.unit else ""
    return f"{lever.step * count:+g} {unit}{lever.words}"


def short_words(eased: Eased) -> str:
    """What is asked, what fits and the difference: ``draw of load kettle: 700 W asked, 500 W fit, 200 W too much``."""
    lever, move = eased.lever, eased.move
    if lever.step is None:
        return f"{lever.words} ({move.address}: {move.before} to {move.after})"

    def told(figure: str) -> str:
        return " ".join(word for word in (figure, lever.unit) if word)

    before, after, gap = told(move.before), told(move.after), told(f"{abs(lever.step) * eased.count:g}")
    if lever.step > 0:
        return f"{lever.words}: {before} there, {after} needed, {gap} missing ({move.address})"
    return f"{lever.words}: {before} asked, {after} fit, {gap} too much ({move.address})"


def budget_words(found: LeastBudget) -> str:
    """The least budget that works, and with how many values moved beside it."""
    near, others = found.near, found.others
    beside = "all else as asked"
    if others:
        beside = f"the other {'value' if others == 1 else f'{others} values'} moved as said"
    unit = near.lever.unit
    bound = f"no less than {near.value(near.bound)} {unit} is enough (the solver's bound)"
    if near.works is None:
        return f"with {beside}, {bound}; no build was found in time"
    works = f"{near.value(near.works)} {unit} with {beside}"
    return f"{works} (proven)" if near.exact else f"{works} is enough (a build was found); {bound}"


def _weighed(brief: NearestBrief) -> str:
    weights = f"a step of a limit weighs 1, a word of the brief {WORD_WEIGHS}"
    if brief.least:
        return f"it weighs {brief.weight} in all, and none the solver can weigh is less (proven; {weights})"
    if brief.bound is None:
        return f"it weighs {brief.weight} in all, whether less is enough is undecided ({weights})"
    bound = f"none the solver can weigh is less than {brief.bound}"
    return f"it weighs {brief.weight} in all, {bound} (the solver's bound; {weights})"


# --- several causes ------------------------------------------------------------------------------------


def cause_words(causes: tuple[Cause, ...]) -> Iterator[str]:
    """A conflict, the value that mends it, the next conflict."""
    yield "\nThe conflicts, one after the other, each as it is left with all the other values moved:"
    for number, cause in enumerate(causes, start=1):
        yield f"  {number}. {_cause_line(cause)}"
        for reason in cause.reasons[:_IN_FULL]:
            place = place_words(reason.name, reason.places, reason.missed)
            yield f"       {reason.name}{place}: {missed_words(reason.missed)}; {setter_words(reason.name)}"
        if others := [reason.name for reason in cause.reasons[_IN_FULL:]]:
            yield f"       and {', '.join(others)}"
        yield f"     mended by: {_mending(cause)}"


def _cause_line(cause: Cause) -> str:
    if not cause.needed:
        return "whether the others alone leave a build was not decided in time"
    if not cause.reasons:
        return "the others alone leave no build (proven); which requirements conflict was not found in time"
    if cause.smallest:
        return "these cannot be met together (a smallest conflict, proven):"
    if cause.minimal:
        return "these cannot be met together (proven, none is too many):"
    return "these, perhaps with others, cannot be met together (proven; which others was not decided in time):"


def _mending(cause: Cause) -> str:
    lever = cause.eased.lever
    known = "" if lever.step is None else "; the least in such steps (proven)" if cause.least else ""
    return f"{short_words(cause.eased)}{known}"


def undecided(causes: tuple[Cause, ...]) -> bool:
    """Whether more time could say more."""
    return not all(cause.needed and cause.minimal for cause in causes)


def longer_words(inputs: Inputs, seconds: float) -> str:
    """The command that goes on for longer than so many seconds, and than where nothing is said."""
    longer = 100 * ceil(3 * max(seconds, Stop().seconds) / 100)
    return f"To look for longer: optimiser explain {called(inputs)} --seconds {longer}"
