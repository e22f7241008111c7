"""`pack`: everything the customer, the workshop and the person commissioning need, from one audited build."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from optimiser import packing, pipeline, printing
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
from optimiser.cli.telling import OUT_OF_BAND, settled, told
from optimiser.fitted import fit_of
from optimiser.packing import Wanted
from optimiser.pipeline.commissioning import hold
from optimiser.solve import Stop


@click.command(cls=Command)
@case_argument
@click.argument("build_file", metavar="BUILD.json", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="A new or an empty folder.")
@click.option("--alone", is_flag=True, help="Only this build: look for no other options.")
@click.option(
    "--points",
    type=click.IntRange(min=2),
    metavar="N",
    help="So many options, evenly apart in mass; the whole front if left out.",
)
@click.option(
    "--explain",
    "explained",
    is_flag=True,
    help="Find out what decides each option: a minute or more each. Else the limits with the least room are told.",
)
@click.option(
    "--readings",
    type=click.Path(path_type=Path),
    metavar="READINGS.csv",
    help="Check a filled test sheet or a log against the design, as commission does, and add the report.",
)
@json_flag
@seconds_option(300, "Time limit of each question to the solver, and of explaining each option.")
@quiet_flag
@seed_option
@workers_option
@catalogue_option
def pack(
    case: str,
    build_file: Path,
    out: Path,
    alone: bool,
    points: int | None,
    explained: bool,
    readings: Path | None,
    as_json: bool,
    seconds: float,
    quiet: bool,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Write the job pack of a build: page, drawings, schedules, quotation and test sheet.

    The build is audited first; one with a breach gets no pack. Options beside it come from the front, as compare finds
    it; points of an earlier run are taken over.
    """
    if alone and (points or explained):
        raise click.UsageError("--alone looks for no options; expected it without --points and --explain")
    with told():
        inputs = pipeline.read(case, catalogues)
        given = pipeline.read_build(build_file)
        printing.note(*(f"{build_file}: {doubt}" for doubt in pipeline.doubts(inputs, given)))
        findings = pipeline.audit_file(inputs, build_file, given)
        pipeline.check_folder(out)
        if broken := breaches(findings):
            printing.note(*(f"{build_file}: breach: {f.requirement}: {f.sentence}" for f in broken))
            printing.note("no pack is made of a build with a breach")
            sys.exit(pipeline.EXIT_CODES["breach"])
        fit = fit_of(inputs.case, inputs.catalogue, given)
        report = hold(fit, findings, readings) if readings else None
        wanted, stop = Wanted(not alone, points, explained), Stop(seconds, seed, workers)
        with printing.progress_line(
            "option 1", "cost", currency=inputs.case.brief.currency, limit_s=seconds, quiet=quiet
        ) as line:

            def tell(choice: pipeline.Choice) -> None:
                line.say(f"{line.label}: {printing.choice_line(inputs, choice, ('cost', 'mass'))}")
                line.begin(f"option {int(line.label.removeprefix('option ')) + 1}")

            made, found = packing.make(inputs, given, wanted, stop, line.watch, tell, line.begin, line.turn, report)
            line.turn("drawing and writing")
            files = packing.pack_files(made, found)
            packing.write_pack(out, files)
            settled()
        if as_json:
            printing.write(packing.pack_json(made, found, out, files))
        else:
            printing.show(*packing.pack_lines(made, found, out, files))
        out_of_band = report is not None and report.status == "out of band"
        sys.exit(OUT_OF_BAND if out_of_band else 0 if found is None else pipeline.STATE_CODES[found.state])
