"""Why not this part: the best build as asked beside the best with a part or without it, and what keeps it out or in.

To have a part, or not to have it, is a preference of the shop like any other: one move of the case. Prints nothing.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from optimiser.auditing import Finding, audit
from optimiser.builds import Build
from optimiser.explaining import Budget, KeptOut, Refused, kept_out, unfit
from optimiser.moves import Move, Moved, MoveProblem, moved
from optimiser.pipeline.answers import Answer, Status
from optimiser.pipeline.explaining import solver_for
from optimiser.pipeline.inputs import Inputs, Unusable
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.pipeline.trying import Trial, beside, solved
from optimiser.reading import unmeant
from optimiser.requirements import named
from optimiser.solve import End, Halt, OutOfTime, Stop, Undecided, Want, Watch, requirements_of

NO_PART = "no part to look at; expected one to have, or one to do without"


@dataclass(frozen=True)
class PartTrial(Trial):
    """A case as asked, and with parts or without them.

    ``already``: the build as asked is so by itself. ``kept_out``: what cannot be met together with it, if no build is
    so. ``refused``: a fault of the program.
    """

    wanted: tuple[str, ...] = ()
    banned: tuple[str, ...] = ()
    already: bool = False
    kept_out: KeptOut | None = None
    refused: tuple[Finding, ...] = ()

    @property
    def status(self) -> Status:
        """What may be said of both builds."""
        return "breach" if self.refused else super().status


def why_not(
    inputs: Inputs,
    *,
    wanted: Sequence[str],
    banned: Sequence[str],
    want: Want,
    stop: Stop,
    watch: Watch,
    begin: Callable[[str], None],
    ended: Ended = never,
) -> PartTrial:
    """The best build of the case, and the best that has what is ``wanted`` and lacks what is ``banned``.

    Parameters
    ----------
    wanted, banned : parts by name, or kinds of part as of `Catalogue.meant`.
    stop : time limit of each solve [s], and of what keeps it out; seed and workers.
    begin : called with what is done next.

    Raises
    ------
    Unusable
        With every name that means no part, or cannot be wanted or banned in this case.
    """
    moves, changed = _moved(inputs, {"wanted": tuple(dict.fromkeys(wanted)), "banned": tuple(dict.fromkeys(banned))})
    asked = PartTrial(
        moves, (), *(Answer(want, _not_begun(), None, ()),) * 2, wanted=tuple(wanted), banned=tuple(banned)
    )

    def work(halt: Halt) -> PartTrial:
        begin("as asked")
        before, _ = solved(inputs, want, stop, watch, halt)
        if before.status in ("impossible", "breach"):
            return replace(asked, before=before, after=before)
        if before.build and (findings := _meets(changed, asked, before.build)):
            after = replace(before, findings=findings)
            return replace(beside(inputs, changed, replace(asked, before=before, after=after)), already=True)
        if halt.asked:
            return replace(asked, before=before)
        begin("changed")
        after, _ = solved(changed, want, stop, watch, halt, stamp=False)
        found = beside(inputs, changed, replace(asked, before=before, after=after))
        if after.status != "impossible" or halt.asked:
            return found
        begin("what keeps it out")
        return _explained(changed, found, stop, watch, halt, begin)

    return interruptible(work, ended)


def _not_begun() -> Undecided:
    return Undecided(None, None, None, 0, 0.0, "stopped before it was begun")


def _moved(inputs: Inputs, lists: dict[str, tuple[str, ...]]) -> tuple[tuple[Moved, ...], Inputs]:
    """The case with the names added to what it wants and bans itself."""
    problems = [fault for names in lists.values() for name in names if (fault := unmeant(inputs.catalogue, name))]
    if problems or not any(lists.values()):
        raise Unusable(*(problems or [NO_PART]))
    moves, changed = list[Moved](), inputs
    for key, names in lists.items():
        known: tuple[str, ...] = getattr(inputs.case.preferences, key)
        whole = " ".join(dict.fromkeys((*known, *names)))
        if not set(names) <= set(known):
            try:
                moves.append(moved(changed.case, changed.catalogue, Move(f"preferences.{key}", f"={whole}")))
            except MoveProblem as problem:
                raise Unusable(str(problem)) from None
            changed = replace(changed, case=moves[-1].case)
    return tuple(moves), changed


def _wishes(trial: PartTrial) -> tuple[str, ...]:
    """What is asked, by the names that the model posts."""
    return (
        *(named("preference.wanted", name) for name in trial.wanted),
        *(named("preference.banned", name) for name in trial.banned),
    )


def _meets(changed: Inputs, trial: PartTrial, build: Build) -> tuple[Finding, ...]:
    """What the audit finds of a build in the changed case, if it is as asked there; else nothing.

    The best of all builds is the best of those that are so, if it is one of them.
    """
    findings = audit(changed.case, changed.catalogue, build)
    wishes = _wishes(trial)
    return findings if all(f.ok for f in findings if f.requirement in wishes) else ()


def _explained(
    changed: Inputs, trial: PartTrial, stop: Stop, watch: Watch, halt: Halt, begin: Callable[[str], None]
) -> PartTrial:
    """The trial with what leaves no build so."""
    budget = Budget(time.monotonic() + stop.seconds, lambda: halt.asked)
    case, catalogue, solver = changed.case, changed.catalogue, solver_for(stop, budget, halt, watch, begin)
    try:
        requirements = requirements_of(case, catalogue, End(budget.until, lambda: halt.asked))
        found = kept_out(case, catalogue, _wishes(trial), requirements, solver, budget)
    except OutOfTime:
        return trial
    except Refused as fault:
        return replace(trial, refused=fault.findings)
    at_fault = found.core is None or found.core.names
    facts = () if at_fault else tuple(fact for name in trial.wanted for fact in unfit(case, catalogue, name))
    return replace(trial, kept_out=replace(found, facts=facts))
