"""The builds a customer can choose between: the front, with the build that the pack is of among them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from optimiser.auditing import Finding, audit
from optimiser.auditing.room import tightest
from optimiser.basis.money import Worth
from optimiser.builds import Build
from optimiser.differences import Row, one_line, side_by_side, totals
from optimiser.explaining import Deciding
from optimiser.fitted import Fit, fit_of, worth
from optimiser.packing import deciding
from optimiser.packing.deciding import CAPPED, Decided
from optimiser.pipeline import Comparison, Inputs
from optimiser.printing.deciders import by_whose, decider_words, deciding_words, wish_words
from optimiser.printing.findings import TIGHTEST
from optimiser.printing.wording import kg, money

NOT_EXPLAINED = "What decides it is not known here; these limits have the least room:"


@dataclass(frozen=True)
class Option:
    """A build beside the others. ``line`` and ``rows`` tell it from the build the pack is of."""

    number: int
    fit: Fit
    findings: tuple[Finding, ...]
    worth: Worth
    proven: bool  # to be a point of the front
    chosen: bool
    line: str
    rows: tuple[Row, ...]
    decided: str  # what is known of what decides it
    deciders: tuple[str, ...]


def options(
    inputs: Inputs, build: Build, found: Comparison | None, decided: Mapping[Worth, Decided]
) -> tuple[Option, ...]:
    """All of them, cheapest first. Without a comparison the build stands alone."""
    mine = worth(inputs.case, inputs.catalogue, build)
    builds: list[tuple[Worth, Build, bool]] = []
    for choice in found.choices if found else ():
        its = worth(inputs.case, inputs.catalogue, choice.build)
        builds.append((its, build if its == mine else choice.build, choice.proven))
    if not any(other is build for _, other, _ in builds):
        builds.append((mine, build, False))
    builds.sort(key=lambda row: (row[0].cents, row[0].grams))
    return tuple(_option(inputs, number, build, row, decided.get(row[0])) for number, row in enumerate(builds, start=1))


def proven_as(options: tuple[Option, ...], found: Comparison | None) -> str:
    """What the front has proven the build of the pack to be; empty if it has not."""
    own = next(option for option in options if option.chosen)
    if found is None or not own.proven:
        return ""
    if own is options[0]:
        return "the cheapest"
    whole = found.state in ("whole front", "points of the front")
    return "the lightest" if whole and own is options[-1] else "to be a point of the front of cost and mass"


def _option(inputs: Inputs, number: int, mine: Build, row: tuple[Worth, Build, bool], known: Decided | None) -> Option:
    its, build, proven = row
    case, catalogue = inputs.case, inputs.catalogue
    findings, chosen = audit(case, catalogue, build), build is mine
    change = totals(case, catalogue, mine, build)
    decided, deciders = _deciding(inputs, findings, known)
    return Option(
        number=number,
        fit=fit_of(case, catalogue, build),
        findings=findings,
        worth=its,
        proven=proven,
        chosen=chosen,
        line="the build of this pack" if chosen else one_line(catalogue, mine, build, change),
        rows=() if chosen else tuple(r for r in side_by_side(case, catalogue, mine, build) if r.differs),
        decided=decided,
        deciders=deciders,
    )


def _deciding(inputs: Inputs, findings: tuple[Finding, ...], known: Decided | None) -> tuple[str, tuple[str, ...]]:
    """What decides a build if that is known, else what has the least room; the words say which of the two it is."""
    if known is None:
        return NOT_EXPLAINED, tuple(f"{f.requirement}: {f.sentence}" for f in tightest(findings)[:TIGHTEST])
    currency = inputs.case.brief.currency
    words = deciding_words(known.deciding, currency)
    if known.capped:
        words = f"{CAPPED} {words}"
    if known.of:
        share = deciding.BY_PERCENT
        of = f"{money(known.of.cents, currency)}, {kg(known.of.grams)}"
        words = f"Not asked by itself, being within {share:g} % of the option of {of} in both. Of that one: {words}"
    return words, tuple(_deciders(known.deciding, currency))


def _deciders(deciding: Deciding, currency: str) -> Iterator[str]:
    yield from wish_words(deciding, currency)
    for _, deciders in by_whose(deciding.deciders):
        yield from map(decider_words, deciders)
    for gone in deciding.together:
        yield f"only together: {', '.join(gone)}"
    if deciding.doubtful:
        yield f"undecided in time whether these belong to it: {', '.join(deciding.doubtful)}"
