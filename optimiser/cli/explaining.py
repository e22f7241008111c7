"""`explain`: why there is no fit-out or no better one, and what if."""

from __future__ import annotations

from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import Command, Finite, case_argument, searching
from optimiser.cli.reporting import reporting, show

BOTH: tuple[library.Want, ...] = ("cheapest", "lightest")


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
@click.option(
    "--with",
    "wanted",
    multiple=True,
    metavar="PART",
    help="The best build with a part (panel-200-slim) or a kind of part (mains_chargers, panels.kind=flexible), or "
    "what keeps it out. May be given again.",
)
@click.option(
    "--without",
    "banned",
    multiple=True,
    metavar="PART",
    help="Likewise the best build without it, or what needs it. May be given again.",
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
@click.option(
    "--fresh",
    is_flag=True,
    help="Leave aside what an earlier run proved of what giving up or moving a limit saves. Builds are audited again; "
    "a proof is not made again, and the sheet says how many were taken over.",
)
@click.option("--addresses", "listed", is_flag=True, help="List every value of CASE by the address --set takes.")
@searching("Time limit of all of it; of each solve of a trial or a sweep.")
def explain(
    case: str,
    wants: tuple[library.Want, ...],
    sets: tuple[str, ...],
    drops: tuple[str, ...],
    wanted: tuple[str, ...],
    banned: tuple[str, ...],
    swept: str | None,
    by_percent: float,
    fresh: bool,
    listed: bool,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Say why CASE has no fit-out and the least to change, or what decides its best ones.

    With --set or --drop: the best build as asked and as changed, side by side. With --with or --without: the best
    build with a part or without it, or why there is none. With --sweep: cost and mass over a range of one value. Ctrl-C
    ends it with what is known so far.
    """
    trial, part = bool(sets or drops), bool(wanted or banned)
    if trial and swept:
        raise click.UsageError("--sweep goes by itself; expected it without --set and --drop")
    if part and (trial or swept):
        raise click.UsageError("--with and --without go by themselves; expected them without --set, --drop and --sweep")
    if (trial or part or swept) and len(wants) > 1:
        raise click.UsageError("a trial or a sweep has one --want; expected cheapest or lightest")
    with reporting():
        inputs, want = library.read(case, catalogues), wants[0] if wants else BOTH[0]
        if listed:
            show(library.addresses(inputs), as_json)
        found: library.Result
        with printing.progress_of(inputs, want, limits["seconds"], quiet) as line:
            if trial:
                found = library.what_if(inputs, sets, drops, want, step=line.begin, progress=line.watch, **limits)
            elif part:
                found = library.why_not(inputs, wanted, banned, want, step=line.begin, progress=line.watch, **limits)
            elif swept:
                found = library.sweep(
                    inputs, swept, want, step=line.begin, progress=line.watch,
                    found=lambda row: line.say(printing.swept_line(inputs, row)), **limits,
                )  # fmt: skip
            else:
                found = library.explain(
                    inputs, tuple(dict.fromkeys(wants)) or BOTH, by_percent=by_percent, fresh=fresh, step=line.turn,
                    progress=line.watch, found=lambda news: line.say(printing.news_line(inputs, news)), **limits,
                )  # fmt: skip
        show(found, as_json)
