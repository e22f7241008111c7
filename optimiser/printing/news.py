"""What an explanation says while it is made, a line for each thing that is known for good."""

from optimiser.explaining import Begun, Known, News, Priced
from optimiser.explaining.easing import is_definition
from optimiser.measures import MEASURES
from optimiser.pipeline import Inputs
from optimiser.printing.briefs import step_words
from optimiser.printing.deciders import met_exactly
from optimiser.printing.explaining import price_words
from optimiser.solve import WANTS

_NAMED = 6  # more names than these are counted


def news_line(inputs: Inputs, news: News) -> str:
    """What is known now of limits of the cheapest or the lightest build."""
    scale, currency = MEASURES[WANTS[news.want][0]], inputs.case.brief.currency
    match news:
        case Begun():
            alike: dict[int, list[str]] = {}
            for name, most in sorted(news.at_most.items(), key=lambda pair: -pair[1]):
                alike.setdefault(most, []).append(name)
            each = "; ".join(f"{scale.shown(most, currency)}: {_some(names)}" for most, names in alike.items())
            bounds = f"Given up by itself, saves at most (bound) {each}." if each else ""
            return " ".join(filter(None, (f"{news.want}: {met_exactly(news.no_room)}", bounds)))
        case Known():
            return f"{news.want}: {_saves(news, inputs)}: {', '.join(news.names)}"
        case Priced():
            told = " ".join(filter(None, price_words(inputs, news.want, news.price)))
            return f"{news.want}: {step_words(news.price.lever, news.price.count)}: {told}"


def _some(names: list[str]) -> str:
    """A few names, or how many there are."""
    return ", ".join(names) if len(names) <= _NAMED else f"each of {len(names)} other limits"


def _saves(known: Known, inputs: Inputs) -> str:
    """What giving up each of some names saves."""
    scale, currency = MEASURES[WANTS[known.want][0]], inputs.case.brief.currency
    if known.at_least and all(map(is_definition, known.names)):
        return "a value it gives way to, moved far, saves (proven)"
    if known.at_least:
        return f"without it {scale.shown(known.at_least, currency)} less (proven)"
    if not known.at_most:
        return "given up by itself, saves nothing (proven)"
    return f"given up by itself, saves at most {scale.shown(known.at_most, currency)} (proven)"
