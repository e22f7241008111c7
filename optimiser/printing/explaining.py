"""The sheet of an explanation: conflict and least changes, or what decides, what it is worth and what has room."""

from collections.abc import Iterator
from math import isfinite

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.checking.odd_values import leaves_little, too_high_words, too_low_words
from optimiser.explaining import Change, Deciding, Eased, LeastBudget, Nearest, NearestBrief, Price, Reason, Why
from optimiser.measures import MEASURES
from optimiser.moves import WORD_WEIGHS, Lever
from optimiser.pipeline import Explanation, Inputs, called
from optimiser.printing.deciders import (
    ASKED_FOR,
    WHOSE,
    by_whose,
    decider_words,
    deciding_words,
    doubtful_words,
    gain_words,
    met_exactly,
    other_words,
    place_words,
    setter_words,
    wish_words,
    wishes,
)
from optimiser.printing.findings import figures
from optimiser.printing.wording import CONFIRMED, caution_lines, kg, money, table
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS, Want

_ROOM_SHOWN = 10
_DOUBTFUL_SHOWN = 12


def explanation_sheet(inputs: Inputs, found: Explanation) -> list[RenderableType]:
    """All of it."""
    return [
        f"{inputs.case.brief.title} ({inputs.case.name})",
        f"Status: {_verdict_words(found)}",
        *_body(inputs, found),
        *caution_lines(inputs.case.rules),
    ]


def _verdict_words(found: Explanation) -> str:
    return f"impossible, proven, {CONFIRMED[found.confirmed]}" if found.verdict == "impossible" else found.verdict


def _body(inputs: Inputs, found: Explanation) -> Iterator[RenderableType]:
    if found.verdict == "breach":
        yield "What was found did not pass the audit: it is not shown."
        return
    if found.why is not None:
        yield from _why(inputs, found.why)
    for deciding in found.deciding:
        yield from _deciding(inputs, deciding)
    if found.earlier:
        yield f"\n{found.earlier} proofs of what a limit saves are of an earlier run; --fresh makes them again."
    for want, why in found.undecided:
        yield f"\nThe {want} build is undecided: {why}. What decides it is not known."


# --- impossible --------------------------------------------------------------------------------------


def _why(inputs: Inputs, why: Why) -> Iterator[RenderableType]:
    if why.brief:
        yield from brief_words(inputs, why.brief)
    if why.least_budget:
        yield f"Least budget: {budget_words(why.least_budget)}"
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
    if why.doubtful and why.brief:
        yield "  Which others belong to it was not decided in time; the brief above needs none of them."
    else:
        yield from doubtful_lines(why.doubtful)
    yield from _beneath(why)
    yield from _changes(why)


def brief_words(inputs: Inputs, brief: NearestBrief) -> Iterator[RenderableType]:
    """What gives way by least in all, and what its build makes of the case as asked."""
    count = len(brief.eased)
    what = "this value moved" if count == 1 else f"these {count} values moved"
    yield f"\nNearest to what was asked: with {what} there is a build (found and audited); {_weighed(brief)}."
    for number, eased in enumerate(brief.eased, start=1):
        move = eased.move
        words = f"{step_words(eased.lever, eased.count)}: {move.address} {move.before} to {move.after}"
        yield f"  {number}. {words} (weighs {eased.weight})"
    yield f"  to try it: {command_words(inputs, brief)}"
    if told := [f for f in brief.missed if isfinite(f.margin) and not REGISTER[f.name].yes_no]:
        made = table("What is missing, by that build", "requirement", "unit", ">asked", ">fits", ">missing")
        for finding in told:
            limit, actual, margin = figures(finding)
            made.add_row(finding.requirement, finding.unit, limit, actual, margin.removeprefix("-"))
        yield made


def command_words(inputs: Inputs, brief: NearestBrief) -> str:
    """The command that tries a brief."""
    sets = " ".join(f"--set {eased.move.address}={eased.move.after}" for eased in brief.eased)
    return f"optimiser explain {called(inputs)} {sets}"


def short_words(eased: Eased) -> str:
    """What is asked, what fits and what is missing: ``700 W asked, 500 fits: 200 W draw of load kettle too much``."""
    lever, move = eased.lever, eased.move
    if lever.step is None:
        return f"{move.address}: {move.before} asked, {move.after} fits"
    missing = " ".join(word for word in (f"{abs(lever.step) * eased.count:g}", lever.unit, lever.words) if word)
    before = " ".join(word for word in (move.before, lever.unit) if word)
    if lever.step > 0:
        return f"{move.address}: {before} there, {move.after} needed: {missing} missing"
    return f"{move.address}: {before} asked, {move.after} fits: {missing} too much"


