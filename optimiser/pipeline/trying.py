"""What if: a case solved as it is and again with values moved or requirements dropped, both audited. Prints nothing.

Nothing is written here, and what was changed leaves no mark on the case: builds of a changed case carry no hash of
inputs, since no folder holds those.
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from optimiser.auditing import Finding, audit
from optimiser.builds import Build, BuildProblem
from optimiser.differences import Row, Totals, one_line, side_by_side, totals
from optimiser.model.assemble import assemble
from optimiser.moves import Moved, MoveProblem, moved, parse_set
from optimiser.parts import PARTS
from optimiser.pipeline.answers import EXIT_CODES, Answer, Status, stamped
from optimiser.pipeline.inputs import Inputs, Unusable
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.reading.wording import among, nearest
from optimiser.requirements import REGISTER, named
from optimiser.solve import Halt, Impossible, Outcome, Solved, Stop, Undecided, Want, Watch, optimise

NOTHING = "nothing to try; expected a value to set or a requirement to drop"


@dataclass(frozen=True)
class Trial:
    """A case as asked and as changed. ``given_up``: breaches of what was dropped, in the changed build.

    ``rows`` tell the changed build beside the one as asked, if there is one; ``totals`` and ``line`` what changes.
    """

    moves: tuple[Moved, ...]
    drops: tuple[str, ...]
    before: Answer
    after: Answer
    given_up: tuple[Finding, ...] = ()
    rows: tuple[Row, ...] = ()
    totals: Totals | None = None
    line: str = ""

    @property
    def status(self) -> Status:
        """What may be said of both. An impossible case as asked is settled: what counts is the other one then."""
        both = self.before.status, self.after.status
        if "breach" not in both and self.after.status == "impossible":
            return "impossible"
        return next((status for status in _WORST if status in both), "proven")

    @property
    def code(self) -> int:
        """For the shell."""
        return EXIT_CODES[self.status]

    @property
    def held_anyway(self) -> tuple[str, ...]:
        """What was dropped and yet holds; nothing can be said of it without a build."""
        build = self.after.build
        return tuple(drop for drop in self.drops if build and not any(covers(drop, f) for f in self.given_up))

    @property
    def only_to_compare(self) -> bool:
        """Whether the changed build gives up what protects, or rests on a rule or a maker's figure that was moved."""
        return bool(self.given_up) or any(beyond_the_case(move.address) for move in self.moves)


T = TypeVar("T", bound=Trial)
_WORST: tuple[Status, ...] = ("breach", "don't know", "best found")


_MONEY = ("price", "sundries", "minutes", "end_price", "end_minutes", "mount_price")  # no build is unsafe for these


def beyond_the_case(address: str) -> bool:
    """Whether a value says what a rule or a part stands for, which no customer and no survey can change."""
    table, column = address.partition(".")[0], address.rpartition(".")[2]
    return table == "rule" or (column not in _MONEY and (table == "part" or table in PARTS))


def try_out(
    inputs: Inputs,
    *,
    sets: Sequence[str],
    drops: Sequence[str],
    want: Want,
    stop: Stop,
    watch: Watch,
    begin: Callable[[str], None],
    ended: Ended = never,
) -> Trial:
    """The best build of the case, and that of the case as changed. Ctrl-C ends it with what is solved, and so does
    ``ended``.

    Parameters
    ----------
    sets : values moved, one after the other, as `moves.parse_set` reads them.
    drops : requirements that need not hold, with a place or at all places.
    stop : time limit of each solve [s], seed and workers.
    begin : called with what is solved next.

    Raises
    ------
    Unusable
        With every change that cannot be made.
    """
    moves, changed, problems = _moved(inputs, sets)
    given, refused = dropped(changed, drops)
    if problems or refused or not (moves or given):
        raise Unusable(*([*problems, *refused] or [NOTHING]))

    def work(halt: Halt) -> Trial:
        begin("as asked")
        before, _ = solved(inputs, want, stop, watch, halt)
        if (changed.case, changed.catalogue) == (inputs.case, inputs.catalogue) and not given:
            return beside(inputs, changed, Trial(moves, given, before, before))
        if halt.asked:
            why = "stopped before it was begun"
            return Trial(moves, given, before, Answer(want, Undecided(None, None, None, 0, 0.0, why), None, ()))
        begin("changed")
        after, given_up = solved(changed, want, stop, watch, halt, given=given, near=before.build, stamp=False)
        return beside(inputs, changed, Trial(moves, given, before, after, given_up))

    return interruptible(work, ended)


def _moved(inputs: Inputs, sets: Iterable[str]) -> tuple[tuple[Moved, ...], Inputs, list[str]]:
    moves, changed, problems = list[Moved](), inputs, list[str]()
    for text in sets:
        try:
            move = moved(changed.case, changed.catalogue, parse_set(text))
        except MoveProblem as problem:
            problems.append(str(problem))
            continue
        if move.case.brief.currency != inputs.case.brief.currency:
            why = "money of two kinds has no difference"
            problems.append(f"{text}: {why}; expected {inputs.case.brief.currency}")
        moves.append(move)
        changed = replace(changed, case=move.case, catalogue=move.catalogue)
    return tuple(moves), changed, problems


