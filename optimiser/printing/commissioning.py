"""Sheets of commissioning: what meters should show, the test sheet, readings beside the design."""

from collections.abc import Iterable, Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import Finding, breaches
from optimiser.commissioning import (
    VERDICTS,
    Check,
    Expectation,
    Expected,
    JudgedReading,
    Report,
    Spread,
    printed_row,
    reasons,
)
from optimiser.fitted import Fit
from optimiser.printing.wording import caution_lines, table

_WORST = 10  # readings of a log shown of one channel that is out of its band


def expectation_sheet(fit: Fit, found: Expectation) -> list[RenderableType]:
    """What meters should show at an instant, with the parts of each band."""
    brief, moment = fit.case.brief, found.moment
    numbers = {part: n for n, part in enumerate(_parts(found.rows), start=1)}
    light = ", ".join(f"{zone} {watts:.0f} W/m2" for zone, watts in found.light_w_m2.items())
    sky = moment.sky.name if moment.sky else "light as metered"
    shown = [("Strings", found.strings), ("Arrays, where strings meet", _several(fit, found))]
    shown += [("Sources, into the bank", found.sources), ("Loads, at the bank", found.loads)]
    shown += [("Measured as one", found.measured)]
    return [
        f"{brief.title} ({fit.case.name}): what meters should show",
        f"At {moment.at:%Y-%m-%d %H:%M} (UTC{brief.place.utc_offset_h:+g} h), {sky}",
        f"Light in the panels' plane: {light or 'none'}; air {found.air_c:.1f} C; bank {found.bank_v:.2f} V",
        "Taken for granted:",
        *(f"  {line}" for line in found.assumed),
        *(_rows(title, rows, numbers) for title, rows in shown if rows),
        _rows("Bank", (found.total,), numbers),
        *_notes(found),
        _legend(numbers),
        "Parts of a band are independent: their squares add. What is out of its band needs its cause found.",
        "",
        *caution_lines(fit.case.rules),
    ]


def _several(fit: Fit, found: Expectation) -> tuple[Expected, ...]:
    """Arrays of more than one string; of one, the string says it all."""
    names = {array.name for array in fit.build.arrays if array.parallel > 1}
    return tuple(row for row in found.arrays if row.id.partition(".")[0] in names)


def _parts(rows: Iterable[Expected]) -> tuple[Spread, ...]:
    return tuple(dict.fromkeys(part for row in rows for part in row.spreads))


def _rows(title: str, rows: Iterable[Expected], numbers: dict[Spread, int]) -> Table:
    made = table(title, "reading", "of", ">expected", ">low", ">high", "", "band of parts")
    for row in rows:
        band = " ".join(map(str, sorted(numbers[part] for part in row.spreads)))
        made.add_row(row.id, row.what, f"{row.value:.2f}", f"{row.low:.2f}", f"{row.high:.2f}", row.unit, band)
    return made


def _notes(found: Expectation) -> Iterator[str]:
    noted = [row for row in found.rows if row.note]
    if noted:
        yield "Notes:"
        yield from (f"  {row.id}: {row.note}" for row in noted)


def _legend(numbers: dict[Spread, int]) -> Table:
    made = table("Parts of the bands", ">", "part", ">below", ">above", "source")
    for part, number in numbers.items():
        made.add_row(str(number), part.cause, f"{100 * part.below:.1f} %", f"{100 * part.above:.1f} %", part.source)
    return made


# --- test sheet --------------------------------------------------------------------------------------


def blank_sheet(fit: Fit, checks: Iterable[Check]) -> list[RenderableType]:
    """The test sheet, with room to write, and design values at other temperatures and lights."""
    known = tuple(checks)
    groups = dict.fromkeys(check.group for check in known)
    origins = {text: n for n, text in enumerate(dict.fromkeys(map(_origin, known)), start=1)}
    tabled = [check for check in known if check.table]
    return [
        f"{fit.case.brief.title} ({fit.case.name}): test sheet",
        *(_group(group, [check for check in known if check.group == group], origins) for group in groups),
        *([_conditions(tabled)] if tabled else []),
        "Design, low and high are for cells of 25 C, 1000 W/m2 and the design current.",
        "Where they come from:",
        *(f"  {n}: {text}" for text, n in origins.items()),
        "",
        *caution_lines(fit.case.rules),
    ]


