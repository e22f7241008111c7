"""The front door for programs and notebooks: what the commands do, as functions with typed results.

>>> import optimiser
>>> case = optimiser.read("tiny-trailer")
>>> best = optimiser.build(case)  # doctest: +SKIP
>>> best.status, best.build.bank.module  # doctest: +SKIP
('proven', 'module-12-200')

Every result shows itself as a sheet in a notebook, with the cautions that go with it. Mains, lithium batteries and work
on a roof can kill; local codes and a licensed electrician decide.
"""

from optimiser.library.cases import addresses, check, draw, new, read
from optimiser.library.lookup import list_parts, list_rules, look_up
from optimiser.library.of_builds import Breached, audit, commission, expect, pack, year
from optimiser.library.results import (
    Addresses,
    Audited,
    Built,
    Checked,
    Commissioned,
    Compared,
    Curve,
    Explained,
    Foreseen,
    Lived,
    Many,
    New,
    Packed,
    PartTried,
    Result,
    Tried,
)
from optimiser.library.searches import Limits, build, compare, explain, sweep, sweep_many, what_if, why_not
from optimiser.measures import MEASURES
from optimiser.pipeline import SHIPPED, Choice, Inputs, Row, Swept, Tally, Unusable, shipped_names
from optimiser.pipeline.commissioning import Misfit
from optimiser.reading import SIZES, STARTER_LOADS, USUAL_LOADS, VOLTAGES, CaseProblems, OlderFile
from optimiser.solve import Measures, Progress, Want

__all__ = [
    "MEASURES", "SHIPPED", "SIZES", "STARTER_LOADS", "USUAL_LOADS", "VOLTAGES", "Addresses", "Audited", "Breached",
    "Built", "CaseProblems", "Checked", "Choice", "Commissioned", "Compared", "Curve", "Explained", "Foreseen",
    "Inputs", "Limits", "Lived", "Many", "Measures", "Misfit", "New", "OlderFile", "Packed", "PartTried", "Progress",
    "Result", "Row", "Swept", "Tally", "Tried", "Unusable", "Want", "addresses", "audit", "build", "check",
    "commission", "compare", "draw", "expect", "explain", "list_parts", "list_rules", "look_up", "new", "pack", "read",
    "shipped_names", "sweep", "sweep_many", "what_if", "why_not", "year",
]  # fmt: skip
