"""`new` and `check`: a case before anything is chosen."""

from __future__ import annotations

from pathlib import Path

import click

from optimiser import pipeline, printing
from optimiser.checking import lines, overview
from optimiser.cli.options import Command, case_argument, catalogue_option, json_flag
from optimiser.cli.telling import told
from optimiser.packing import write_pack
from optimiser.reading import write_starter


@click.command(cls=Command)
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--like", metavar="CASE", help="Begin with a copy of that case.")
@json_flag
def new(folder: Path, like: str | None, as_json: bool) -> None:
    """Write a starter case to change into one's own."""
    with told():
        try:
            write_starter(folder, like=pipeline.case_folder(like) if like else None)
        except OSError as error:
            raise pipeline.Unusable(str(error) if error.errno is None else f"{folder}: {error.strerror}") from None
        if as_json:
            printing.write(printing.new_json(folder))
        else:
            printing.show(f"{folder} is there. Change what is yours, then: optimiser check {folder}")


@click.command(cls=Command)
@case_argument
@click.option("--draw", type=click.Path(path_type=Path), metavar="DIR", help="Draw the survey there, faults and all.")
@json_flag
@catalogue_option
def check(case: str, draw: Path | None, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Read CASE, and say what it amounts to or all that is wrong."""
    with told():
        if draw is not None:
            pipeline.check_folder(draw)
            write_pack(draw, pipeline.survey_files(case, catalogues))
            printing.note(f"survey drawn: {draw / 'survey.html'}")
        inputs = pipeline.read(case, catalogues)
        seen = overview(inputs.case, inputs.catalogue)
        if as_json:
            printing.write(printing.overview_json(seen))
        else:
            printing.show(*lines(seen))
