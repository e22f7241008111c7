"""What decides, in words: whose each requirement is, at which places, and what it is worth."""

from collections.abc import Iterable, Iterator
from math import isfinite
from typing import TypeVar

from optimiser.auditing import Finding
from optimiser.explaining import Decider, Deciding, Reason
from optimiser.explaining.easing import base_of
from optimiser.measures import MEASURES
from optimiser.printing.findings import figures
from optimiser.requirements import REGISTER, SetBy
from optimiser.solve import WANTS

_R = TypeVar("_R", Reason, Decider)

WHOSE: dict[SetBy, str] = {
    "brief and survey": "",
    "makers and rules": "Set by makers and rules: not yours to give up, but another part or rule set would change it.",
    "definition": "What a build is: never given up, but a value it gives way to would help, as a longer board.",
}
ASKED_FOR = "asked for by the brief"


def wishes(reasons: Iterable[_R]) -> list[_R]:
    """What the brief asks for as such: nearly every case turns on it, so it is told in a line of its own."""
    return [reason for reason in reasons if _wished(reason.name)]


def by_whose(reasons: Iterable[_R]) -> Iterator[tuple[str, list[_R]]]:
    """Limits: what brief and survey could give up first, then under a title of its own what they could not."""
    ours = [reason for reason in reasons if not _wished(reason.name)]
    for set_by, title in WHOSE.items():
        if some := [reason for reason in ours if reason.set_by == set_by]:
            yield title, some


def place_words(name: str, places: tuple[str, ...], finding: Finding | None) -> str:
    """At which places a requirement is meant: at one, at some together, or wherever it is asked for."""
    if places:
        told = ", ".join(place.partition("[")[2].removesuffix("]") or "the days without sun" for place in places)
        return f" (at {'' if len(places) == 1 else 'these places together: '}{told})"
    everywhere = finding is not None and finding.place and "[" not in name
    return " (at all its places together; here the worst)" if everywhere else ""


def _wished(name: str) -> bool:
    return REGISTER[base_of(name)].asked_for


def setter_words(name: str) -> str:
    """Whose a requirement is."""
    return f"set by {REGISTER[base_of(name)].setter}"


def missed_words(finding: Finding | None) -> str:
    """What a build that meets the others makes of a requirement."""
    if finding is None:
        return "no build that meets the others was seen"
    return f"{finding.sentence} (in one build that meets the others; another may come nearer)"


def deciding_words(deciding: Deciding, currency: str) -> str:
    """What is known of what decides."""
    measure = WANTS[deciding.want][0]
    by = MEASURES[measure].shown(deciding.margin, currency)
    if deciding.smallest:
        state = "a smallest set (proven)"
    elif deciding.minimal:
        state = "no other decides by itself (proven)"
    else:
        state = "others may decide too"
    return f"Nothing is {by} or more {_comparative(deciding)} because of these, {state}:"


def decider_words(decider: Decider) -> str:
    """What the best build makes of it, at which places it decides, and whose it is."""
    sentence = decider.finding.sentence if decider.finding else "nothing that is fitted speaks of it"
    place = place_words(decider.name, decider.places, decider.finding)
    return f"{decider.name}{place}: {sentence}{_margin(decider.finding)}; {setter_words(decider.name)}"


def wish_words(deciding: Deciding, currency: str) -> Iterator[str]:
    """What the brief asks for, with what the best build would be without each."""
    told = [
        " ".join(filter(None, (f"{w.name}{place_words(w.name, w.places, w.finding)}", _saved(deciding, w, currency))))
        for w in wishes(deciding.deciders)
    ]
    if told:
        yield f"{ASKED_FOR}: {', '.join(told)}"


def _saved(deciding: Deciding, decider: Decider, currency: str) -> str:
    """The same as `gain_words`, in brackets."""
    if decider.better_by is None:
        return ""
    least = _wanted(deciding, decider.better_by, currency)
    if decider.exact:
        return f"(without it {least} less, proven)"
    most = "" if decider.at_most is None else f", at most {_wanted(deciding, decider.at_most, currency)}"
    return f"(without it at least {least} less{most})"


def gain_words(deciding: Deciding, decider: Decider, currency: str) -> Iterator[str]:
    """How much better without it: exactly, or between what was found and the solver's bound."""
    if decider.set_by == "definition":
        yield f"a value it gives way to, moved far, makes a {_comparative(deciding)} build (proven)"
    if decider.better_by is None:
        return
    least = _wanted(deciding, decider.better_by, currency)
    if decider.exact:
        yield f"without it exactly {least} less (proven)"
    elif decider.at_most is None:
        yield f"without it at least {least} less: a build was found; how much more is not known"
    else:
        most = _wanted(deciding, decider.at_most, currency)
        yield f"without it at least {least} less (a build was found), at most {most} less (bound); no more is known"


def doubtful_words(deciding: Deciding, currency: str) -> Iterator[str]:
    """Of what may decide, the most that each can save; those with the same bound in one line, the most first."""
    alike: dict[int, list[str]] = {}
    for limit in sorted(deciding.doubtful, key=lambda limit: -limit.at_most):
        alike.setdefault(limit.at_most, []).append(limit.name)
    for most, names in alike.items():
        less = _wanted(deciding, most, currency)
        yield f"at most {less} less without it (bound), if any: {', '.join(names)}"


def other_words(deciding: Deciding, currency: str) -> str:
    """How many others there are, none of which decides by itself."""
    less = _wanted(deciding, deciding.margin, currency)
    return f"Of {len(deciding.others)} others each by itself saves less than {less} (proven)."


def met_exactly(findings: Iterable[Finding]) -> str:
    """Limits with nothing to spare, with what they are: those of a kind together."""
    alike: dict[str, list[str]] = {}
    for finding in findings:
        place = finding.requirement.removeprefix(finding.name).strip("[]")
        told = f"{place} {figures(finding)[0]} {finding.unit}".strip()
        alike.setdefault(finding.name, []).append(told)
    limits = [f"{name} ({', '.join(places)})" for name, places in alike.items()]
    return f"Met with nothing to spare: {', '.join(limits) or 'none'}."


def _margin(finding: Finding | None) -> str:
    if finding is None or REGISTER[finding.name].yes_no or not isfinite(finding.margin):
        return ""
    unit = f" {finding.unit}" if finding.unit not in ("", "money") else ""
    return f"; {figures(finding)[2]}{unit} to spare"


def _comparative(deciding: Deciding) -> str:
    return "cheaper" if deciding.want == "cheapest" else "lighter"


def _wanted(deciding: Deciding, figure: int, currency: str) -> str:
    return MEASURES[WANTS[deciding.want][0]].shown(figure, currency)