def beside(inputs: Inputs, changed: Inputs, trial: T) -> T:
    """The trial with its two builds side by side, where there are any."""
    before, after = trial.before.build, trial.after.build
    if after is None or trial.status == "breach":
        return trial
    if before is None:  # the changed build is news by itself
        whole = side_by_side(changed.case, changed.catalogue, after, after)
        return replace(trial, rows=tuple(row._replace(before="") for row in whole))
    # Prices and measures of parts may have moved: each build is read by its own catalogue. What rows there are
    # depends on the builds alone.
    left, right = (
        side_by_side(inputs.case, one.catalogue, before, after, case_after=changed.case) for one in (inputs, changed)
    )
    rows = tuple(Row(old.what, old.before, new.after) for old, new in zip(left, right, strict=True))
    figures = totals(inputs.case, inputs.catalogue, before, after, by=(changed.case, changed.catalogue))
    return replace(trial, rows=rows, totals=figures, line=one_line(changed.catalogue, before, after, figures))


# --- solving -----------------------------------------------------------------------------------------


def solved(
    inputs: Inputs,
    want: Want,
    stop: Stop,
    watch: Watch,
    halt: Halt,
    *,
    given: tuple[str, ...] = (),
    near: Build | None = None,
    stamp: bool = True,
) -> tuple[Answer, tuple[Finding, ...]]:
    """The audited answer without the breaches of what was dropped, and those.

    Where ``near`` is as good as what was found and holds as well, it is the answer: of two best builds, the one that
    changes least.
    """

    def active(name: str) -> bool:
        return name not in given and name.partition("[")[0] not in given

    outcome = optimise(inputs.case, inputs.catalogue, want, stop=stop, watch=watch, active=active, halt=halt)
    if isinstance(outcome, Impossible) or outcome.build is None:
        return Answer(want, outcome, None, ()), ()
    found = near and _as_good(inputs, near, outcome, given)
    build = found or (stamped(inputs, outcome.build) if stamp else outcome.build)
    findings = audit(inputs.case, inputs.catalogue, build)
    given_up = _given_up(findings, given)
    return Answer(want, outcome, build, tuple(f for f in findings if f not in given_up)), given_up


def _as_good(inputs: Inputs, near: Build, outcome: Outcome, given: tuple[str, ...]) -> Build | None:
    if not isinstance(outcome, Solved):
        return None
    build = replace(near, claim=outcome.build.claim)
    try:
        findings = audit(inputs.case, inputs.catalogue, build)  # the claim of what it costs and weighs among them
    except BuildProblem:
        return None
    broken = [finding for finding in findings if not finding.ok]
    return build if len(_given_up(findings, given)) == len(broken) else None


def _given_up(findings: Iterable[Finding], given: tuple[str, ...]) -> tuple[Finding, ...]:
    return tuple(f for f in findings if not f.ok and any(covers(drop, f) for drop in given))


# --- requirements dropped for a trial: which one is meant, and whether a breach is of one of them -----


_NAME = re.compile(r"([^\[\]]+)(?:\[([^\[\]]+)\])?")


def _family(name: str) -> str:
    return name.partition(".")[0]


_FAMILIES = tuple(dict.fromkeys(map(_family, REGISTER)))


def covers(drop: str, finding: Finding) -> bool:
    """Whether a dropped requirement is the one of a finding."""
    return drop in (finding.name, finding.requirement)


def dropped(inputs: Inputs, drops: Iterable[str]) -> tuple[tuple[str, ...], list[str]]:
    """The requirements by the names that the model posts, and a line for each that cannot be dropped."""
    found, problems, places = dict[str, None](), list[str](), dict[str, list[str]]()
    for text in drops:
        match = _NAME.fullmatch(text.strip())
        name, place = (match[1], match[2] or "") if match else (text.strip(), "")
        if name in _FAMILIES and not place:
            found |= dict.fromkeys(r.name for r in REGISTER.values() if _family(r.name) == name and not r.is_definition)
        elif name not in REGISTER:
            problems.append(f"{text}: no such requirement; expected {nearest(name, REGISTER) or _families()}")
        elif REGISTER[name].is_definition:
            why = "says what a build is and cannot be given up"
            problems.append(f"{text}: {name} {why}; expected a requirement that a build could break")
        elif not place:
            found[name] = None
        else:
            places = places or _posted(inputs)
            known = places.get(name, [])
            if place in known:
                found[named(name, place)] = None
            else:
                wanted = f"{name} alone" + (f", or at {among(place, known)}" if known else "")
                problems.append(f"{text}: rules nothing out at {place!r} by itself; expected {wanted}")
    return tuple(found), problems


def _posted(inputs: Inputs) -> dict[str, list[str]]:
    """Requirement -> the places at which it rules something out."""
    model = assemble(inputs.case, inputs.catalogue)
    found: dict[str, list[str]] = {}
    for name, _, place in (full.partition("[") for full in model.posted):
        if place:
            found.setdefault(name, []).append(place.removesuffix("]"))
    return {name: sorted(places) for name, places in found.items()}


def _families() -> str:
    return f"a name of the register, as mass.payload, or a family of them: {', '.join(_FAMILIES)}"
