"""`explain`: why there is no fit-out or no better one, and what if."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass

import click
from rich.console import RenderableType

from optimiser import pipeline, printing
from optimiser.cli.options import (
    Command,
    Finite,
    case_argument,
    catalogue_option,
    json_flag,
    quiet_flag,
    seconds_option,
    seed_option,
    workers_option,
)
from optimiser.cli.telling import told
from optimiser.moves import addresses
from optimiser.pipeline import Inputs
from optimiser.printing import ProgressLine
from optimiser.solve import WANTS, Stop, Want

BOTH: tuple[Want, ...] = ("cheapest", "lightest")


@click.command(cls=Command)
@case_argument
@click.option(
    "--want",
    "wants",
    type=click.Choice(BOTH),
    multiple=True,
    help="What to explain; both if left out, the cheapest for a trial or a sweep.",
)
@click.option(
    "--set",
    "sets",
    multiple=True,
    metavar="VALUE=CHANGE",
    help="Try it with a value moved: bay.left_seat.width_mm=+40 (boards that filled the bay follow), payload_kg=-10, "
    "rule.drop_share=0.04, part.panel-200-slim.price=300. A sign moves it by that much, anything else puts it there "
    "(==-5 for a value below 0). May be given again.",
)
@click.option(
    "--drop",
    "drops",
    multiple=True,
    metavar="REQUIREMENT",
    help="Try it with a requirement given up, at a place (bay.heat[locker]) or at all. May be given again.",
)
@click.option("--sweep", "swept", metavar="VALUE=FROM:TO:STEP", help="Solve it for each value: autonomy_days=1:3:0.25.")
@click.option(
    "--by",
    "by_percent",
    type=Finite(0, 50),
    default=1,
    show_default=True,
    metavar="PERCENT",
    help="How much better a build must be to count; 0: by a cent or a gram, which takes long and names much.",
)
@click.option("--addresses", "listed", is_flag=True, help="List every value of CASE by the address --set takes.")
@json_flag
@seconds_option(300, "Time limit of all of it; of each solve of a trial or a sweep.")
@quiet_flag
@seed_option
@workers_option
@catalogue_option
def explain(
    case: str,
    wants: tuple[Want, ...],
    sets: tuple[str, ...],
    drops: tuple[str, ...],
    swept: str | None,
    by_percent: float,
    listed: bool,
    as_json: bool,
    seconds: float,
    quiet: bool,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Say why CASE has no fit-out and the least to change, or what decides its best ones.

    With --set or --drop: the best build as asked and as changed, side by side. With --sweep: cost and mass over a
    range of one value. Ctrl-C ends it with what is known so far.
    """
    trial = bool(sets or drops)
    if trial and swept:
        raise click.UsageError("--sweep goes by itself; expected it without --set and --drop")
    if (trial or swept) and len(wants) > 1:
        raise click.UsageError("a trial or a sweep has one --want; expected cheapest or lightest")
    with told():
        inputs = pipeline.read(case, catalogues)
        if listed:
            values = addresses(inputs.case)
            printing.write(json.dumps(dict(values)) + "\n" if as_json else "".join(f"{a}={v}\n" for a, v in values))
            return
        stop, want = Stop(seconds, seed, workers), wants[0] if wants else BOTH[0]
        currency = inputs.case.brief.currency
        with printing.progress_line(want, WANTS[want][0], currency=currency, limit_s=seconds, quiet=quiet) as line:
            if trial:
                shown = _trial(inputs, sets, drops, want, stop, line)
            elif swept:
                shown = _sweep(inputs, swept, want, stop, line)
            else:
                shown = _explanation(inputs, tuple(dict.fromkeys(wants)) or BOTH, by_percent, stop, line)
        if as_json:
            printing.write(shown.json)
        else:
            printing.show(*shown.sheet)
        printing.note(*shown.faults)
        sys.exit(shown.code)


@dataclass(frozen=True)
class _Shown:
    """What the command has to show at its end."""

    json: str
    sheet: list[RenderableType]
    faults: list[str]
    code: int


def _trial(
    inputs: Inputs, sets: tuple[str, ...], drops: tuple[str, ...], want: Want, stop: Stop, line: ProgressLine
) -> _Shown:
    found = pipeline.try_out(inputs, sets=sets, drops=drops, want=want, stop=stop, watch=line.watch, begin=line.begin)
    faults = [text for answer in (found.before, found.after) for text in printing.fault_lines(answer.findings)]
    return _Shown(
        printing.trial_json(found), printing.trial_sheet(inputs, found), faults if found.code == 1 else [], found.code
    )


def _sweep(inputs: Inputs, swept: str, want: Want, stop: Stop, line: ProgressLine) -> _Shown:
    def tell(row: pipeline.Swept) -> None:
        line.say(printing.swept_line(inputs, row))

    found = pipeline.sweep(inputs, swept, want=want, stop=stop, watch=line.watch, begin=line.begin, tell=tell)
    faults = [text for row in found.rows for text in printing.fault_lines(row.answer.findings)]
    return _Shown(printing.sweep_json(found), printing.sweep_sheet(inputs, found), faults, found.code)


def _explanation(inputs: Inputs, wants: tuple[Want, ...], by_percent: float, stop: Stop, line: ProgressLine) -> _Shown:
    def tell(words: str) -> None:
        if words in BOTH:
            line.measure = WANTS[words][0]
        line.turn(words)

    found = pipeline.explain(inputs, wants, by_percent, stop, line.watch, tell)
    return _Shown(
        printing.explanation_json(found),
        printing.explanation_sheet(inputs, found),
        printing.fault_lines(found.refused),
        pipeline.VERDICT_CODES[found.verdict],
    )
