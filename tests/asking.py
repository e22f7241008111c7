"""The world made by hand, changed, and what audit and model say of it."""

from dataclasses import replace

from optimiser.auditing import Finding, audit, breaches
from optimiser.basis.money import STEP_MM
from optimiser.builds import Claim
from optimiser.fitted import Fit
from optimiser.fitted.drawn import reach_mm
from optimiser.fitted.wiring import routed_runs
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


def reaching(*changes: Change, but: str = "") -> World:
    """The world by hand, changed, with each cable but one as long as bodies then ask: for limits of other things."""
    return long_enough(world(*changes), but)


def long_enough(at: World, but: str = "") -> World:
    """The same of any world. What is cut longer than it must be stays so."""
    fit = Fit(at.case, at.catalogue, at.build)
    needed = {name: -(-max(reach_mm(fit, laid)) // STEP_MM) for name, laid in routed_runs(fit).items()}
    cut = {name: min(laid.core_steps) for name, laid in routed_runs(fit).items()}
    short = {name: needed[name] for name in needed if name != but and cut[name] < needed[name]}
    runs = (replace(r, cut_mm=short[r.name] * STEP_MM, back_mm=None) if r.name in short else r for r in at.build.runs)
    return World(at.case, at.catalogue, replace(at.build, runs=tuple(runs)))


def cut_to(at: World, run: str, cut_mm: int, back_mm: int | None = None) -> World:
    """The same with one cable cut to so much, both cores alike if nothing is said of the negative one."""
    runs = tuple(replace(r, cut_mm=cut_mm, back_mm=back_mm) if r.name == run else r for r in at.build.runs)
    return World(at.case, at.catalogue, replace(at.build, runs=runs))


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
