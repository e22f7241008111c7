"""The command line: arguments in, exit code out. No logic of its own."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn, TypeVar

import click

from optimiser import INTERRUPTED, __version__, pipeline, printing
from optimiser.audit import breaches
from optimiser.measures import MEASURES
from optimiser.overview import lines, overview
from optimiser.reading import CaseProblems, write_starter
from optimiser.solve import WANTS, Measures, Stop, Want

USAGE = 2

F = TypeVar("F", bound=Callable[..., Any])

_catalogue = click.option(
    "--catalogue",
    "catalogues",
    multiple=True,
    metavar="DIR",
    help=f"Catalogue folder in place of the shipped one ('{pipeline.SHIPPED}' names that); again to lay more over it.",
)
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
_seed = click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Of the solver.")
_workers = click.option(
    "--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Searches side by side."
)


def _seconds(default: float, help: str) -> Callable[[F], F]:
    return click.option("--seconds", type=click.FloatRange(min=1), default=default, show_default=True, help=help)


def _two_measures(ctx: click.Context, param: click.Parameter, value: str) -> Measures:
    """Two different measures with a comma between."""
    names = [name.strip() for name in value.split(",")]
    known = [name for name in MEASURES if name in names]
    if len(names) != 2 or len(known) != 2:
        raise click.BadParameter(f"{value!r}; expected two of {', '.join(MEASURES)} with a comma between")
    first, second = sorted(known, key=names.index)
    return first, second


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="optimiser")
def main() -> None:
    """Choose, place and prove off-grid power fit-outs of caravans and camper vans.

    CASE is a case folder, or the name of a case that comes with the program.
    """


@main.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@_json
def new(folder: Path, as_json: bool) -> None:
    """Write a starter case to change into one's own."""
    with _told():
        try:
            write_starter(folder)
        except OSError as error:
            raise pipeline.Unusable(str(error) if error.errno is None else f"{folder}: {error.strerror}") from None
        if as_json:
            printing.write(printing.new_json(folder))
        else:
            printing.show(f"{folder} is there. Change what is yours, then: optimiser check {folder}")


@main.command()
@click.argument("case")
@_json
@_catalogue
def check(case: str, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Read CASE, and say what it amounts to or all that is wrong."""
    with _told():
        inputs = pipeline.read(case, catalogues)
        seen = overview(inputs.case, inputs.catalogue)
        if as_json:
            printing.write(printing.overview_json(seen))
        else:
            printing.show(*lines(seen))


@main.command()
@click.argument("case")
@click.option("--want", type=click.Choice(["cheapest", "lightest"]), required=True, help="What to prove.")
@click.option("--out", type=click.Path(path_type=Path), metavar="BUILD.json", help="Write the build there.")
@_json
@_seconds(300, "Time limit.")
@_seed
@_workers
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
        with printing.progress_line(want, WANTS[want][0], currency=currency, limit_s=seconds) as line:
            answer = pipeline.design(inputs, want, Stop(seconds, seed, workers), line.watch)
        if as_json:
            printing.write(printing.answer_json(answer))
        else:
            printing.show(*printing.answer_sheet(inputs, answer))
        printing.note(*printing.fault_lines(answer.findings))
        if out is not None and pipeline.save(out, answer):
            printing.note(f"{out} written")
        sys.exit(pipeline.EXIT_CODES[answer.status])


@main.command()
@click.argument("case")
@click.option(
    "--measures",
    callback=_two_measures,
    default="cost,mass",
    show_default=True,
    metavar="FIRST,SECOND",
    help=f"Two of {', '.join(MEASURES)}: from the best in the first to the best in the second.",
)
@click.option("--points", type=click.IntRange(min=2), metavar="N", help="So many, evenly apart; all if left out.")
@click.option("--fresh", is_flag=True, help="Do not take over points that an earlier run proved.")
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Write the build of each point there.")
@_json
@_seconds(300, "Time limit of each point.")
@_seed
@_workers
@_catalogue
def compare(
    case: str,
    measures: Measures,
    points: int | None,
    fresh: bool,
    out: Path | None,
    as_json: bool,
    seconds: float,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Find all fit-outs of CASE worth showing: from the cheapest to the lightest, none better in both.

    Each point is told on stderr as it is found. Ctrl-C keeps them, and a later run goes on from there.
    """
    with _told():
        inputs = pipeline.read(case, catalogues)
        if out is not None:
            pipeline.check_folder(out)
        currency, stop = inputs.case.brief.currency, Stop(seconds, seed, workers)
        with printing.progress_line("point 1", measures[0], currency=currency, limit_s=seconds) as line:

            def tell(choice: pipeline.Choice) -> None:
                line.say(f"{line.label}: {printing.choice_line(inputs, choice, measures)}")
                line.begin(f"point {int(line.label.removeprefix('point ')) + 1}")

            found = pipeline.compare(inputs, measures, points, stop, line.watch, tell, fresh=fresh)
        if as_json:
            printing.write(printing.comparison_json(found))
        else:
            printing.show(*printing.comparison_sheet(inputs, found))
        for choice in found.choices:
            printing.note(*printing.fault_lines(choice.findings))
        if out is not None and (written := pipeline.save_choices(out, found)):
            printing.note(f"{len(written)} builds written in {out}")
        sys.exit(pipeline.STATE_CODES[found.state])


@main.command()
@click.argument("case")
@click.option(
    "--want", "wants", type=click.Choice(["cheapest", "lightest"]), multiple=True, help="Only what decides this one."
)
@click.option(
    "--by",
    "by_percent",
    type=click.FloatRange(0, 50),
    default=1,
    show_default=True,
    metavar="PERCENT",
    help="How much better a build must be to count; 0: by the least there is.",
)
@_json
@_seconds(300, "Time limit of all of it, or of each solve of a trial or sweep.")
@_seed
@_workers
@_catalogue
def explain(
    case: str,
    wants: tuple[Want, ...],
    by_percent: float,
    as_json: bool,
    seconds: float,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Say why CASE has no fit-out and the least to change, or what decides its best ones.

    Ctrl-C ends it with what is known so far.
    """
    with _told():
        inputs = pipeline.read(case, catalogues)
        wants, stop = tuple(dict.fromkeys(wants)) or ("cheapest", "lightest"), Stop(seconds, seed, workers)
        currency = inputs.case.brief.currency
        with printing.progress_line(wants[0], WANTS[wants[0]][0], currency=currency, limit_s=seconds) as line:
            found = pipeline.explain(inputs, wants, by_percent, stop, line.watch, line.turn)
        if as_json:
            printing.write(printing.explanation_json(found))
        else:
            printing.show(*printing.explanation_sheet(inputs, found))
        printing.note(*printing.fault_lines(found.refused))
        sys.exit(pipeline.VERDICT_CODES[found.verdict])


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
