"""The command line: arguments in, exit code out. No logic of its own."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

import click

from optimiser import INTERRUPTED, __version__, pipeline, printing
from optimiser.audit import breaches
from optimiser.overview import lines, overview
from optimiser.reading import CaseProblems, write_starter
from optimiser.solve import Stop, Want

USAGE = 2

_catalogue = click.option(
    "--catalogue",
    "catalogues",
    multiple=True,
    metavar="DIR",
    help=f"Catalogue folder in place of the shipped one ('{pipeline.SHIPPED}' names that); again to lay more over it.",
)
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="optimiser")
def main() -> None:
    """Choose, place and prove off-grid power fit-outs of caravans and camper vans.

    CASE is a case folder, or the name of a case that comes with the program.
    """


@main.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Write a starter case to change into one's own."""
    with _told():
        try:
            write_starter(folder)
        except OSError as error:
            raise pipeline.Unusable(str(error) if error.errno is None else f"{folder}: {error.strerror}") from None
        printing.show(f"{folder} is there. Change what is yours, then: optimiser check {folder}")


@main.command()
@click.argument("case")
@_catalogue
def check(case: str, catalogues: tuple[str, ...]) -> None:
    """Read CASE, and say what it amounts to or all that is wrong."""
    with _told():
        inputs = pipeline.read(case, catalogues)
        printing.show(*lines(overview(inputs.case, inputs.catalogue)))


@main.command()
@click.argument("case")
@click.option("--want", type=click.Choice(["cheapest", "lightest"]), required=True, help="What to prove.")
@click.option("--out", type=click.Path(path_type=Path), metavar="BUILD.json", help="Write the build there.")
@_json
@click.option("--seconds", type=click.FloatRange(min=1), default=300, show_default=True, help="Time limit.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Of the solver.")
@click.option("--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Searches side by side.")
@_catalogue
def build(
    case: str,
    want: Want,
    out: Path | None,
    as_json: bool,
    seconds: float,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Find the best fit-out of CASE, prove it, audit it.

    Ctrl-C ends the search and keeps the best build so far.
    """
    with _told():
        inputs = pipeline.read(case, catalogues)
        if out is not None:
            pipeline.check_target(out)
        currency = inputs.case.brief.currency
        with printing.progress_line(want, currency=currency, limit_s=seconds) as watch:
            answer = pipeline.design(inputs, want, Stop(seconds, seed, workers), watch)
        if as_json:
            printing.write(printing.answer_json(answer))
        else:
            printing.show(*printing.answer_sheet(inputs, answer))
        printing.note(*printing.fault_lines(answer))
        if out is not None and pipeline.save(out, answer):
            printing.note(f"{out} written")
        sys.exit(pipeline.EXIT_CODES[answer.status])


@main.command()
@click.argument("case")
@click.argument("build_file", metavar="BUILD.json", type=click.Path(path_type=Path))
@_json
@_catalogue
def audit(case: str, build_file: Path, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Hold a build file against every requirement of CASE, without the solver."""
    with _told():
        inputs = pipeline.read(case, catalogues)
        given = pipeline.read_build(build_file)
        printing.note(*(f"{build_file}: {doubt}" for doubt in pipeline.doubts(inputs, given)))
        findings = pipeline.audit_file(inputs, build_file, given)
        if as_json:
            printing.write(printing.audit_json(inputs, given, findings))
        else:
            printing.show(*printing.audit_sheet(inputs, given, findings))
        sys.exit(pipeline.EXIT_CODES["breach"] if breaches(findings) else 0)


@contextmanager
def _told() -> Iterator[None]:
    """Problems of what was given: a line each on stderr, and the exit code for them."""
    try:
        yield
    except CaseProblems as problems:
        _refuse(*map(str, problems.problems))
    except pipeline.Unusable as problem:
        _refuse(*problem.lines)
    except KeyboardInterrupt:
        printing.note("stopped")
        sys.exit(INTERRUPTED)


def _refuse(*problems: str) -> NoReturn:
    printing.note(*problems)
    sys.exit(USAGE)
