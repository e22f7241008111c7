"""What the rule set says of when a fit-out is made, where the brief says when this one is."""

from collections.abc import Iterator

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.checking.odd_values import Told


def odd_rules(case: Case, catalogue: Catalogue) -> Iterator[Told]:
    """A rule set that does not serve the month this is built in, with those that do."""
    built, edition = case.brief.built, case.rules.edition
    if built is None or edition is None or edition.serves(built) is not False:
        return
    others = (s.edition for s in catalogue.rule_sets.values() if s.edition and s.edition.serves(built))
    serve = ", ".join(f"{other.rule_set} ({other.months})" for other in others)
    who = f"expected one that does: {serve}" if serve else "no rule set of the catalogue says that it does"
    yield f"rule set {case.rules.name}", f"serves what is built {edition.months}, and this is built {built}; {who}"


def built_words(case: Case) -> str:
    """Whether the rule set serves the month this is built in; empty where the brief names none."""
    built, edition = case.brief.built, case.rules.edition
    if built is None:
        return ""
    serves = edition.serves(built) if edition else None
    if edition is None or serves is None:
        return f"{built}; rule set {case.rules.name} does not say which months it serves, so this is not known"
    return f"{built}; rule set {case.rules.name} {'serves' if serves else 'does not serve'} it: {edition.months}"
