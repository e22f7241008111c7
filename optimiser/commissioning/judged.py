"""A reading checked against the design, and the report of all of them."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Literal, get_args

from pydantic import Field

from optimiser.commissioning.check import Check, NotTested, band_of, design_of
from optimiser.commissioning.filling import Reading
from optimiser.fitted.fit import Fit

Verdict = Literal["in band", "out of band", "not tested"]
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)

Where = tuple[int, str]  # line of the file, and time as it was noted
NOWHERE: Where = (0, "")

_NOISE = 1e-9  # a reading right on a bound is in


@dataclass(frozen=True)
class JudgedReading:
    """One reading. ``measured`` None: none was taken; ``why``: what keeps it from being judged."""

    id: Annotated[str, Field(description="of the reading")]
    what: Annotated[str, Field(description="was measured")]
    line: Annotated[int, Field(description="of the file; 0 if it is calculated from several")]
    at: Annotated[str, Field(description="time, if it has one")]
    unit: Annotated[str, Field(description="of the figures")]
    measured: Annotated[float | None, Field(description="null if none was taken")]
    design: Annotated[float | None, Field(description="what it should be")]
    low: Annotated[float | None, Field(description="of its band")]
    high: Annotated[float | None, Field(description="likewise")]
    verdict: Annotated[Verdict, Field(description="in band, out of band or not tested")]
    why: Annotated[str, Field(description="it was not tested")] = ""

    @property
    def side(self) -> Literal["", "low", "high"]:
        """Which way it is out of its band."""
        if self.verdict != "out of band":
            return ""
        return "low" if self.low is not None and self.measured is not None and self.measured < self.low else "high"


@dataclass(frozen=True)
class Cause:
    """What a reading out of its band is likely to come from; to be looked at, not known."""

    id: Annotated[str, Field(description="of the reading")]
    text: Annotated[str, Field(description="what it is likely to come from")]
    mark: Annotated[str, Field(description="how sure that is")] = "likely, check"


@dataclass(frozen=True)
class Report:
    """A filled sheet or a log, checked against the design."""

    kind: Literal["test sheet", "log"]
    held: tuple[JudgedReading, ...]
    causes: tuple[Cause, ...]

    def count(self, verdict: Verdict) -> int:
        """How many readings are so."""
        return sum(held.verdict == verdict for held in self.held)

    @property
    def status(self) -> Literal["in band", "out of band", "nothing tested"]:
        """All that was tested together."""
        if self.count("out of band"):
            return "out of band"
        return "in band" if self.count("in band") else "nothing tested"


def judged(
    id: str, what: str, unit: str, measured: float, *, design: float | None, low: float | None, high: float | None,
    where: Where = NOWHERE,
) -> JudgedReading:  # fmt: skip
    """A reading that can be judged."""
    fine = (low is None or measured >= low - _NOISE) and (high is None or measured <= high + _NOISE)
    return JudgedReading(id, what, *where, unit, measured, design, low, high, "in band" if fine else "out of band")


def untested(
    id: str, what: str, unit: str, why: str, *, measured: float | None = None, where: Where = NOWHERE
) -> JudgedReading:
    """A reading that cannot be judged, and why."""
    return JudgedReading(id, what, *where, unit, measured, None, None, None, "not tested", why)


def reasons(held: Iterable[JudgedReading]) -> dict[str, int]:
    """Why readings were not tested, and how many for each reason."""
    found: dict[str, int] = {}
    for one in held:
        if one.verdict == "not tested":
            found[one.why] = found.get(one.why, 0) + 1
    return found


# --- A filled test sheet checked against the design ------------------------------------------------------


_STRINGS_PCT = 2.0  # between the strings of an array (common practice, no source)


def hold_sheet(fit: Fit, checks: Sequence[Check], readings: Sequence[Reading]) -> tuple[JudgedReading, ...]:
    """Every check in the sheet's order: judged, or why not."""
    found = {reading.check.id: reading for reading in readings}
    return (*(_one(check, found.get(check.id)) for check in checks), *_strings(fit, readings))


def _one(check: Check, reading: Reading | None) -> JudgedReading:
    if reading is None or reading.value is None:
        return untested(check.id, check.what, check.unit, "left blank", where=(reading.line if reading else 0, ""))
    where = (reading.line, reading.at)
    try:
        low, high = band_of(check, reading.noted)
        design = design_of(check, reading.noted)
    except NotTested as reason:
        return untested(check.id, check.what, check.unit, str(reason), measured=reading.value, where=where)
    if check.rule == "done":
        low = 1.0
    return judged(check.id, check.what, check.unit, reading.value, design=design, low=low, high=high, where=where)


def _strings(fit: Fit, readings: Iterable[Reading]) -> Iterator[JudgedReading]:
    """Strings of an array beside each other, each brought to one temperature."""
    found = {reading.check.id: reading for reading in readings}
    for array in fit.build.arrays:
        if array.parallel < 2:
            continue
        id, what = f"string.{array.name}.apart_pct", f"open strings of {array.name}, furthest apart"
        names = [f"string.{array.name}.{number}.voc_v" for number in range(1, array.parallel + 1)]
        try:
            shares = [_share(found.get(name)) for name in names]
        except NotTested as reason:
            yield untested(id, what, "%", str(reason))
            continue
        apart = 100 * (max(shares) - min(shares))
        yield judged(id, what, "%", apart, design=0.0, low=None, high=_STRINGS_PCT)


def _share(reading: Reading | None) -> float:
    """Of its design in the temperature that was noted."""
    if reading is None or reading.value is None:
        raise NotTested("not every string was measured")
    design = design_of(reading.check, reading.noted)
    assert design is not None  # every string has one
    return reading.value / design
