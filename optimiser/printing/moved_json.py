"""Values moved, and how near to what was asked limits can stay, for programs."""

from optimiser.explaining import LeastBudget, Nearest, NearestBrief
from optimiser.moves import Moved
from optimiser.printing.objects_moved import LeastBudgetObject, MoveObject, NearestObject, WeighedObject


def move_object(move: Moved) -> MoveObject:
    """A value moved, and what followed."""
    return {
        "address": move.address,
        "before": move.before,
        "after": move.after,
        "also": [{"address": address, "before": before, "after": after} for address, before, after in move.also],
    }


def weighed_object(brief: NearestBrief) -> WeighedObject:
    """What a brief moves, and what that weighs."""
    return {
        "moves": [{**move_object(eased.move), "steps": eased.count, "weight": eased.weight} for eased in brief.eased],
        "weight": brief.weight,
        "bound": brief.bound,
    }


def nearest_object(nearest: Nearest) -> NearestObject:
    """How near to what was asked a limit can stay."""
    return {
        "requirement": nearest.name,
        "address": nearest.lever.address,
        "works": None if nearest.works is None else nearest.works / nearest.scale,
        "bound": nearest.bound / nearest.scale,
        "proven": nearest.exact,
    }


def budget_object(found: LeastBudget) -> LeastBudgetObject:
    """The least budget that works."""
    return {**nearest_object(found.near), "others_moved": found.others}
