"""What came of each task: a row, kept in a file of its own as soon as it is there, and all of them as one table."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, fields
from io import BytesIO
from pathlib import Path
from typing import Annotated, Literal

from pandas import DataFrame
from pydantic import Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from optimiser.files import write_bytes, write_text
from optimiser.pipeline.answers import Status
from optimiser.pipeline.inputs import Unusable
from optimiser.pipeline.many.tasks import Task
from optimiser.schedules.books import safe
from optimiser.solve import Want

RowState = Literal[Status, "unusable", "fault"]
Format = Literal["csv", "parquet"]

SETTLED: tuple[RowState, ...] = ("proven", "impossible", "unusable")
"""What no longer search changes."""

_DONE = "done"


@checked(frozen=True)
class Row:
    """A case with a setting, and what came of it."""

    case: Annotated[str, Field(description="as it was given")]
    setting: Annotated[str, Field(description="what was set, as it was given; empty for the case as it is")]
    values: Annotated[dict[str, str], Field(description="what was set, by its full address, as it is then")]
    want: Annotated[Want, Field(description="which best build")]
    status: Annotated[
        RowState,
        Field(
            description="what may be said of the build; breach: the audit refused it; unusable: the case cannot be "
            "read or that cannot be set; fault: the program failed, or its process was ended each time"
        ),
    ]
    cost: Annotated[float | None, Field(description="in the currency of the case")] = None
    currency: Annotated[str, Field(description="of cost")] = ""
    mass: Annotated[float | None, Field(description="in kg")] = None
    bound: Annotated[float | None, Field(description="no valid build is below it: cost or mass, as wanted")] = None
    gap: Annotated[float | None, Field(description="share of the best that is not proven, 0 when proven")] = None
    system_v: Annotated[int | None, Field(description="voltage of the bank")] = None
    bank: Annotated[str, Field(description="its modules")] = ""
    panels: Annotated[str, Field(description="on the roof")] = ""
    inverter: Annotated[str, Field(description="its part, also of one that charges")] = ""
    only_to_compare: Annotated[bool, Field(description="whether a figure of a rule set or a maker was set")] = False
    why: Annotated[str, Field(description="what stopped the search, cannot be used or failed")] = ""
    seconds: Annotated[float, Field(description="the search took")] = 0.0
    tries: Annotated[
        int, Field(description="how often it was begun, or handed to a cluster, which has tries of its own in each")
    ] = 0
    seed: Annotated[int, Field(description="of the solver")] = 1
    workers: Annotated[int, Field(description="of the solver, searches side by side")] = 1
    seconds_at_most: Annotated[float, Field(description="time limit of the search")] = 0.0
    case_digest: Annotated[str, Field(description="of the case files, by which a change is noticed")] = ""
    catalogue_digest: Annotated[str, Field(description="likewise, of the catalogue")] = ""
    program_digest: Annotated[str, Field(description="likewise, of the program and its solver")] = ""


_ADAPTER = TypeAdapter(Row)


def row_of(task: Task, status: RowState, why: str = "") -> Row:
    """A row with nothing in it yet but what it is of and what it rests on."""
    return Row(
        case=task.name, setting=task.setting, values={}, want=task.want, status=status, why=why,
        currency=task.inputs.case.brief.currency, seed=task.stop.seed, workers=task.stop.workers,
        seconds_at_most=task.stop.seconds, case_digest=task.rests_on.case,
        catalogue_digest=task.rests_on.catalogue, program_digest=task.rests_on.program,
    )  # fmt: skip


def unread_row(name: str, setting: tuple[str, ...], lines: Iterable[str], want: Want) -> Row:
    """The row of a case that cannot be read."""
    return Row(case=name, setting=" ".join(setting), values={}, want=want, status="unusable", why="; ".join(lines))


def outdated(row: Row, task: Task) -> list[str]:
    """What a row rests on that is another by now; nothing where it still answers its task."""
    pairs = {
        "case": (row.case_digest, task.rests_on.case),
        "catalogue": (row.catalogue_digest, task.rests_on.catalogue),
        "program": (row.program_digest, task.rests_on.program),
    }
    found = [what for what, (old, new) in pairs.items() if old != new]
    if row.status in ("fault", "breach"):
        return found or ["fault"]
    limits = (row.seed, row.workers, row.seconds_at_most)
    if not found and row.status not in SETTLED and limits != (task.stop.seed, task.stop.workers, task.stop.seconds):
        return ["limits of the search"]
    return found


class Ledger:
    """The folder of a sweep: a file for each row that is done, and the table of them."""

    def __init__(self, folder: Path, form: Format) -> None:
        self.folder, self.form = folder, form
        self.table = folder / f"rows.{form}"

    def open(self) -> None:
        """Make the folder, or take up that of an earlier sweep.

        Raises
        ------
        Unusable
            If it is another one, or cannot be written.
        """
        done = self.folder / _DONE
        try:
            if self.folder.exists() and not done.is_dir() and (not self.folder.is_dir() or any(self.folder.iterdir())):
                wanted = "a new folder, an empty one, or that of an earlier sweep"
                raise Unusable(f"{self.folder}: there already; expected {wanted}")
            done.mkdir(parents=False) if self.folder.exists() else _make(self.folder, done)
        except FileExistsError:
            return
        except OSError as error:
            raise Unusable(f"{self.folder}: cannot be made ({error.strerror}); expected a folder to write in") from None

    def kept(self) -> dict[str, Row]:
        """The rows that are there, by what they are filed under; what cannot be read is left aside."""
        found = dict[str, Row]()
        for path in (self.folder / _DONE).glob("*.json"):
            try:
                found[path.stem] = _ADAPTER.validate_json(path.read_bytes())
            except (OSError, ValidationError):
                continue
        return found

    def keep(self, key: str, row: Row) -> None:
        """A row that is done, all of it or nothing."""
        write_text(self.folder / _DONE / f"{key}.json", json.dumps(asdict(row)))

    def write(self, rows: Sequence[Row]) -> None:
        """The table of these rows, all of it or nothing, in place of the one before."""
        frame = _frame(rows)
        if self.form == "csv":
            text = frame.select_dtypes(include=["object", "string"]).columns
            frame[text] = frame[text].map(lambda cell: safe(cell) if isinstance(cell, str) else cell)
            write_text(self.table, frame.to_csv(index=False, lineterminator="\n"))
        else:
            draft = BytesIO()
            frame.to_parquet(draft, index=False)
            write_bytes(self.table, draft.getvalue())


def _make(folder: Path, done: Path) -> None:
    folder.mkdir()
    done.mkdir()


def _frame(rows: Sequence[Row]) -> DataFrame:
    """A column for each field, and in place of ``values`` one for each address: numbers where all of it are."""
    columns = dict[str, Sequence[object]]()
    for name in (field.name for field in fields(Row)):
        columns |= _values(rows) if name == "values" else {name: [getattr(row, name) for row in rows]}
    return DataFrame(columns).astype({"system_v": "Int64"})  # whole, also where some rows have none


def _values(rows: Sequence[Row]) -> dict[str, Sequence[object]]:
    addresses = dict.fromkeys(address for row in rows for address in row.values)
    cells = {address: [row.values.get(address) for row in rows] for address in addresses}
    return {address: _numbers(found) or found for address, found in cells.items()}


def _numbers(cells: Sequence[str | None]) -> list[float | None]:
    """The same as numbers; nothing if one of them is none."""
    try:
        return [None if cell is None else float(cell) for cell in cells]
    except ValueError:
        return []
