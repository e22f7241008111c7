"""`build` and `audit`: one fit-out, found and proven, or held against every requirement."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from optimiser import pipeline, printing
from optimiser.auditing import breaches
from optimiser.cli.options import (
    Command,
    case_argument,
    catalogue_option,
    json_flag,
    quiet_flag,
    seconds_option,
    seed_option,
    workers_option,
)
from optimiser.cli.telling import settled, told
from optimiser.solve import WANTS, Stop, Want


@click.command(cls=Command)
@case_argument
@click.option(
    "--want",
    type=click.Choice(["cheapest", "lightest"]),
    default="cheapest",
    show_default=True,
    help="What to prove; the other breaks ties.",
)
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="BUILD.json", help="Write the build there, all of it or nothing."
)
@json_flag
@seconds_option(
    300, "Time limit; making the model counts. At the limit an undecided case is don't know, never impossible."
)
@quiet_flag
@seed_option
@workers_option
@catalogue_option
def build(
    case: str,
    want: Want,
    out: Path | None,
    as_json: bool,
    seconds: float,
    quiet: bool,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Find the best fit-out of CASE, prove it, audit it.

    Ctrl-C ends the search and keeps the best build so far.
    """
    with told():
        inputs = pipeline.read(case, catalogues)
        if out is not None:
            pipeline.check_target(out)
        currency = inputs.case.brief.currency
        with printing.progress_line(want, WANTS[want][0], currency=currency, limit_s=seconds, quiet=quiet) as line:
            answer = pipeline.design(inputs, want, Stop(seconds, seed, workers), line.watch)
        written = out is not None and pipeline.save(out, answer)  # first of all: it took long to find
        if written:
            settled()
        if as_json:
            printing.write(printing.answer_json(answer))
        else:
            printing.show(*printing.answer_sheet(inputs, answer))
        printing.note(*printing.fault_lines(answer.findings))
        if written:
            printing.note(f"{out} written")
        sys.exit(pipeline.EXIT_CODES[answer.status])


@click.command(cls=Command)
@case_argument
@click.argument("build_file", metavar="BUILD.json", type=click.Path(path_type=Path))
@json_flag
@catalogue_option
def audit(case: str, build_file: Path, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Hold a build file against every requirement of CASE, without the solver."""
    with told():
        inputs = pipeline.read(case, catalogues)
        given = pipeline.read_build(build_file)
        printing.note(*(f"{build_file}: {doubt}" for doubt in pipeline.doubts(inputs, given)))
        findings = pipeline.audit_file(inputs, build_file, given)
        if as_json:
            printing.write(printing.audit_json(inputs, given, findings))
        else:
            printing.show(*printing.audit_sheet(inputs, given, findings))
        sys.exit(pipeline.EXIT_CODES["breach"] if breaches(findings) else 0)
