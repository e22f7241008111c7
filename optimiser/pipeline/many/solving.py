"""One task, wherever it is done: the case with its setting solved, audited, and told in a row."""

import traceback
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from optimiser.builds import Build
from optimiser.moves import MoveProblem
from optimiser.pipeline.answers import Answer
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.pipeline.many.rows import Row, row_of
from optimiser.pipeline.many.tasks import Task, changed_inputs
from optimiser.pipeline.program import program_digest
from optimiser.pipeline.trying import beyond_the_case, solved
from optimiser.solve import Undecided
from optimiser.units import CENTS, GRAMS

Work = Callable[[Task, Ended], Row]


def solve_task(task: Task, ended: Ended = never) -> Row:
    """The row of a task. Whatever fails is said in it, so that one vehicle stops no other."""
    if not program_digest().startswith(task.rests_on.program):
        return row_of(task, "fault", "this worker has another program; expected the same everywhere")
    try:
        inputs, values = changed_inputs(task.inputs, task.settings)
    except MoveProblem as problem:
        return row_of(task, "unusable", str(problem))
    try:
        answer, _ = interruptible(
            lambda halt: solved(inputs, task.want, task.stop, lambda _: None, halt, stamp=False), ended
        )
    except Exception as error:
        return row_of(task, "fault", fault_line(error))
    only_to_compare = any(map(beyond_the_case, values))
    row = replace(row_of(task, answer.status), values=values, only_to_compare=only_to_compare)
    return _with_figures(replace(row, currency=inputs.case.brief.currency), answer)


def _with_figures(row: Row, answer: Answer) -> Row:
    """What a single run says of it; nothing of a build that the audit refused."""
    outcome = answer.outcome
    row = replace(row, seconds=round(outcome.seconds, 3), why=outcome.why if isinstance(outcome, Undecided) else "")
    if answer.status == "breach":
        broken = (f"{finding.requirement}: {finding.sentence}" for finding in answer.findings if not finding.ok)
        return replace(row, why=f"breach of {'; '.join(broken)}")
    scale = CENTS if answer.want == "cheapest" else GRAMS
    row = replace(row, gap=answer.gap, bound=None if answer.bound is None else answer.bound / scale)
    return row if answer.build is None else _with_parts(row, answer.build)


def _with_parts(row: Row, build: Build) -> Row:
    claim, bank, inverter = build.claim, build.bank, build.slot("inverter")
    assert claim.cost_cents is not None and claim.mass_g is not None  # what leaves the solver says both
    return replace(
        row,
        cost=claim.cost_cents / CENTS,
        mass=claim.mass_g / GRAMS,
        system_v=build.system_v,
        bank=f"{bank.series * bank.parallel} x {bank.module}",
        panels=_counted(panel.panel for panel in build.panels),
        inverter=inverter.part if inverter else "",
    )


def _counted(names: Iterable[str]) -> str:
    return ", ".join(f"{count} x {name}" for name, count in sorted(Counter(names).items()))


def fault_line(error: BaseException) -> str:
    """A failure in a line, with where it was, for whoever mends it."""
    last = traceback.extract_tb(error.__traceback__)[-1:]
    where = "".join(f" ({Path(frame.filename).name}:{frame.lineno})" for frame in last)
    return f"{' '.join(f'{type(error).__name__}: {error}'.split())[:300]}{where}"
