"""Why a case has no build or no better one, and the least to change: conflicts, prices, room.

The solver comes in as functions; nothing here knows how it works.
"""

from optimiser.explaining.asked import Asked, AskedEnergy, AskedPlace
from optimiser.explaining.case_conflict import Reason
from optimiser.explaining.causes import Cause
from optimiser.explaining.core import Core
from optimiser.explaining.deciding import Begun, Decider, Deciding, Known, Limit, News, Priced, what_decides
from optimiser.explaining.elastic import Eased, NearestBrief
from optimiser.explaining.glance import Glance, at_a_glance, nearest_or_missed
from optimiser.explaining.impossible import Beneath, Why, why_impossible
from optimiser.explaining.least import Change, addresses_of
from optimiser.explaining.nearest import LeastBudget, Nearest
from optimiser.explaining.part import KeptOut, kept_out
from optimiser.explaining.prices import Price
from optimiser.explaining.subject import Below, Budget, Refused, Solver, everything, negotiable, side_by_side
from optimiser.explaining.unfit import unfit
