"""The sheet, the JSON and the words of a sweep over many vehicles."""

from collections import Counter
from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.cautions import CAUTIONS
from optimiser.pipeline.many.rows import Row, RowState
from optimiser.pipeline.many.sweeping import ManySwept, Tally
from optimiser.printing.as_json import CAUTION
from optimiser.printing.objects_many import ManySweptObject
from optimiser.printing.trying import FOR_NOW, MOVED_RULES
from optimiser.printing.wording import percent, table

ROWS_MOST, REASONS_MOST = 40, 10  # on the sheet: the table in the folder has all of them

LOUD: tuple[RowState, ...] = ("breach", "unusable", "fault")
"""What is told as it comes."""

CHANGED = {
    "case": "their case has changed since",
    "catalogue": "their catalogue has changed since",
    "program": "another version of the program made them",
    "limits of the search": "they were undecided within another time limit, seed or number of workers",
    "fault": "they failed before",
}
"""What a row rests on that is another by now -> in words."""


def tally_words(tally: Tally) -> str:
    """Rows that are done, by status."""
    done = f"{tally.done} of {tally.asked} rows"
    return ": ".join(filter(None, (done, _counted(tally.counts))))


def row_name(row: Row) -> str:
    """Which one it is."""
    return " ".join(filter(None, (row.case, row.setting)))


def many_sheet(found: ManySwept) -> list[RenderableType]:
    """Counts, the rows if they are few, and where all of them are."""
    return [
        f"Want:   {found.want}",
        f"Status: {_status(found)}",
        f"Solved: {_how(found)}",
        *([_table(found.rows[:ROWS_MOST])] if found.rows else []),
        *_loud(found),
        f"\n{_where(found)}",
        *_caution(found),
        *CAUTIONS,
    ]


def many_object(found: ManySwept) -> ManySweptObject:
    """The same for a program."""
    return {
        "status": found.state,
        "want": found.want,
        "asked": found.asked,
        "counts": dict(found.counts),
        "taken_over": found.taken_over,
        "solved_anew": dict(found.anew),
        "left_aside": found.left_aside,
        "why": found.why,
        "table": str(found.table),
        "rows": list(found.rows),
        "caution": CAUTION,
    }


def _counted(counts: Counter[RowState]) -> str:
    return ", ".join(f"{count} {status}" for status, count in counts.most_common())


def _status(found: ManySwept) -> str:
    what = f"whole sweep of {found.asked} rows" if found.state == "whole" else ""
    what = what or f"part of the sweep, {len(found.rows)} of {found.asked} rows; {found.why}; the same command goes on"
    return ": ".join(filter(None, (what, _counted(found.counts))))


def _how(found: ManySwept) -> str:
    stop = found.stop
    count = found.processes
    who = "the workers of a cluster" if count is None else f"{count} process{'es' * (count > 1)}"
    each = f"{stop.workers} search{'es' * (stop.workers > 1)} each"
    return f"by {who}, {each}, seed {stop.seed}, at most {stop.seconds:g} s a row; {found.taken_over} rows taken over"


def _table(rows: tuple[Row, ...]) -> Table:
    made = table("Rows", "case", "set", "status", ">cost", ">mass")
    for row in rows:
        made.add_row(row.case, row.setting, _row_status(row), *_worth(row))
    return made


def _row_status(row: Row) -> str:
    if row.status == "best found" and row.gap is not None:
        return f"best found, gap {percent(row.gap)}"
    return row.status


def _worth(row: Row) -> tuple[str, str]:
    if row.cost is None or row.mass is None:
        return "", ""
    return f"{row.cost:.2f} {row.currency}", f"{row.mass:.3f} kg"


def _loud(found: ManySwept) -> Iterator[str]:
    """Why rows have no result, once for all that say the same."""
    reasons = Counter(f"{row.status}: {row.why}" for row in found.rows if row.status in LOUD)
    for reason, count in reasons.most_common(REASONS_MOST):
        yield f"{count} {reason}"
    if len(reasons) > REASONS_MOST:
        yield f"and {len(reasons) - REASONS_MOST} more reasons, in the table"


def _where(found: ManySwept) -> str:
    more = len(found.rows) - ROWS_MOST
    rest = f"; {more} more than are shown here" if more > 0 else ""
    return f"All rows with all columns: {found.table}{rest}"


def _caution(found: ManySwept) -> Iterator[str]:
    if found.left_aside:
        yield f"{found.left_aside} rows of an earlier call are kept but not in the table: this one asks for others."
    if any(row.only_to_compare for row in found.rows):
        yield MOVED_RULES
    elif any(row.values for row in found.rows):
        yield FOR_NOW
