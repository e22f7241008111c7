"""Moves: one value of a case or catalogue, named by its address, changed; and which values ease a requirement.

What a move may not break is what reading would refuse: a moved case is as valid as one that was read.
"""

from optimiser.moves.address import addresses
from optimiser.moves.attempts import Attempt, attempts, easings
from optimiser.moves.ladder import WORD_WEIGHS, Ladder, Rung, has_ladder, ladders_of
from optimiser.moves.levers import levers
from optimiser.moves.move import Lever, Move, MoveProblem, parse_set, parse_sweep, set_to, steps
from optimiser.moves.moving import Moved, moved