def _origin(check: Check) -> str:
    return printed_row(check)["source"]


def _group(group: str, checks: Iterable[Check], origins: dict[str, int]) -> Table:
    made = table(group, "check", "what and how", ">design", ">low", ">high", "", ">from", "measured")
    for check in checks:
        row = printed_row(check)
        figures = (row["design"], row["low"], row["high"], check.unit, str(origins[_origin(check)]))
        made.add_row(check.id, f"{check.what}: {check.how}", *figures, "______")
    return made


def _conditions(checks: Iterable[Check]) -> Table:
    made = table("Design values on other days", "check", "of", "condition: value")
    for check in checks:
        made.add_row(check.id, check.table_of, ", ".join(f"{at:g}: {value:.2f}" for at, value in check.table))
    return made


# --- readings ----------------------------------------------------------------------------------------


def report_sheet(fit: Fit, report: Report) -> list[RenderableType]:
    """Readings beside the design, then where to look first for what is out of band."""
    shown = report.held if report.kind == "test sheet" else _worst(report.held)
    tested = [held for held in shown if held.verdict != "not tested"]
    counts = ", ".join(f"{report.count(v)} {v}" for v in VERDICTS)
    return [
        f"{fit.case.brief.title} ({fit.case.name}): readings against the design, {report.kind}",
        f"{len(report.held)} readings: {counts}",
        _channels(report.held) if report.kind == "log" else "",
        *([_held(tested)] if tested else []),
        *_untested(report.held),
        *_causes(report),
        "",
        *caution_lines(fit.case.rules),
    ]


def _worst(held: Iterable[JudgedReading]) -> list[JudgedReading]:
    """The first few out of band of each channel of a log."""
    shown: dict[str, list[JudgedReading]] = {}
    for one in held:
        if one.verdict == "out of band" and len(shown.setdefault(one.id, [])) < _WORST:
            shown[one.id].append(one)
    return [one for ours in shown.values() for one in ours]


def _channels(held: Iterable[JudgedReading]) -> Table:
    made = table("Channels", "channel", *(f">{verdict}" for verdict in VERDICTS))
    counted: dict[str, list[str]] = {}
    for one in held:
        counted.setdefault(one.id, []).append(one.verdict)
    for name, verdicts in counted.items():
        made.add_row(name, *(str(verdicts.count(v)) for v in VERDICTS))
    return made


def _held(held: Iterable[JudgedReading]) -> Table:
    made = table("Readings", "reading", "at", ">measured", ">design", ">low", ">high", "", "")
    for one in held:
        verdict = "OUT OF BAND" if one.verdict == "out of band" else one.verdict
        made.add_row(one.id, one.at, *_figures(one), "" if one.unit == "yes" else one.unit, verdict)
    return made


def _figures(held: JudgedReading) -> tuple[str, str, str, str]:
    if held.unit == "yes":
        return "yes" if held.measured else "no", "yes", "", ""
    shown = (held.measured, held.design, held.low, held.high)
    first, second, third, fourth = ("" if value is None else f"{value:.5g}" for value in shown)
    return first, second, third, fourth


def _untested(held: Iterable[JudgedReading]) -> Iterator[str]:
    found = reasons(held)
    if found:
        yield "Not tested:"
        yield from (f"  {count}: {why}" for why, count in found.items())


def _causes(report: Report) -> Iterator[str]:
    if report.causes:
        yield "Where to look first; a value out of band needs its cause found before handover:"
        yield from (f"  {cause.id}: {cause.mark}: {cause.text}" for cause in report.causes)


def refused_lines(findings: Iterable[Finding]) -> list[str]:
    """Why nothing is calculated from a build that breaches something."""
    return [
        "The build does not pass the audit: nothing is calculated from it.",
        *(f"  breach: {finding.requirement}: {finding.sentence}" for finding in breaches(findings)),
    ]
