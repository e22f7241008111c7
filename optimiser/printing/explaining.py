"""The sheet of an explanation: why there is no build, or what decides, what it is worth and what has room."""

from collections.abc import Iterator
from math import isfinite

from rich.console import RenderableType
from rich.table import Table

from optimiser.explaining import Deciding, Price
from optimiser.measures import MEASURES
from optimiser.pipeline import Explanation, Inputs
from optimiser.printing.briefs import step_words
from optimiser.printing.deciders import (
    by_whose,
    decider_words,
    deciding_words,
    doubtful_words,
    gain_words,
    met_exactly,
    other_words,
    wish_words,
)
from optimiser.printing.findings import figures
from optimiser.printing.impossible import why_words
from optimiser.printing.wording import CONFIRMED, caution_lines, kg, money, table
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS, Want

_ROOM_SHOWN = 10


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
        yield from why_words(inputs, found)
    for deciding in found.deciding:
        yield from _deciding(inputs, deciding)
    if found.earlier:
        yield f"\n{found.earlier} proofs of what a limit saves are of an earlier run; --fresh makes them again."
    for want, why in found.undecided:
        yield f"\nThe {want} build is undecided: {why}. What decides it is not known."


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
