"""One value swept over a span: the best build at each step, audited, and what changes from one to the next."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from optimiser.differences import Totals, changes, one_line, totals
from optimiser.moves import Moved, MoveProblem, moved, parse_sweep, set_to
from optimiser.moves.lever_makers import unit_of
from optimiser.pipeline.answers import Answer
from optimiser.pipeline.inputs import Inputs, Unusable
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.pipeline.trying import beyond_the_case, solved
from optimiser.solve import Halt, Stop, Undecided, Want, Watch

SweepState = Literal["whole", "part", "breach"]


@dataclass(frozen=True)
class Swept:
    """A value and its answer. ``line`` and ``totals`` tell its build from that at the last value with one, ``since``.

    ``as_asked``: it is the value of the case. ``changes``: its build is another one than that.
    """

    value: Decimal
    inputs: Inputs
    answer: Answer
    as_asked: bool = False
    since: Decimal | None = None
    line: str = ""
    totals: Totals | None = None
    changes: bool = False


@dataclass(frozen=True)
class Sweep:
    """Values of an address in the order asked for. ``before`` is what the case has, as it is written there."""

    address: str
    unit: str  # empty where its name tells none
    before: str
    want: Want
    asked: int  # values
    rows: tuple[Swept, ...]

    @property
    def state(self) -> SweepState:
        """Whether all of it is there."""
        if any(row.answer.status == "breach" for row in self.rows):
            return "breach"
        return "whole" if len(self.rows) == self.asked else "part"

    @property
    def code(self) -> int:
        """For the shell: a value proven impossible is settled like any other."""
        if self.state == "breach":
            return 1
        settled = all(row.answer.status in ("proven", "impossible") for row in self.rows)
        return 0 if settled and self.state == "whole" else 4

    @property
    def only_to_compare(self) -> bool:
        """Whether it moves a rule or a maker's figure."""
        return beyond_the_case(self.address)


def sweep(
    inputs: Inputs,
    text: str,
    *,
    want: Want,
    stop: Stop,
    watch: Watch,
    begin: Callable[[str], None],
    tell: Callable[[Swept], None],
    ended: Ended = never,
) -> Sweep:
    """The best build at each value. Ctrl-C ends it with the values so far, and so does ``ended``.

    Parameters
    ----------
    text : address and values, as `moves.parse_sweep` reads them.
    stop : time limit of each solve [s], seed and workers.
    begin : called with what is solved next.
    tell : called with each value when it is solved.

    Raises
    ------
    Unusable
        If one of the values cannot be there; nothing is solved then.
    """
    try:
        address, values = parse_sweep(text)
        moves = [moved(inputs.case, inputs.catalogue, set_to(address, value)) for value in values]
    except MoveProblem as problem:
        raise Unusable(str(problem)) from None
    full, before = moves[0].address, moves[0].before
    unit = _unit(inputs, full)

    def work(halt: Halt) -> tuple[Swept, ...]:
        rows: list[Swept] = []
        for value, move in zip(values, moves, strict=True):
            if halt.asked:
                break
            changed = Inputs(inputs.folder, move.case, move.catalogue)
            answer = _known(changed, rows)
            if answer is None:
                begin(f"{value.normalize():f} {unit}".rstrip())
                built = [row.answer.build for row in rows if row.answer.build]
                near = built[-1] if built else None
                answer, _ = solved(changed, want, stop, watch, halt, near=near, stamp=False)
            if halt.asked and answer.build is None and isinstance(answer.outcome, Undecided):
                break
            rows.append(_step(value, changed, answer, rows, move))
            tell(rows[-1])
            if answer.status == "breach":  # nothing that rests on it would be worth anything
                break
        return tuple(rows)

    return Sweep(full, unit, before, want, len(values), interruptible(work, ended))


def _known(changed: Inputs, rows: Sequence[Swept]) -> Answer | None:
    """The answer of an earlier value that makes the same case: parts may have no use for one."""
    alike = (row.answer for row in rows if (row.inputs.case, row.inputs.catalogue) == (changed.case, changed.catalogue))
    return next(alike, None)


def _step(value: Decimal, changed: Inputs, answer: Answer, rows: Sequence[Swept], move: Moved) -> Swept:
    as_asked = move.after == move.before
    last = next((row for row in reversed(rows) if row.answer.build), None)
    if last is None or last.answer.build is None or answer.build is None or answer.status == "breach":
        return Swept(value, changed, answer, as_asked)
    before, after = last.answer.build, answer.build
    figures = totals(last.inputs.case, last.inputs.catalogue, before, after, by=(changed.case, changed.catalogue))
    line = one_line(changed.catalogue, before, after, figures)
    return Swept(
        value, changed, answer, as_asked, last.value, line, figures, bool(changes(changed.catalogue, before, after))
    )


def _unit(inputs: Inputs, address: str) -> str:
    table, _, rest = address.partition(".")
    column = rest.rpartition(".")[2]
    if table == "rule":
        return inputs.case.rules.figures[rest].unit.strip("-")
    stem = column.rpartition("_")[0]
    if stem.endswith(("_per", "_m3", "_pct")):  # of so much an hour, or for each K, no suffix tells all
        return ""
    return "days" if column.endswith("_days") else unit_of(inputs.case, column)
