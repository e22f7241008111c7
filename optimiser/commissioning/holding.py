"""A filled test sheet held against the design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from optimiser.commissioning.check import Check, NotTested, band_of, design_of
from optimiser.commissioning.filling import Reading
from optimiser.commissioning.held import Held, judged, untested
from optimiser.fitted.fit import Fit

_STRINGS_PCT = 2.0  # between the strings of an array (common practice, no source)


def hold_sheet(fit: Fit, checks: Sequence[Check], readings: Sequence[Reading]) -> tuple[Held, ...]:
    """Every check in the sheet's order: judged, or why not."""
    found = {reading.check.id: reading for reading in readings}
    return (*(_one(check, found.get(check.id)) for check in checks), *_strings(fit, readings))


def _one(check: Check, reading: Reading | None) -> Held:
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


def _strings(fit: Fit, readings: Iterable[Reading]) -> Iterator[Held]:
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
