"""What a build is cannot be given up; but a board may be made longer. So that is asked in its place."""

import re
from collections.abc import Iterable

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves import Lever, MoveProblem, levers, moved, steps
from optimiser.requirements import REGISTER

_BAY = re.compile(r"bay\..+\.(length|width|height)_mm")

FAR = (16, 8, 4, 2, 1)  # steps that a value is moved by, as many as the survey has room for


def base_of(name: str) -> str:
    """A requirement's name without its place."""
    return name.partition("[")[0]


def is_definition(name: str) -> bool:
    """Whether it says what a build is."""
    return REGISTER[base_of(name)].is_definition


def room(case: Case, catalogue: Catalogue, name: str) -> tuple[Lever, ...]:
    """Values that a definition gives way to, and nothing else does: a larger bay has more wall for heat as well."""
    found = (lever for lever in levers(case, catalogue, name) if lever.act)
    return tuple(lever for lever in found if not _BAY.fullmatch(lever.address))


def eased(case: Case, catalogue: Catalogue, names: Iterable[str]) -> tuple[Case, Catalogue]:
    """The case with the values moved that the definitions among some names give way to; as it is if there are none.

    Of several words that a value could go to, the first.
    """
    for name in sorted(names):
        if is_definition(name):
            first = {lever.address: lever for lever in reversed(room(case, catalogue, name))}
            for lever in first.values():
                case, catalogue = _pulled(case, catalogue, lever)
    return case, catalogue


def _pulled(case: Case, catalogue: Catalogue, lever: Lever) -> tuple[Case, Catalogue]:
    """A lever moved as far as it goes, if the survey has any room for it."""
    for count in FAR if lever.step is not None else (1,):
        try:
            move = moved(case, catalogue, steps(lever, count))
        except MoveProblem:
            continue
        return move.case, move.catalogue
    return case, catalogue
