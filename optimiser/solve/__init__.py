"""The solver: a case in, the best build out, proven; or a front of them. Prints nothing."""

from optimiser.model.clock import End, OutOfTime
from optimiser.solve.apart import Tolerance, apart
from optimiser.solve.at_best import Bounds, Energy, bounds
from optimiser.solve.earlier import Earlier
from optimiser.solve.fitout import WANTS, Found, Measures, Question, confirmed, optimise, requirements_of
from optimiser.solve.front import Front, Point, Room, Unanswered, front, of_model, spread
from optimiser.solve.kinds import ByKinds
from optimiser.solve.outcome import (
    Confirmed,
    Halt,
    Impossible,
    Outcome,
    Progress,
    Solved,
    Stop,
    Undecided,
    Want,
    Watch,
)
from optimiser.solve.relaxed import at_least
from optimiser.solve.search import Infeasible
from optimiser.solve.second_look import Contradicted
