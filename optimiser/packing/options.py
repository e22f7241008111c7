"""The builds a customer can choose between, and what decides each of them."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from optimiser import pipeline
from optimiser.auditing import Finding, audit
from optimiser.auditing.room import tightest
from optimiser.basis.money import CostAndMass
from optimiser.builds import Build
from optimiser.differences import Row, one_line, side_by_side, totals
from optimiser.drawing import Sheet, drawings
from optimiser.explaining import Deciding
from optimiser.fitted import Fit, cost_and_mass, fit_of
from optimiser.fixings import fixings
from optimiser.moves import moved, set_to
from optimiser.pipeline import Choice, Comparison, Ended, Inputs, never
from optimiser.printing.deciders import by_whose, decider_words, deciding_words, doubtful_words, wish_words
from optimiser.printing.findings import TIGHTEST
from optimiser.printing.wording import kg, money
from optimiser.solve import Stop, Want, Watch
from optimiser.units import GRAMS

BY_PERCENT = 1.0  # that a build must be better to count, as `explain` has it
CAPPED = "Asked with no more mass allowed than the option has: mass.payload stands for that."
NOT_EXPLAINED = "What decides it is not known here; these limits have the least room:"


@dataclass(frozen=True)
class Decided:
    """What decides an option. ``capped``: its own mass was the payload allowed.

    ``of``: another option that was asked about in its place, since no build counts as better that is so near.
    """

    deciding: Deciding
    capped: bool
    of: CostAndMass | None = None


@dataclass(frozen=True)
class Option:
    """A build beside the others. ``line`` and ``rows`` tell it from the build the pack is of."""

    number: int
    fit: Fit
    findings: tuple[Finding, ...]
    worth: CostAndMass
    proven: bool  # to be a point of the front
    chosen: bool
    line: str
    rows: tuple[Row, ...]
    decided: str  # what is known of what decides it
    deciders: tuple[str, ...]

    @cached_property
    def sheets(self) -> tuple[Sheet, ...]:
        """Its drawings, without frames: drawn where they are wanted, and once."""
        return drawings(self.fit, self.findings, fixings(self.fit))


def options(
    inputs: Inputs, build: Build, found: Comparison | None, decided: Mapping[CostAndMass, Decided]
) -> tuple[Option, ...]:
    """All of them, cheapest first. Without a comparison the build stands alone."""
    mine = cost_and_mass(inputs.case, inputs.catalogue, build)
    builds: list[tuple[CostAndMass, Build, bool]] = []
    for choice in found.choices if found else ():
        its = cost_and_mass(inputs.case, inputs.catalogue, choice.build)
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
    best_in = next(choice.best_in for choice in found.choices if _figures(choice) == own.worth)
    if "cost" in best_in:
        return "the cheapest"
    return "the lightest" if "mass" in best_in else "to be a point of the front of cost and mass"


def _figures(choice: Choice) -> CostAndMass:
    return CostAndMass(choice.figures["cost"], choice.figures["mass"])


def _option(
    inputs: Inputs, number: int, mine: Build, row: tuple[CostAndMass, Build, bool], known: Decided | None
) -> Option:
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
        of = f"{money(known.of.cents, currency)}, {kg(known.of.grams)}"
        words = (
            f"Not asked by itself, being within {BY_PERCENT:g} % of the option of {of} in both. Of that one: {words}"
        )
    return words, tuple(_deciders(known.deciding, currency))


def _deciders(deciding: Deciding, currency: str) -> Iterator[str]:
    yield from wish_words(deciding, currency)
    for _, deciders in by_whose(deciding.deciders):
        yield from map(decider_words, deciders)
    for gone in deciding.together:
        yield f"only together: {', '.join(gone)}"
    yield from (f"undecided in time: {words}" for words in doubtful_words(deciding, currency))


# --- what decides each option: the two ends as they are, those between with no more mass allowed than they have


def what_decides(
    inputs: Inputs,
    found: Comparison,
    stop: Stop,
    watch: Watch,
    begin: Callable[[str], None],
    turn: Callable[[str], None],
    ended: Ended = never,
) -> dict[CostAndMass, Decided]:
    """Cost and mass of an option -> what decides it; those that stayed undecided are left out.

    ``begin`` hears which option is asked about, ``turn`` which question of it. Once ``ended``, no other is.
    """
    known: dict[CostAndMass, Decided] = {}

    def ask(about: str, of: Inputs, wants: tuple[Want, ...], *, capped: bool) -> None:
        if ended() or not found.choices:
            return
        begin(about)
        why = pipeline.explain(of, wants, BY_PERCENT, stop, watch, lambda it: turn(f"{about}, {it}"), ended=ended)
        known.update({_worth(deciding): Decided(deciding, capped) for deciding in why.deciding})

    ask("both ends", inputs, ("cheapest", "lightest"), capped=False)
    for number, choice in enumerate(found.choices, start=1):
        its = _figures(choice)
        near = next((of for of, decided in known.items() if decided.of is None and _near(its, of)), None)
        if its in known or not choice.proven:
            continue
        if near:
            known[its] = replace(known[near], of=near)
        else:
            payload = set_to("vehicle.payload_kg", Decimal(its.grams) / GRAMS)
            between = replace(inputs, case=moved(inputs.case, inputs.catalogue, payload).case)
            ask(f"option {number}", between, ("cheapest",), capped=True)
    return known


def _near(its: CostAndMass, of: CostAndMass) -> bool:
    """Whether two builds are less apart, in both measures, than a better one must be to count."""
    return all(abs(a - b) < b * BY_PERCENT / 100 for a, b in zip(its, of, strict=True))


def _worth(deciding: Deciding) -> CostAndMass:
    return CostAndMass(deciding.best.cost_cents, deciding.best.mass_g)
