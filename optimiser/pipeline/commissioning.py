"""Commissioning: read what was asked, hold readings against the design, write the sheet. Nothing is solved."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from optimiser.auditing import Finding
from optimiser.commissioning import (
    CLEAR,
    EXPECTED_TIME,
    OVERCAST,
    Check,
    Moment,
    Report,
    Sky,
    clock_time,
    commissioned,
    reasons,
    sky_of,
    to_csv,
)
from optimiser.files import write_text
from optimiser.fitted import Fit
from optimiser.pipeline.inputs import Unusable
from optimiser.pipeline.saving import check_target
from optimiser.reading.wording import among

NONE_RUNNING = "none"
_VOLTS = (10.0, 15.0)  # of a 12 V bank, from empty to more than full


_Wrong = tuple[tuple[str, ...], str]  # arguments, and what is wrong of them


class Misfit(Unusable):
    """Arguments that do not fit the case or the build: the names of each, and what is wrong."""

    def __init__(self, *wrong: _Wrong) -> None:
        self.wrong = wrong
        super().__init__(*(f"{', '.join(names)}: {what}" for names, what in wrong))


def moment_of(
    fit: Fit,
    *,
    at: str,
    sky: str | None,
    irradiance: float | None,
    air_c: float | None,
    bank_v: float | None,
    soc_pct: float | None,
    running: str | None,
    driving: bool,
    hook_up: bool,
    portable: bool,
) -> Moment:
    """What was asked for, checked against the case and the build.

    Raises
    ------
    Misfit
        With each argument that does not fit.
    """
    wrong: list[_Wrong] = [
        ((name,), what) for name, what in _unfit(fit, driving=driving, hook_up=hook_up, portable=portable)
    ]
    if (sky is None) == (irradiance is None):
        wrong.append((("sky", "irradiance"), "expected one of the two"))
    given = None
    if sky is not None:
        given = _sky(sky)
        if given is None:
            wrong.append((("sky",), f"{sky!r}; expected clear, overcast or a number from 0 to 1"))
    low, high = (volt * fit.system_v / 12 for volt in _VOLTS)
    if bank_v is not None and not low <= bank_v <= high:
        wrong.append((("volt",), f"{bank_v:g} V at a bank of {fit.system_v} V; expected {low:g} to {high:g} V"))
    names, unknown = _names(fit, running)
    wrong += ((("running",), what) for what in unknown)
    try:
        when = clock_time(at, fit.case.brief.place.utc_offset_h)
    except ValueError:
        raise Misfit((("at",), f"{at!r} is not a time; expected {EXPECTED_TIME}"), *wrong) from None
    if wrong:
        raise Misfit(*wrong)
    return Moment(
        at=when, sky=given, irradiance_w_m2=irradiance, air_c=air_c, bank_v=bank_v, soc_pct=soc_pct, running=names,
        driving=driving, hook_up=hook_up, portable=portable,
    )  # fmt: skip


def hold(fit: Fit, findings: Iterable[Finding], path: Path) -> Report:
    """A file of readings checked against the design.

    Raises
    ------
    CaseProblems
        With every fault of the file.
    Unusable
        If nothing in it can be judged, and why.
    """
    report = commissioned(fit, findings, path)
    if report.status == "nothing tested":
        why = (f"{path}: {count} readings: {reason}" for reason, count in reasons(report.held).items())
        raise Unusable(f"{path}: nothing in it can be judged; expected at least one reading that can", *why)
    return report


def save_blank(path: Path, fit: Fit, checks: Iterable[Check]) -> None:
    """Write the test sheet to fill in, all of it or nothing.

    Raises
    ------
    Unusable
        If it cannot be written, or something is there: it may be a filled one.
    """
    check_target(path)
    if path.exists():
        raise Unusable(f"{path}: there already; expected the name of a new file")
    try:
        write_text(path, to_csv(checks, f"{fit.case.brief.title} ({fit.case.name})"))
    except OSError as error:
        raise Unusable(f"{path}: cannot be written ({error.strerror})") from None


def _sky(text: str) -> Sky | None:
    known = {CLEAR.name: CLEAR, OVERCAST.name: OVERCAST}
    if text in known:
        return known[text]
    try:
        share = float(text)
    except ValueError:
        return None
    return sky_of(share) if 0 <= share <= 1 else None


def _names(fit: Fit, running: str | None) -> tuple[tuple[str, ...] | None, list[str]]:
    """Loads that are on, None where nothing was said; and what is wrong of them."""
    if running is None:
        return None, []
    known = [load.name for load in fit.case.loads]
    names = [name.strip() for name in running.split(",") if name.strip()]
    if names == [NONE_RUNNING] and NONE_RUNNING not in known:
        return (), []
    if not names:
        return (), [f"{running!r} names no load; expected loads, or {NONE_RUNNING}"]
    return tuple(names), [f"no load {name!r}; expected {among(name, known)}" for name in names if name not in known]


def _unfit(fit: Fit, *, driving: bool, hook_up: bool, portable: bool) -> Iterator[tuple[str, str]]:
    brief = fit.case.brief
    if driving and not fit.alternator_charger:
        yield "driving", "the build has no alternator charger; expected it left out"
    if hook_up and not brief.inlet:
        yield "hook_up", "the case has no inlet; expected it left out"
    if portable and not brief.portable:
        yield "portable", "the case has no portable panel; expected it left out"
