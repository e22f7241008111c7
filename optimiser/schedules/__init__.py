"""Schedules of an audited build: what is bought, cut, drilled, held, labelled and weighed, and the quotation."""

from collections.abc import Iterable

from optimiser.auditing import Finding
from optimiser.fitted import Fit
from optimiser.fixings import Fixing
from optimiser.schedules.books import to_csv, to_xlsx
from optimiser.schedules.cables import cables
from optimiser.schedules.drilling import drilling
from optimiser.schedules.forces import TOLD, forces
from optimiser.schedules.labels import labels
from optimiser.schedules.masses import axle_loads, masses
from optimiser.schedules.materials import NOT_IN_THE_BUILD, materials, not_in_the_build
from optimiser.schedules.pieces import pieces
from optimiser.schedules.protection import protection
from optimiser.schedules.quotation import OptionLine, Quotation, quotation
from optimiser.schedules.table import Column, Schedule


def schedules(fit: Fit, findings: Iterable[Finding], fixings: Iterable[Fixing]) -> tuple[Schedule, ...]:
    """Every schedule of a build.

    Parameters
    ----------
    fit : The build with its parts looked up.
    findings : What the audit found of it; limits are quoted from here.
    fixings : Where holes and feet may be.
    """
    found = tuple(findings)
    return (
        materials(fit),
        cables(fit),
        pieces(fit),
        protection(fit, found),
        drilling(fit, fixings),
        forces(fit),
        labels(fit),
        masses(fit),
        axle_loads(fit, found),
    )
