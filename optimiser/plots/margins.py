"""How much room each requirement has, as a share of its limit, the tightest on top."""

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from optimiser.auditing import Finding, breaches
from optimiser.auditing.finding import TOLERANCE
from optimiser.auditing.room import no_share, share_pct, tightest
from optimiser.plots import style
from optimiser.plots.style import COLOURS, LINE_MM, QUIET, Charted
from optimiser.requirements import REGISTER

BARS = 20  # at most; the rest stand in the table
_SOME = 3  # told besides those at their limit

_NAME_MM, _BAR_LEFT_MM, _BAR_MM, _SAID_LEFT_MM = 58.0, 60.0, 58.0, 121.0
_SAID_MM = style.WIDTH_MM - _SAID_LEFT_MM - 1
_GAP_MM = 1.6  # between rows
_FULLS_PCT = (10.0, 25.0, 50.0, 100.0)  # what the longest bar may be; beyond the last room is plenty
_FOOT_MM = 11.0
_HEADERS = ("requirement", "unit", "limit", "actual", "margin", "margin, % of limit")
_Row = tuple[Finding, list[str], list[str]]


def margins(findings: tuple[Finding, ...]) -> Charted:
    """A bar a requirement, and the figures beside it."""
    found = tightest(findings)
    title = "Room left of each limit, the tightest first"
    rows = [_row_of(finding) for finding in found[:BARS]]
    notes = style.wrapped(_note(findings, found), style.SAFE_MM)
    lines = style.titled(title)
    top = style.head_mm(lines) + LINE_MM
    heights = [max(len(name), len(said)) * LINE_MM + _GAP_MM for _, name, said in rows]
    tall = max(sum(heights), LINE_MM)
    figure = style.page(top + tall + _FOOT_MM + len(notes) * LINE_MM + 1)
    style.head(figure, lines)
    axes = style.axes(figure, _BAR_LEFT_MM, top, _BAR_MM, tall)
    axes.set_ylim(tall, 0)  # mm down from the top
    full_pct = _full_pct([finding for finding, _, _ in rows])
    down = 0.0
    for row, height in zip(rows, heights, strict=True):
        _bar(axes, row[0], down + height / 2, full_pct)
        _texts(figure, row, top + down + height / 2)
        down += height
    _scale(axes, [finding for finding, _, _ in rows], full_pct)
    for number, line in enumerate(notes):
        style.write(figure, 0.5, top + tall + _FOOT_MM + number * LINE_MM, line, color=QUIET)
    return Charted("margins", title, figure, _told(findings, found), _HEADERS, tuple(_cells(f) for f in found))


def _row_of(finding: Finding) -> _Row:
    limit, actual = finding.numbers
    sense = REGISTER[finding.name].sense
    unit = f" {finding.unit}" if finding.unit != "money" else ""
    said = f"{_share(finding)}: {actual}, {sense} {limit}{unit}"
    name = [finding.requirement]
    if style.text_mm(finding.requirement) > _NAME_MM and finding.place:
        name = [finding.name, *style.wrapped(f"[{finding.place}]", _NAME_MM)]
    return finding, name, style.wrapped(said, _SAID_MM)


def _share(finding: Finding) -> str:
    """Shown so that a breach does not look like none."""
    share = share_pct(finding)
    return f"{share:.1f} %" if finding.ok or round(share, 1) < 0 else "below 0 %"


def _at_limit(finding: Finding) -> bool:
    """Whether it holds with nothing left."""
    return finding.ok and finding.margin <= TOLERANCE * abs(finding.limit)


def _full_pct(shown: list[Finding]) -> float:
    """The length of the scale [% of a limit]."""
    longest = max((abs(share_pct(finding)) for finding in shown), default=0.0)
    return next((full for full in _FULLS_PCT if longest <= full), _FULLS_PCT[-1])


def _bar(axes: Axes, finding: Finding, at: float, full_pct: float) -> None:
    share = share_pct(finding)
    key = "alternator" if finding.ok else "limit"
    shown = min(max(share, -full_pct), full_pct)
    axes.barh(at, shown, height=2.6, **style.area(key, hatched=not finding.ok))
    if _at_limit(finding):
        axes.plot(0, at, "D", markersize=4.5, color=COLOURS["limit"], clip_on=False)
    if abs(share) > full_pct:
        tip = ">" if share > 0 else "<"
        axes.plot(shown, at, tip, markersize=5, color=COLOURS[key], clip_on=False)


def _texts(figure: Figure, row: _Row, at_mm: float) -> None:
    _, name, said = row
    for texts, left, look in ((name, _NAME_MM, {"ha": "right"}), (said, _SAID_LEFT_MM, {"ha": "left"})):
        for number, line in enumerate(texts):
            middle = at_mm + (number - (len(texts) - 1) / 2) * LINE_MM
            style.write(figure, left, middle, line, va="center", **look)


def _scale(axes: Axes, shown: list[Finding], full_pct: float) -> None:
    """The axis, to both sides of 0 if anything is broken."""
    broken = any(not finding.ok for finding in shown)
    axes.set_xlim(-full_pct if broken else 0, full_pct)
    ticks = [full_pct * part for part in ((-1, -0.5, 0, 0.5, 1) if broken else (0, 0.2, 0.4, 0.6, 0.8, 1))]
    axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.set_xlabel("room left, % of the limit", labelpad=2)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x")
    axes.axvline(0, color=COLOURS["limit"], linewidth=1.8)


# --- what is told --------------------------------------------------------------------------------------


def _cells(finding: Finding) -> tuple[str, ...]:
    margin = f"{finding.margin:.3f}".rstrip("0").rstrip(".")
    return (finding.requirement, finding.unit, *finding.numbers, margin, _share(finding).removesuffix(" %"))


def _note(findings: tuple[Finding, ...], found: tuple[Finding, ...]) -> str:
    shown = f"The {BARS} tightest of {len(found)} requirements" if len(found) > BARS else f"{len(found)} requirements"
    return (
        f"{shown}, each at its tightest place. A diamond stands where nothing is left, a tip where a bar goes on. "
        f"{_left_out(findings)}"
    )


def _left_out(findings: tuple[Finding, ...]) -> str:
    reasons = [why for why in map(no_share, findings) if why]
    counted = [f"{reasons.count(why)} {why}" for why in dict.fromkeys(reasons)]
    return f"Left out of {len(findings)} findings: {', '.join(counted)}." if counted else "No finding is left out."


def _told(findings: tuple[Finding, ...], found: tuple[Finding, ...]) -> str:
    broken = [finding.requirement for finding in breaches(findings)]
    full = [finding.requirement for finding in found if _at_limit(finding)]
    some = [f"{f.requirement} with {_share(f)} of its limit" for f in found if f.ok and not _at_limit(f)][:_SOME]
    said = [f"{len(findings)} findings, {len(broken) or 'no'} breach{'es' * (len(broken) != 1)}."]
    for words, names in (("Not met", broken), ("At the limit, with nothing left", full), ("The next tightest", some)):
        if names:
            said.append(f"{words}: {', '.join(names)}.")
    return " ".join([*said, _note(findings, found)])
