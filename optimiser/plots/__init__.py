"""Plots of an audited build, as SVG for a page: each with what it tells in words, and its figures as a table."""

from optimiser.auditing import Finding
from optimiser.fitted import Fit
from optimiser.plots.hours import hours
from optimiser.plots.margins import margins
from optimiser.plots.masses import masses
from optimiser.plots.months import months
from optimiser.plots.style import Charted, Plot, finished, look
from optimiser.plots.year import year_chart
from optimiser.yearly import YearFigures


def plots(fit: Fit, findings: tuple[Finding, ...]) -> tuple[Plot, ...]:
    """All plots of a build; ``findings`` are its audit's.

    Figures shown are the audit's. Ids in the SVGs begin with the plot's key, so that all can stand in one page.
    """
    with look():
        return tuple(finished(drawn) for drawn in charts(fit, findings))


def charts(fit: Fit, findings: tuple[Finding, ...]) -> tuple[Charted, ...]:
    """The same before they are SVG; only within `style.look`."""
    return (*hours(fit, findings), months(fit), margins(findings), masses(fit, findings))


def year_svg(fit: Fit, found: YearFigures) -> str:
    """A year run as an SVG file of its own."""
    with look():
        return finished(year_chart(fit, found)).svg
