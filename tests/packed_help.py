"""Packs of the shipped builds, made without a solve: both ends of the front are their options."""

from dataclasses import replace
from functools import cache

from optimiser.auditing import Finding
from optimiser.fitted import Fit, cost_and_mass
from optimiser.measures import Measure
from optimiser.packing import pack_files
from optimiser.packing.dossier import Dossier, dossier
from optimiser.packing.options import options, proven_as
from optimiser.packing.page import page
from optimiser.pipeline import Choice, Comparison, Inputs, read
from optimiser.pipeline.comparing import step
from tests.packing_help import WANTS, findings, once, shipped
from tests.parsed import Parsed, parsed


def inputs(name: str) -> Inputs:
    """What the builds of a shipped case are made from."""
    return read(name, ())


@cache
def compared(name: str) -> Comparison:
    """Both ends of a shipped case's front, as a comparison with two points has them."""
    given, ends = inputs(name), [shipped(name, want) for want in WANTS]
    best_in: tuple[Measure, ...] = ("cost", "mass")
    choices = [
        replace(_choice(end, findings(name, want)), best_in=(best,))
        for end, want, best in zip(ends, WANTS, best_in, strict=True)
    ]
    steps = (step(given, ends[0].build, ends[1].build),)
    return Comparison(("cost", "mass"), tuple(choices), steps, "points of the front")


def _choice(fit: Fit, found: tuple[Finding, ...]) -> Choice:
    its = cost_and_mass(fit.case, fit.catalogue, fit.build)
    return Choice(fit.build, {"cost": its.cents, "mass": its.grams}, found, True)


@once
def packed(name: str, want: str = "cheapest") -> Dossier:
    """The dossier of a shipped build, with both ends as options."""
    given, fit = inputs(name), shipped(name, want)
    beside = options(given, fit.build, compared(name), {})
    return dossier(given, beside, proven=proven_as(beside, compared(name)))


@once
def page_of(name: str, want: str = "cheapest") -> str:
    """The page of its pack."""
    return page(packed(name, want), compared(name))


@once
def read_page(name: str, want: str = "cheapest") -> Parsed:
    """Its text and tables; not to be changed."""
    return parsed(page_of(name, want))


@cache
def files_of(name: str, want: str = "cheapest") -> dict[str, bytes]:
    """The files of its pack: drawings take most of the time, so where the page is enough there is `page_of`."""
    return pack_files(packed(name, want), compared(name))
