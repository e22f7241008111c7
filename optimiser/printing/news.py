"""What an explanation says while it is made, a line for each thing that is known for good."""

from optimiser.explaining import Begun, Known, News, Priced
from optimiser.explaining.easing import is_definition
from optimiser.measures import MEASURES
from optimiser.pipeline import Inputs
from optimiser.printing.deciders import met_exactly
from optimiser.printing.explaining import price_words, step_words
from optimiser.solve import WANTS


def news_line(inputs: Inputs, news: News) -> str:
    """What is known now of limits of the cheapest or the lightest build."""
    scale, currency = MEASURES[WANTS[news.want][0]], inputs.case.brief.currency
    match news:
        case Begun():
            most = scale.shown(news.at_most, currency)
            return f"{news.want}: {met_exactly(news.no_room)} No limit given up saves more than {most} (bound)."
        case Known():
            return f"{news.want}: {_saves(news, inputs)}: {', '.join(news.names)}"
        case Priced():
            told = " ".join(filter(None, price_words(inputs, news.want, news.price)))
            return f"{news.want}: {step_words(news.price.lever, news.price.count)}: {told}"


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
