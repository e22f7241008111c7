"""What is made of a build, whoever made it. Each is audited first."""

from collections.abc import Callable
from pathlib import Path

from optimiser import packing, pipeline
from optimiser.builds import Build
from optimiser.commissioning import expected, test_sheet
from optimiser.library.cases import Path_
from optimiser.library.results import Audited, Commissioned, Foreseen, Lived, Packed
from optimiser.library.searches import SECONDS, nothing
from optimiser.pipeline import Choice, Ended, Extent, Inputs, Percents, Unusable, never
from optimiser.pipeline import commissioning as readings_of
from optimiser.pipeline import year as years_of
from optimiser.solve import Progress, Stop
from optimiser.yearly import Habits


class Breached(Unusable):
    """A build that breaches something, where only a valid one will do; a line each."""


def audit(case: Inputs, build: Build | Path_) -> Audited:
    """Check every requirement against a build or a build file, whoever made it, without the solver.

    Raises
    ------
    Unusable
        If it cannot be read, or names parts or places that do not exist.
    """
    path = Path("build") if isinstance(build, Build) else Path(build)
    given = build if isinstance(build, Build) else pipeline.read_build(path)
    findings = pipeline.audit_file(case, path, given)
    return Audited(inputs=case, build=given, findings=findings, name=str(path), doubts=pipeline.doubts(case, given))


def pack(
    case: Inputs,
    build: Build | Path_,
    folder: Path_,
    *,
    options: bool = False,
    points: int | None = None,
    apart: Percents | None = None,
    whole: bool = False,
    explained: bool = False,
    readings: Path_ | None = None,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    found: Callable[[Choice], None] = nothing,
    begun: Callable[[str], None] = nothing,
    step: Callable[[str], None] = nothing,
    progress: Callable[[Progress], None] = nothing,
    stop: Ended = never,
) -> Packed:
    """Write the job pack of a build into a new or an empty folder, all of it or nothing.

    Parameters
    ----------
    options : Look for other builds to put beside it; ``points``, ``apart`` and ``whole`` as of `compare`.
    explained : Find out what decides each of them.
    readings : A filled test sheet or a log to report on, as `commission` does.
    found : Called with each option as it is found.
    begun, step : Called with which option is asked about, and with what is done next.
    progress, stop : As of `build`; what is found by then is in the pack.

    Raises
    ------
    Unusable
        If the folder cannot be written, or the readings cannot be judged.
    Breached
        If the build does not hold every requirement.
    ValueError
        As of `compare`.
    """
    extent = Extent.of(("cost", "mass"), points, apart, whole)
    audited = audit(case, build)
    pipeline.check_folder(Path(folder))
    if audited.breaches:
        broken = (f"{audited.name}: breach: {f.requirement}: {f.sentence}" for f in audited.breaches)
        raise Breached(*audited.doubts, *broken, "no pack is made of a build with a breach")
    report = readings_of.hold(audited.fit, audited.findings, Path(readings)) if readings else None
    wanted, limits = packing.Wanted(extent if options else None, explained), Stop(seconds, seed, workers)
    made, front = packing.make(case, audited.build, wanted, limits, progress, found, begun, step, report, ended=stop)
    step("drawing and writing")
    files = packing.pack_files(made, front)
    packing.write_pack(Path(folder), files)
    return Packed(audited=audited, folder=Path(folder), files=tuple(sorted(files)), made=made, front=front)


def expect(
    case: Inputs,
    build: Build | Path_,
    at: str,
    *,
    sky: str | None = None,
    irradiance: float | None = None,
    air: float | None = None,
    volt: float | None = None,
    soc: float | None = None,
    running: str | None = None,
    driving: bool = False,
    hook_up: bool = False,
    portable: bool = False,
) -> Foreseen:
    """Say what meters should show in a vehicle fitted out like that.

    Parameters
    ----------
    at : Time on the clock of the case, as ``2027-01-14T09:30``.
    sky, irradiance : One of the two: ``clear``, ``overcast`` or a share of a clear sky's light; metered light [W/m2].
    air : Outside [C]; left out, that of the nearest scenario.
    volt, soc : Of the bank [V], [%].
    running : Loads that are on, with commas between, or ``none``.
    driving, hook_up, portable : Whether the engine runs, mains is there, the portable panel is out.

    Raises
    ------
    Misfit
        With each argument that does not fit case or build.
    """
    audited = audit(case, build)
    moment = readings_of.moment_of(
        audited.fit, at=at, sky=sky, irradiance=irradiance, air_c=air, bank_v=volt, soc_pct=soc, running=running,
        driving=driving, hook_up=hook_up, portable=portable,
    )  # fmt: skip
    return Foreseen(audited=audited, found=None if audited.breaches else expected(audited.fit, moment))


def year(
    case: Inputs,
    build: Build | Path_,
    *,
    weather: Path_ | None = None,
    years: int | None = None,
    seed: int = 1,
    driving: int = 0,
    hook_up: int = 0,
    capacity: float | None = None,
    hours: Path_ | None = None,
    picture: Path_ | None = None,
) -> Lived:
    """Run a vehicle fitted out like that through years of weather, hour by hour.

    Parameters
    ----------
    weather : EPW or TMY3 file, or an hourly one of PVGIS; left out, weather is made of the case's monthly means:
        so many ``years`` of it (10), by that ``seed``.
    driving, hook_up : Hours a day, from ten and from eighteen o'clock.
    capacity : Of the bank's nominal [%]; left out, as the brief has it.
    hours, picture : Where to write every hour as CSV, and charge by month and hour as SVG.

    Raises
    ------
    Misfit
        With each argument that fits neither case nor build.
    Unusable
        If the weather file cannot be used, or a file not be written.
    """
    audited = audit(case, build)
    if audited.breaches:
        return Lived(audited=audited, found=None)
    habits = Habits(driving, hook_up, capacity)
    path = None if weather is None else Path(weather)
    ran, found = years_of.lived(audited.fit, weather=path, years=years, seed=seed, habits=habits)
    written = []
    if hours is not None:
        years_of.write_hours(Path(hours), ran)
        written.append(Path(hours))
    if picture is not None:
        years_of.write_picture(Path(picture), audited.fit, found)
        written.append(Path(picture))
    return Lived(audited=audited, found=found, written=tuple(written))


def commission(
    case: Inputs, build: Build | Path_, readings: Path_ | None = None, *, blank: Path_ | None = None
) -> Commissioned:
    """Check a filled test sheet or a monitor's log against the design, or write the sheet to fill in.

    Raises
    ------
    CaseProblems
        With every fault of the file.
    Unusable
        If not one of the two is given, nothing in it can be judged, or the sheet cannot be written.
    """
    if (readings is None) == (blank is None):
        raise Unusable("READINGS.csv, --blank: expected one of the two")
    audited = audit(case, build)
    if audited.breaches:
        return Commissioned(audited=audited)
    if readings is not None:
        return Commissioned(audited=audited, report=readings_of.hold(audited.fit, audited.findings, Path(readings)))
    checks = test_sheet(audited.fit, audited.findings)
    readings_of.save_blank(Path(blank or ""), audited.fit, checks)
    return Commissioned(audited=audited, checks=checks)
