"""What the solver is asked: the best build, all worth showing, why there is none, and what if."""

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import TypedDict

from optimiser import pipeline
from optimiser.library.cases import Path_
from optimiser.library.results import Built, Compared, Curve, Explained, Many, PartTried, Tried, of_case
from optimiser.measures import Measure
from optimiser.pipeline import Choice, Ended, Extent, Inputs, News, Percents, Row, Swept, Tally, never
from optimiser.solve import Progress, Stop, Want

SECONDS = 300.0


class Limits(TypedDict):
    """Of a search: time limit [s], seed and workers. The same ones give the same cost and mass."""

    seconds: float
    seed: int
    workers: int


def nothing(*_: object) -> None:
    """Hears what is told, and says nothing."""


def build(
    case: Inputs,
    want: Want = "cheapest",
    *,
    out: Path_ | None = None,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Built:
    """Find the best build and prove it.

    Parameters
    ----------
    want : ``"cheapest"`` or ``"lightest"``; the other breaks ties.
    out : Where to write the build, if one was found; looked at before anything is solved.
    seconds : Time limit [s]. At it an undecided case is "don't know", never impossible.
    seed, workers : Of the solver; the same ones give the same cost and mass.
    progress : Called, from another thread, whenever the best or the bound move (cents or g).
    stop : Asked a few times a second; once it says yes the search ends with the best so far.

    Raises
    ------
    Unusable
        If the build cannot be written there.
    """
    target = None if out is None else Path(out)
    if target:
        pipeline.check_target(target)
    limits = Stop(seconds, seed, workers)
    answer = pipeline.design(case, want, limits, progress, ended=stop)
    written = target if target and pipeline.save(target, answer) else None
    return of_case(Built, case, answer, written=written, glance=pipeline.glance(case, answer, limits, ended=stop))


def compare(
    case: Inputs,
    measures: tuple[Measure, Measure] = ("cost", "mass"),
    *,
    points: int | None = None,
    apart: Percents | None = None,
    whole: bool = False,
    fresh: bool = False,
    out: Path_ | None = None,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    found: Callable[[Choice], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Compared:
    """Find the builds worth choosing between: of those that none beats in both measures, ones that differ visibly.

    Whatever else can be built, one of them is no worse in one measure, and in the other worse by at most ``apart``.

    Parameters
    ----------
    measures : Two of ``optimiser.measures.MEASURES``.
    points : So many instead, evenly apart in the second measure.
    apart : What is too little to choose by [% of each measure]; left out, 0.2 of the cost and 1 of any other.
    whole : All that none beats instead, however near each other.
    fresh : Leave aside builds that an earlier run kept.
    out : A new or an empty folder to write the build of each point in.
    seconds : Time limit of each question to the solver [s].
    found : Called with each build as it is found.
    progress, stop : As of `build`.

    Raises
    ------
    Unusable
        If the builds cannot be written there.
    ValueError
        If more than one of points, apart and whole is asked for.
    """
    extent = Extent.of(measures, points, apart, whole)
    if out is not None:
        pipeline.check_folder(Path(out))
    limits = Stop(seconds, seed, workers)
    walked = pipeline.compare(case, measures, extent, limits, progress, found, fresh=fresh, ended=stop)
    return of_case(Compared, case, walked, written=() if out is None else pipeline.save_choices(Path(out), walked))


def explain(
    case: Inputs,
    want: Sequence[Want] = ("cheapest", "lightest"),
    *,
    by_percent: float = 1.0,
    fresh: bool = False,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    found: Callable[[News], None] = nothing,
    step: Callable[[str], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Explained:
    """Say why there is no build, or what decides the best ones.

    Parameters
    ----------
    want : Which best builds.
    by_percent : How much better a build must be to count [% of the best].
    fresh : Leave aside proofs that an earlier run kept.
    seconds : Time limit of all of it [s].
    found : Called, of a possible case, with what is known of each limit, as soon as it is.
    step : Called with a few words on what is asked next.
    progress, stop : As of `build`.
    """
    limits = Stop(seconds, seed, workers)
    explained = pipeline.explain(
        case, tuple(want), by_percent, limits, progress, step, heard=found, fresh=fresh, ended=stop
    )
    return of_case(Explained, case, explained)


def what_if(
    case: Inputs,
    sets: Sequence[str] = (),
    drops: Sequence[str] = (),
    want: Want = "cheapest",
    *,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    step: Callable[[str], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Tried:
    """The best build of the case beside that of the case as changed; nothing is changed for good.

    Parameters
    ----------
    sets : Values moved, one after the other: ``payload_kg=-10``, ``autonomy_days=2``.
    drops : Requirements that need not hold, at a place (``bay.heat[locker]``) or at all.
    seconds : Time limit of each of the two [s].
    step : Called with what is solved next.
    progress, stop : As of `build`.

    Raises
    ------
    Unusable
        With every change that cannot be made.
    """
    tried = pipeline.try_out(
        case, sets=sets, drops=drops, want=want, stop=Stop(seconds, seed, workers), watch=progress, begin=step,
        ended=stop,
    )  # fmt: skip
    return of_case(Tried, case, tried)


def why_not(
    case: Inputs,
    wanted: Sequence[str] = (),
    banned: Sequence[str] = (),
    want: Want = "cheapest",
    *,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    step: Callable[[str], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> PartTried:
    """The best build of the case beside the best with parts, or without them; where there is none, what keeps them out.

    Parameters
    ----------
    wanted, banned : Parts by name, or kinds of part: ``mains_chargers``, ``panels.kind=flexible``.
    seconds : Time limit of each solve, and of finding what keeps them out [s].
    step : Called with what is done next.
    progress, stop : As of `build`.

    Raises
    ------
    Unusable
        With every name that means no part.
    """
    found = pipeline.why_not(
        case, wanted=wanted, banned=banned, want=want, stop=Stop(seconds, seed, workers), watch=progress, begin=step,
        ended=stop,
    )  # fmt: skip
    return of_case(PartTried, case, found)


def sweep(
    case: Inputs,
    values: str,
    want: Want = "cheapest",
    *,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    found: Callable[[Swept], None] = nothing,
    step: Callable[[str], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Curve:
    """The best build at each value of a range.

    Parameters
    ----------
    values : Address and values: ``autonomy_days=1:3:0.25``.
    seconds : Time limit of each value [s].
    found : Called with each value when it is solved.
    step : Called with what is solved next.
    progress, stop : As of `build`.

    Raises
    ------
    Unusable
        If one of the values cannot be there; nothing is solved then.
    """
    limits = Stop(seconds, seed, workers)
    swept = pipeline.sweep(case, values, want=want, stop=limits, watch=progress, begin=step, tell=found, ended=stop)
    return of_case(Curve, case, swept)


def sweep_many(
    cases: Sequence[Path_],
    sets: Sequence[str] = (),
    want: Want = "cheapest",
    *,
    out: Path_,
    catalogue: Sequence[Path_] = (),
    parquet: bool = False,
    processes: int = 0,
    scheduler: str = "",
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 1,
    begun: Callable[[Tally, Mapping[str, int]], None] = nothing,
    found: Callable[[Tally, Row], None] = nothing,
    stop: Ended = never,
) -> Many:
    """The best build of each case with every setting, in processes or on a cluster, a row each.

    A program that calls it does so under ``if __name__ == "__main__"``, since its processes load it anew.

    Parameters
    ----------
    cases : Folders, or names of shipped cases.
    sets : Values of an address: ``payload_kg=+0,-10``, ``autonomy_days=1:3:0.5``; of several every combination.
    out : A new or an empty folder, or that of an earlier call, which goes on where that ended.
    catalogue : As of `read`.
    parquet : Write the table as Parquet instead of CSV.
    processes : On this machine; as many as the cores have room for if 0.
    scheduler : Of a dask cluster whose workers do it instead: ``tcp://host:8786``.
    seconds : Time limit of each row [s].
    workers : Of the solver, in each process.
    begun : Called with what is there before anything is solved, and with why rows are solved anew.
    found : Called with each row as it is done.
    stop : As of `build`; rows that are done are kept.

    Raises
    ------
    Unusable
        If no case, setting, folder or cluster can be used; nothing is solved then.
    """
    swept = pipeline.sweep_many(
        [os.fspath(case) for case in cases], sets, [os.fspath(one) for one in catalogue], Path(out), want=want,
        form="parquet" if parquet else "csv", stop=Stop(seconds, seed, workers),
        where=pipeline.Where(processes, scheduler), begin=begun, tell=found, ended=stop,
    )  # fmt: skip
    return Many(**{one.name: getattr(swept, one.name) for one in fields(swept)})
