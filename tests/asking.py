"""The world made by hand, changed, and what audit and model say of it."""

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Claim
from optimiser.model.context import Active, everything
from tests import handmade
from tests.handmade import World
from tests.knobs import Change as Change
from tests.knobs import altered
from tests.pinning import accepts

Changes = tuple[Change, ...]


def world(*changes: Change) -> World:
    """The world by hand, changed, and without a claim of what it costs."""
    return altered(handmade.world(), ("build.claim", Claim()), *changes)


def finding(at: World, requirement: str) -> Finding:
    """What the audit says of a requirement."""
    return next(f for f in audit(at.case, at.catalogue, at.build) if f.requirement == requirement)


def found(requirement: str, *changes: Change) -> Finding:
    """The same of the world by hand, changed."""
    return finding(world(*changes), requirement)


def broken(at: World) -> set[str]:
    """Requirements that are not met, with their places."""
    return {f.requirement for f in breaches(audit(at.case, at.catalogue, at.build))}


def taken(at: World, active: Active = everything) -> bool:
    """Whether the model takes the build, with these requirements in it."""
    return accepts(at.case, at.catalogue, at.build, active)