def budget_words(found: LeastBudget) -> str:
    """The least budget that works, and with how many values moved beside it."""
    words = nearest_words(found.near)
    values = "the other value" if found.others == 1 else f"the other {found.others} values"
    return f"with {values} so moved, {words}" if found.others else words


def _weighed(brief: NearestBrief) -> str:
    weights = f"a step of a limit weighs 1, a word of the brief {WORD_WEIGHS}"
    if brief.least:
        return f"{brief.weight} in all, and none the solver can weigh is less (proven; {weights})"
    if brief.bound is None:
        return f"{brief.weight} in all, whether less is enough is undecided ({weights})"
    bound = f"none the solver can weigh is less than {brief.bound}"
    return f"{brief.weight} in all, {bound} (the solver's bound; {weights})"


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


def step_words(lever: Lever, count: int) -> str:
    """Steps of a lever as a quantity: ``+4 kg allowed hitch load``."""
    if lever.step is None:
        return lever.words
    unit = f"{lever.unit} " if lever.unit else ""
    return f"{lever.step * count:+g} {unit}{lever.words}"


def missed_words(finding: Finding | None) -> str:
    """What a build that meets the others makes of a requirement."""
    if finding is None:
        return "no build that meets the others was seen"
    return f"{finding.sentence} (in one build that meets the others; another may come nearer)"


def doubtful_lines(names: tuple[str, ...]) -> Iterator[str]:
    """What could not be told apart in time."""
    if names:
        shown = ", ".join(names[:_DOUBTFUL_SHOWN])
        more = f" and {len(names) - _DOUBTFUL_SHOWN} more" if len(names) > _DOUBTFUL_SHOWN else ""
        yield f"  May be part of it or not, undecided in time ({len(names)}): {shown}{more}"


# --- possible ----------------------------------------------------------------------------------------


def _deciding(inputs: Inputs, deciding: Deciding) -> Iterator[RenderableType]:
    currency, best = inputs.case.brief.currency, deciding.best
    yield f"\nThe {deciding.want} build: {money(best.cost_cents, currency)}, {kg(best.mass_g)} (proven)"
    yield deciding_words(deciding, currency)
    yield from (f"  {words}" for words in wish_words(deciding, currency))
    for title, deciders in by_whose(deciding.deciders):
        yield from [title] if title else []
        for decider in deciders:
            yield f"  {decider_words(decider)}"
            yield from (f"      {words}" for words in gain_words(deciding, decider, currency))
    for gone in deciding.together:
        yield f"  only together: {', '.join(gone)}"
    if not deciding.looked_through:
        yield "  Whether others decide only together was not looked into to the end."
    yield from (f"  {words}" for words in doubtful_words(deciding, currency))
    if deciding.others:
        yield other_words(deciding, currency)
    yield met_exactly(deciding.no_room)
    if deciding.prices:
        yield _price_table(inputs, deciding)
    if deciding.room:
        yield _room_table(deciding)


def _price_table(inputs: Inputs, deciding: Deciding) -> Table:
    wanted, other = (MEASURES[measure] for measure in WANTS[deciding.want])
    title = f"What moving a limit changes ({deciding.want})"
    made = table(title, "step", "value", f">{wanted.words}", f">{other.words}", "")
    for price in deciding.prices:
        words, move = step_words(price.lever, price.count), price.move
        made.add_row(words, f"{move.address} {move.before} to {move.after}", *price_words(inputs, deciding.want, price))
    return made


def price_words(inputs: Inputs, want: Want, price: Price) -> tuple[str, str, str]:
    """What the wanted measure and the other change by, and what is known of it."""
    currency, measure = inputs.case.brief.currency, MEASURES[WANTS[want][0]]
    bound = "" if price.bound is None else f", no less than {measure.change(price.bound, currency)} (bound)"
    known = {"proven": "proven", "impossible": "no build then (proven)", "undecided": f"undecided{bound}"}
    changes = (
        "" if change is None else MEASURES[measure].change(change, currency)
        for change, measure in zip((price.wanted, price.other), WANTS[want], strict=True)
    )
    wanted, other = changes
    return wanted, other, known[price.outcome]


def _room_table(deciding: Deciding) -> Table:
    made = table(f"What else has room ({deciding.want})", "requirement", "unit", ">limit", ">actual", ">margin")
    for finding in [f for f in deciding.room if isfinite(f.margin) and not REGISTER[f.name].yes_no][:_ROOM_SHOWN]:
        made.add_row(finding.requirement, finding.unit, *figures(finding))
    return made


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
