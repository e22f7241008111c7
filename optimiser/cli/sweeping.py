"""`sweep`: one case over the values of a range, or many cases with every setting."""

from pathlib import Path
from typing import NoReturn, Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, cases_argument, searching
from optimiser.cli.reporting import reporting, settled, show


@click.command(cls=Command)
@cases_argument
@click.option(
    "--set",
    "sets",
    multiple=True,
    metavar="VALUE=CHANGE,...",
    help="Values to solve it for, each as explain --set takes it (payload_kg=+0,-10) or as a range FROM:TO:STEP "
    "(autonomy_days=1:3:0.5). Given again, for another value: every combination.",
)
@click.option("--want", type=click.Choice(["cheapest", "lightest"]), default="cheapest", show_default=True,
              help="What to prove of each; the other breaks ties.")  # fmt: skip
@click.option(
    "--out",
    type=PATH,
    metavar="DIR",
    help="Keep a row for each CASE with each setting there. A second call goes on where the first ended; rows whose "
    "case, catalogue or program has changed are solved anew.",
)
@click.option(
    "--format", "form", type=click.Choice(["csv", "parquet"]), default="csv", show_default=True,
    help="Of the table in DIR. Parquet takes pip install 'optimiser[parquet]'.",
)  # fmt: skip
@click.option(
    "--processes",
    type=click.IntRange(1, 512),
    metavar="N",
    help="Rows solved side by side on this machine; as many as its cores have room for if left out.",
)
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    help="Of a dask cluster that is there already, as tcp://host:8786: its workers solve the rows. Takes pip install "
    "'optimiser[cluster]', here and there.",
)
@searching("Time limit of each row.", workers=1)
def sweep(
    cases: tuple[str, ...],
    sets: tuple[str, ...],
    want: library.Want,
    out: Path | None,
    form: str,
    processes: int | None,
    scheduler: str | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Solve many CASEs, each with every setting, side by side; or show how one CASE changes over a range.

    With --out: a table with one row a result; Ctrl-C keeps the rows that are done, and the same command goes on.
    Without it, of one CASE and one range: cost and mass along it, as explain --sweep shows them.
    """
    if out is None:
        if len(cases) > 1 or len(sets) != 1:
            raise click.UsageError("--out DIR is left out; expected it, or one CASE and one --set with a range to show")
        if processes or scheduler:
            raise click.UsageError("one range is solved step by step; expected --out with --processes or --scheduler")
        _curve(cases[0], sets[0], want, as_json, quiet, catalogues, limits)
    if processes and scheduler:
        raise click.UsageError("--processes are of this machine; expected either them or --scheduler")
    with reporting():
        with printing.tally_line(quiet) as line:
            found = library.sweep_many(
                cases, sets, want, out=out, catalogue=catalogues, parquet=form == "parquet", processes=processes or 0,
                scheduler=scheduler or "", begun=line.begin, found=line.tell, **limits,
            )  # fmt: skip
        settled()
        show(found, as_json)


def _curve(
    case: str,
    values: str,
    want: library.Want,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    limits: library.Limits,
) -> NoReturn:
    with reporting():
        inputs = library.read(case, catalogues)
        with printing.progress_of(inputs, want, limits["seconds"], quiet) as line:
            found = library.sweep(
                inputs, values, want, step=line.begin, progress=line.watch,
                found=lambda row: line.say(printing.swept_line(inputs, row)), **limits,
            )  # fmt: skip
        show(found, as_json)
