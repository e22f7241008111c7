"""A van with five causes, of which two are of values that the solver has no ladder for: five suggestions mend them.

Nothing here knows what they are: values are taken from what `explain` suggests, and set as the command line takes them.
"""

import shlex
from functools import cache
from pathlib import Path

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import NearestBrief
from optimiser.explaining.elastic import nearest_brief
from optimiser.moves import Moved, moved, parse_set
from optimiser.printing.briefs import set_words
from optimiser.reading import read_case, read_catalogue, shipped_catalogue
from optimiser.solve import Impossible, Question, Solved
from tests.explaining import STOP, Solving, names_of, soon

FOLDER = Path(__file__).parent / "impossible" / "weekend-van"
MOST = 5  # suggestions


@cache
def asked() -> tuple[Case, Catalogue]:
    catalogue = read_catalogue(shipped_catalogue())
    return read_case(FOLDER, catalogue), catalogue


@cache
def suggested() -> NearestBrief:
    case, catalogue = asked()
    found = nearest_brief(case, catalogue, names_of(case, catalogue), Solving(), soon(900))
    assert found is not None
    return found


def with_set(moves: list[Moved]) -> Case:
    case, catalogue = asked()
    for move in moves:
        _, text = shlex.split(set_words(move))
        case = moved(case, catalogue, parse_set(text)).case
    return case


def possible(case: Case) -> bool:
    outcome = Question(case, asked()[1]).any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


@pytest.mark.slow
def test_five_suggestions_one_after_the_other_lead_to_a_build_and_no_fewer() -> None:
    moves = [eased.move for eased in suggested().heaviest]

    ways = [possible(with_set(moves[:count])) for count in range(len(moves) + 1)]

    assert len(moves) == MOST and ways == [False] * MOST + [True]


@pytest.mark.slow
def test_each_of_the_five_is_a_cause_with_the_others_mended() -> None:
    moves = [eased.move for eased in suggested().eased]

    for one in moves:
        assert not possible(with_set([move for move in moves if move is not one])), one.address


@pytest.mark.slow
def test_a_step_less_of_any_is_not_enough() -> None:
    eased = suggested().eased

    for one in eased:
        assert one.lever.step is not None
        case = with_set([other.move for other in eased if other is not one])
        if one.count > 1:
            short = float(one.move.after) - one.lever.step
            case = moved(case, asked()[1], parse_set(f"{one.move.address}={short:g}")).case
        assert not possible(case), one.move.address
