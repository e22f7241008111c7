"""Plots: their figures are the audit's, they read without colour, nothing covers anything, ids are their own."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from math import inf
from typing import Any

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from optimiser.auditing import Finding, audit
from optimiser.auditing.finding import held
from optimiser.auditing.room import tightest
from optimiser.case import Scenario
from optimiser.fitted import Fit, fit_of, measured, trace
from optimiser.fitted.figures import added
from optimiser.plots import Plot, charts, plots
from optimiser.plots.margins import BARS, margins
from optimiser.plots.masses import WIRING, places
from optimiser.plots.months import balance
from optimiser.plots.months import months as drawn_months
from optimiser.plots.style import COLOURS, INK, QUIET, WIDTH_MM, Charted, look, text_mm, wrapped
from optimiser.requirements import REGISTER
from tests import handmade, packing_help

LEAST_TEXT_MM = 2.5
LONG = "a_name_that_somebody_who_likes_words_gave_it_on_a_long_evening"


@dataclass(frozen=True)
class Audited:
    """A build and what the audit finds of it."""

    fit: Fit
    findings: tuple[Finding, ...]


def audited(fit: Fit) -> Audited:
    return Audited(fit, audit(fit.case, fit.catalogue, fit.build))


def by_hand(**case: object) -> Audited:
    world = handmade.world()
    return audited(fit_of(replace(world.case, **case), world.catalogue, world.build))  # type: ignore[arg-type]


def broken() -> Audited:
    """By hand, with hardly any sun, a start near empty, little payload, and a hitch that may not carry it."""
    case = handmade.case()
    vehicle = case.brief.vehicle.model_copy(update={"payload_kg": 12, "hitch_max_kg": 59.2, "balance_max_kg": 0.5})
    limits = case.brief.limits.model_copy(update={"budget": 100, "autonomy_days": 9})
    grey = {"clearness": 0.05, "start_pct": 20, "hook_up_from_h": None, "drive_from_h": None, "start_h": 22}
    scenarios = tuple(s.model_copy(update=grey | {"hours": 120}) for s in case.scenarios)
    brief = case.brief.model_copy(update={"vehicle": vehicle, "limits": limits})
    return by_hand(brief=brief, scenarios=scenarios)


def long_names() -> Audited:
    """By hand, with names of all that a case names that fill a line."""
    case = handmade.case()
    scenarios = tuple(s.model_copy(update={"name": f"{s.name}_{LONG}_and_{LONG}", "hours": 7}) for s in case.scenarios)
    zones = tuple(z.model_copy(update={"name": LONG}) for z in case.zones)
    obstacles = tuple(o.model_copy(update={"zone": LONG, "name": f"{o.name}_{LONG}"}) for o in case.obstacles)
    world = handmade.world()
    build = replace(world.build, panels=tuple(replace(p, zone=LONG) for p in world.build.panels))
    named = replace(case, scenarios=scenarios, zones=zones, obstacles=obstacles)
    return audited(fit_of(named, world.catalogue, build))


SHIPPED = [f"{name} {want}" for name in packing_help.SOLVED for want in packing_help.WANTS]
OTHERS = {"by hand": by_hand, "broken": broken, "long names": long_names}


@cache
def subject(name: str) -> Audited:
    if name in OTHERS:
        return OTHERS[name]()
    case, want = name.split()
    return Audited(packing_help.shipped(case, want), packing_help.findings(case, want))


@cache
def made(name: str) -> tuple[Plot, ...]:
    return plots(subject(name).fit, subject(name).findings)


@cache
def drawn(name: str) -> tuple[Charted, ...]:
    with look():
        return charts(subject(name).fit, subject(name).findings)


every = pytest.mark.parametrize("name", [*SHIPPED, *OTHERS])


def one(name: str, key: str) -> Plot:
    return next(plot for plot in made(name) if plot.key == key)


def texts(plot: Plot) -> list[str]:
    return [element.text or "" for element in ET.fromstring(plot.svg).iter() if element.tag.endswith("}text")]


def of(name: str, requirement: str) -> Finding:
    return next(f for f in subject(name).findings if f.requirement == requirement)


# --- all of them ---------------------------------------------------------------------------------------


@every
def test_which_plots_there_are(name: str) -> None:
    hours = [f"hours-{scenario.name}" for scenario in subject(name).fit.case.scenarios]

    assert [plot.key for plot in made(name)] == [*hours, "months", "margins", "masses"]
    for plot in made(name):
        assert plot.told and plot.rows and {len(row) for row in plot.rows} == {len(plot.headers)}


@every
def test_ids_are_their_own_and_lead_somewhere(name: str) -> None:
    ids = [value for plot in made(name) for value in re.findall(r'\bid="([^"]*)"', plot.svg)]

    assert len(ids) == len(set(ids))
    for plot in made(name):
        root = ET.fromstring(plot.svg)
        own = {element.get("id") for element in root.iter()} - {None}
        pointed = re.findall(r'url\(#([^)]*)\)|href="#([^"]*)"', plot.svg)
        assert pointed and {a or b for a, b in pointed} <= own
        assert all(str(value).startswith(f"{plot.key}-") for value in own)


@every
def test_an_svg_for_a_page(name: str) -> None:
    for plot in made(name):
        root = ET.fromstring(plot.svg)
        children = [child.tag.rpartition("}")[2] for child in root]
        labels = str(root.get("aria-labelledby")).split()

        assert plot.svg.startswith("<svg") and root.get("role") == "img"
        assert children[:2] == ["title", "desc"] and [root[0].get("id"), root[1].get("id")] == labels
        assert (root[0].text, root[1].text) == (plot.title, plot.told)
        assert "<style" not in plot.svg and "metadata" not in plot.svg and "<!DOCTYPE" not in plot.svg
        assert f"width:{WIDTH_MM:g}mm" in str(root.get("style"))


@every
def test_text_is_text_and_large_enough(name: str) -> None:
    for plot in made(name):
        root = ET.fromstring(plot.svg)
        mm_a_unit = WIDTH_MM / float(str(root.get("viewBox")).split()[2])
        sizes = [float(size) for size in re.findall(r"font-size: ([\d.]+)px", plot.svg)]

        assert len(sizes) == len(texts(plot)) > 5
        assert min(sizes) * mm_a_unit >= LEAST_TEXT_MM
        assert plot.svg.count("'DejaVu Sans'") == len(sizes)


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it (w3.org/TR/WCAG22, "relative luminance")."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_on_white(colour: str) -> float:
    return 1.05 / (luminance(colour) + 0.05)


def test_contrast() -> None:
    assert contrast_on_white("#767676") == pytest.approx(4.54, abs=0.01)  # the known lightest grey of 4.5 : 1
    assert min(map(contrast_on_white, COLOURS.values())) >= 3
    assert min(map(contrast_on_white, (INK, QUIET))) >= 4.5


@every
def test_contrast_of_all_text(name: str) -> None:
    for plot in made(name):
        fills = re.findall(r"<text style=\"[^\"]*fill: (#[0-9a-f]{6})", plot.svg)
        assert len(fills) == len(texts(plot))
        assert min(map(contrast_on_white, fills)) >= 4.5


def shown_boxes(figure: Figure) -> Iterator[tuple[str, Bbox]]:
    """Every text that is drawn, with what it covers [pixels]."""
    seen: list[Text] = []
    draw = Text.draw

    def recorded(self: Text, renderer: object, *args: object, **other: object) -> None:
        if self.get_visible() and self.get_text().strip():
            seen.append(self)
        draw(self, renderer, *args, **other)  # type: ignore[arg-type]

    canvas: Any = FigureCanvasAgg(figure)
    with look(), pytest.MonkeyPatch.context() as patch:
        patch.setattr(Text, "draw", recorded)
        figure.draw_without_rendering()
        return iter([(text.get_text(), text.get_window_extent(canvas.get_renderer())) for text in seen])


@every
def test_no_text_covers_another_or_leaves_the_plot(name: str) -> None:
    for plot in drawn(name):
        boxes = list(shown_boxes(plot.figure))
        wide, tall = plot.figure.bbox.size

        assert sum(len(text.splitlines()) for text, _ in boxes) == len(texts(one(name, plot.key)))
        for text, box in boxes:
            assert min(box.x0, box.y0, wide - box.x1, tall - box.y1) >= 0, (plot.key, text)
        clashes = [(a, b) for (a, box), (b, other) in combinations(boxes, 2) if box.overlaps(other)]
        assert not clashes, plot.key


def test_boxes_see_a_clash() -> None:
    with look():
        figure = Figure()
        figure.text(0.5, 0.5, "one")
        figure.text(0.51, 0.5, "other")

    (_, box), (_, other) = shown_boxes(figure)

    assert box.overlaps(other)


def test_same_bytes_whatever_the_settings() -> None:
    subject_ = subject("by hand")
    with matplotlib.rc_context({"font.size": 30, "svg.hashsalt": None, "svg.fonttype": "path", "axes.grid": True}):
        again = plots(subject_.fit, subject_.findings)
        assert matplotlib.rcParams["font.size"] == 30  # and theirs are as they were

    assert again == plots(subject_.fit, subject_.findings) == made("by hand")


def test_wrapped_text_fits() -> None:
    lines = wrapped(f"some words and {LONG * 3} and more", 50)

    assert "".join(lines).replace(" ", "") == f"somewordsand{LONG * 3}andmore"
    assert max(map(text_mm, lines)) <= 50 and len(lines) > 3


# --- hours ---------------------------------------------------------------------------------------------


def scenarios(name: str) -> Iterator[tuple[Scenario, Plot]]:
    for scenario in subject(name).fit.case.scenarios:
        yield scenario, one(name, f"hours-{scenario.name}")


@every
def test_hours_in_the_table(name: str) -> None:
    fit = subject(name).fit
    for scenario, plot in scenarios(name):
        flow = trace(fit.case, fit.catalogue, fit.build, scenario)
        table = np.array([[float(cell) for cell in row[2:]] for row in plot.rows])

        assert len(plot.rows) == scenario.hours
        assert table[:, 0] == pytest.approx(flow.soc_pct, abs=0.051)
        for column, watt in enumerate((*flow.given_w.values(), flow.loads_w), start=1):
            assert table[:, column] == pytest.approx(watt, abs=0.51)
        assert [(int(row[0]) - 1) * 24 + int(row[1][:2]) for row in plot.rows] == list(flow.hour)


@every
def test_hours_drawn(name: str) -> None:
    """The line of charge begins where the scenario begins; the tops of power in and the loads are the trace's."""
    fit = subject(name).fit
    for scenario in fit.case.scenarios:
        flow = trace(fit.case, fit.catalogue, fit.build, scenario)
        figure = next(d.figure for d in drawn(name) if d.key == f"hours-{scenario.name}")
        power, charge = figure.axes
        lines = [line for line in charge.lines if len(np.asarray(line.get_xdata())) == scenario.hours + 1]
        steps = [patch.get_data() for patch in power.patches if hasattr(patch, "get_data")]
        areas = [data for data in steps if data.baseline is not None]

        (line,) = lines
        assert list(np.asarray(line.get_xdata())) == [scenario.start_h + hour for hour in range(scenario.hours + 1)]
        assert list(np.asarray(line.get_ydata())) == [scenario.start_pct, *flow.soc_pct]
        total, tops = np.zeros(scenario.hours), np.zeros(scenario.hours)
        for data in areas:
            total = total + np.nan_to_num(data.values - data.baseline)
            tops = np.maximum(tops, np.nan_to_num(data.values))
        assert total == pytest.approx(flow.given_w["sun"] + flow.given_w["alternator"] + flow.given_w["hook-up"])
        assert tops == pytest.approx(total)  # stood on each other
        assert list(steps[-1].values) == list(flow.loads_w) and steps[-1].baseline is None


@every
def test_the_lowest_point_is_the_audits(name: str) -> None:
    for scenario, plot in scenarios(name):
        floor = of(name, f"energy.floor[{scenario.name}]")
        limit, actual = floor.numbers
        label = next(text for text in texts(plot) if text.startswith("lowest"))
        found = re.fullmatch(r"lowest (\S+) %, (\d\d):00 of day (\d)", label)

        assert found and found[1] == actual and f"floor {limit} %" in texts(plot)
        hour = (int(found[3]) - 1) * 24 + int(found[2]) - 1  # the hour that ends there
        row = plot.rows[hour - scenario.start_h]
        assert float(row[2]) == min(float(r[2]) for r in plot.rows)
        assert actual in plot.told and f"{found[2]}:00 of day {found[3]}" in plot.told
        assert ("a breach" in plot.told) == any(not f.ok for f in subject(name).findings if f.place == scenario.name)


@every
def test_the_level_to_return_to(name: str) -> None:
    for scenario, plot in scenarios(name):
        wanted = [text for text in texts(plot) if text.startswith("to end at")]
        assert wanted == ([f"to end at {scenario.start_pct:g} %"] if scenario.returns else [])
        if scenario.returns:
            assert f"ends at {of(name, f'energy.returns[{scenario.name}]').numbers[1]} %" in texts(plot)


def test_the_title_says_the_weather() -> None:
    assert one("grey-month-van cheapest", "hours-long_night").title == (
        "long_night: December, 30 % of a clear sky's light, air -4 to 4 C"
    )


def test_only_what_gives_is_named() -> None:
    named = set(texts(one("grey-month-van cheapest", "hours-long_night")))

    assert {"hook-up", "loads"} <= named and not {"sun", "alternator"} & named
    assert {"sun", "alternator", "loads"} <= set(texts(one("grey-month-van cheapest", "hours-grey_pair")))


# --- months --------------------------------------------------------------------------------------------


@every
def test_months_add_up_to_the_audits_surplus(name: str) -> None:
    fit = subject(name).fit
    surplus = measured(fit.case, fit.catalogue, fit.build)["annual_surplus"]
    months = balance(fit)

    assert sum(month.given_wh - month.taken_wh for month in months) == pytest.approx(1000 * surplus)
    assert f"annual surplus of the sun is {surplus:.1f} kWh" in one(name, "months").told


@every
def test_months_in_the_table(name: str) -> None:
    plot = one(name, "months")
    for row, month in zip(plot.rows, balance(subject(name).fit), strict=True):
        taken = int(row[4])
        assert month.taken_wh / month.days - 1e-6 <= taken < month.taken_wh / month.days + 1
        if not month.known:
            assert (row[3], row[5], row[6]) == ("not known",) * 3
            continue
        given, over = int(row[3]), int(row[5])
        assert month.given_wh / month.days - 1 < given <= month.given_wh / month.days + 1e-6
        assert over == given - taken and row[6] == ("met" if over >= 0 else "not met")
    shown = texts(plot)
    verdicts = [row[6] for row in plot.rows]
    known = 12 - verdicts.count("not known")
    assert shown.count("met") == verdicts.count("met")
    assert shown.count("?") == shown.count("not known") == 12 - known
    assert all(row[5] in shown for row in plot.rows if row[6] == "not met")
    assert f"in {verdicts.count('met')} of {known} months" in plot.told or not known


def test_bars_of_months_are_as_high_as_their_figures() -> None:
    plot = next(plot for plot in drawn("grey-month-van cheapest") if plot.key == "months")
    bars = {str(group.get_label()): [bar.get_height() for bar in group] for group in plot.figure.axes[0].containers}

    assert bars["panels give"] == [int(row[3]) for row in plot.rows if row[3] != "not known"]
    assert bars["drawn by loads, conversion and what is fitted"] == [int(row[4]) for row in plot.rows]


def test_the_worst_month_and_what_is_left_out() -> None:
    plot = one("grey-month-van cheapest", "months")
    worst = min((row for row in plot.rows if row[6] != "not known"), key=lambda row: int(row[5]))

    assert f"Most is missing in {worst[0]}: {worst[5][1:]} Wh a day" in plot.told
    met = [row[0] for row in plot.rows if row[6] == "met"]
    assert met == ["June", "July"] and f"months: {' and '.join(met)}." in plot.told
    for words in ("nearest in the calendar", "Driving", "hook-up", "full bank turns away", "not a promise"):
        assert words in plot.told and words in " ".join(texts(plot))


def test_months_that_are_met_are_told_in_spans() -> None:
    """Two joined by a word, three and more from the first to the last."""
    fridge = tuple(load for load in handmade.case().loads if load.name == "fridge")
    with look():
        picture = drawn_months(by_hand(loads=fridge).fit)
    assert [row[0] for row in picture.rows if row[6] == "met"] == [
        "January", "February", "October", "November", "December"
    ]  # fmt: skip
    assert "in 5 of 12 months: January and February, October to December." in picture.told


def test_of_a_night_is_not_known_what_the_sun_gives() -> None:
    fit, plot = subject("tiny-trailer cheapest").fit, one("tiny-trailer cheapest", "months")
    unknown = [row for row in plot.rows if row[2] == "cold_night"]

    assert unknown and {row[6] for row in unknown} == {"not known"}
    assert {row[2] for row in plot.rows if row[6] == "not known"} == {"cold_night"}
    # the audit's surplus has these months with nothing given; no bar of 0 is shown for that
    assert {month.given_wh for month in balance(fit) if not month.known} == {0}
    assert "The annual surplus takes the months of cold_night as dark" in plot.told
    assert f"Of {len(unknown)} months it is not known" in plot.told
    assert f"of {12 - len(unknown)} months" in plot.told


def _with(**scenario: object) -> Audited:
    case = handmade.case()
    return by_hand(scenarios=tuple(s.model_copy(update=scenario) for s in case.scenarios))


def test_night_hours_alone_say_nothing_of_the_day() -> None:
    night = {"start_h": 21, "hours": 6}  # in the summer of the south; the sun is up from about 6 to 20
    cases: tuple[tuple[dict[str, Any], bool], ...] = (
        ({}, True),
        (night, False),
        ({"start_h": 21, "hours": 14}, True),
        ({"clearness": 0.0}, False),
    )
    for scenario, known in cases:
        assert {month.known for month in balance(_with(**scenario).fit)} == {known}
    with look():
        pictures = {key: drawn_months(_with(**change).fit) for key, change in (("night", night), ("day", {}))}
    told = {key: picture.told for key, picture in pictures.items()}
    assert {key: len(picture.figure.axes[0].patches) for key, picture in pictures.items()} == {"night": 12, "day": 24}
    named = [text.get_text() for text in pictures["night"].figure.axes[0].get_legend().get_texts()]  # type: ignore[union-attr]
    assert named == ["drawn by loads, conversion and what is fitted"]
    assert "Of 12 months it is not known" in told["night"] and "Most is missing" not in told["night"]
    assert "takes the share of a clear sky's light of summer for days as well" in told["night"]
    assert "not known" not in told["day"] and "as dark" not in told["day"] + told["night"]


def test_a_month_of_which_nothing_is_known_is_not_met() -> None:
    case = handmade.case()
    night = tuple(s.model_copy(update={"start_h": 21, "hours": 6}) for s in case.scenarios)
    known, unknown = (balance(by_hand(loads=(), scenarios=scenarios).fit) for scenarios in (case.scenarios, night))

    assert any(month.met for month in known)
    assert [month.over_a_day for month in unknown] == [month.over_a_day for month in known]
    assert not any(month.met for month in unknown)


# --- margins -------------------------------------------------------------------------------------------


@every
def test_margins_are_the_audits(name: str) -> None:
    plot = one(name, "margins")
    findings = {f.requirement: f for f in subject(name).findings}

    shares = []
    for requirement, unit, limit, actual, margin, share in plot.rows:
        finding = findings[requirement]
        assert (unit, (limit, actual)) == (finding.unit, finding.numbers)
        assert float(margin) == pytest.approx(finding.margin, abs=6e-4)
        shares.append(finding.margin / abs(finding.limit))
        if share != "below 0":
            assert float(share) == pytest.approx(100 * shares[-1], abs=0.051)
    assert shares == sorted(shares)


@every
def test_each_requirement_once_at_its_tightest(name: str) -> None:
    rows = [row[0].partition("[")[0] for row in one(name, "margins").rows]
    comparable = [
        f for f in subject(name).findings if REGISTER[f.name].step is not None and f.limit != 0 and abs(f.limit) < inf
    ]
    comparable = [f for f in comparable if abs(f.actual) < inf]

    assert sorted(rows) == sorted({f.name for f in comparable})
    for finding in tightest(subject(name).findings):
        shares = [f.margin / abs(f.limit) for f in comparable if f.name == finding.name]
        assert finding.margin / abs(finding.limit) == min(shares)


@every
def test_bars_have_their_figures_beside_them(name: str) -> None:
    plot = one(name, "margins")
    shown = " ".join(texts(plot))
    for row in plot.rows[:BARS]:
        limit, actual, sense = row[2], row[3], REGISTER[row[0].partition("[")[0]].sense
        unit = f" {row[1]}" if row[1] != "money" else ""
        assert f": {actual}, {sense} {limit}{unit}" in shown
        assert row[0].partition("[")[0] in shown
    assert len([text for text in texts(plot) if ": " in text and ", at " in text]) == min(BARS, len(plot.rows))


def test_what_is_left_out_is_counted() -> None:
    findings = (
        held("roof.inside", "roof", limit=0, actual=5),  # a definition
        held("battery.place", "box", limit=0, actual=0),
        held("energy.autonomy", limit=1, actual=inf),
        held("mass.payload", limit=100, actual=80),
        held("bay.mass", "box", limit=50, actual=50),
        held("bay.mass", "locker", limit=50, actual=10),
    )
    with look():
        found = margins(findings)

    assert [row[0] for row in found.rows] == ["bay.mass[box]", "mass.payload"]
    assert (
        "Left out of 6 findings: 1 definitions or things that are there or not, 1 with a limit of 0, 1 without end"
        in (found.told)
    )
    assert "At the limit, with nothing left: bay.mass[box]. The next tightest: mass.payload with 20.0 %" in found.told


def test_a_breach_shows() -> None:
    plot = one("broken", "margins")
    below = [row for row in plot.rows if float(row[4]) < 0]

    assert len(below) >= 3 and plot.rows[: len(below)] == tuple(below)
    assert all(row[5] == "below 0" or float(row[5]) < 0 for row in below)
    broken_ = [f.requirement for f in subject("broken").findings if not f.ok]
    assert f"{len(broken_)} breaches. Not held: {', '.join(broken_)}." in plot.told


def test_bars_go_to_the_left_only_where_a_limit_is_broken() -> None:
    plot = next(plot for plot in drawn("broken") if plot.key == "margins")
    widths = [patch.get_width() for patch in plot.figure.axes[0].patches]  # type: ignore[attr-defined]

    below = [float(row[4]) < 0 for row in plot.rows[:BARS]]
    assert [width < 0 for width in widths] == below and any(below) and not all(below)


# --- masses --------------------------------------------------------------------------------------------


@every
def test_masses_add_up_to_the_findings(name: str) -> None:
    fit = subject(name).fit
    found, vehicle = places(fit), fit.case.brief.vehicle
    sums = [sum(place.shares_kg[n] for place in found) for n in (0, 1)]

    assert sum(place.mass_kg for place in found) == pytest.approx(of(name, "mass.payload").actual)
    if vehicle.kind == "trailer":
        assert vehicle.base_hitch_kg + sums[0] == pytest.approx(of(name, "mass.hitch_high").actual)
        assert vehicle.base_axle_kg + sums[1] == pytest.approx(of(name, "mass.axle[axle]").actual)
    else:
        assert vehicle.base_front_kg + sums[0] == pytest.approx(of(name, "mass.axle[front axle]").actual)
        assert vehicle.base_rear_kg + sums[1] == pytest.approx(of(name, "mass.axle[rear axle]").actual)


@every
def test_each_item_counts_where_it_stands(name: str) -> None:
    """By their coordinates alone: nothing that counts for a bay or a zone lies elsewhere."""
    fit = subject(name).fit
    found = {place.name: place.mass_kg for place in places(fit)}

    for bay in fit.case.bays:
        at = sum(i.worth.grams for i in added(fit) if (i.x_mm, i.y_mm) == (bay.x_mm, bay.y_mm)) / 1000
        assert found.get(bay.name, 0) == pytest.approx(at)
    assert set(found) <= {*fit.case.bay_of, *fit.zone_of, WIRING}
    for zone in fit.case.zones:
        panels = [fit.catalogue.find(p.panel) for p in fit.build.panels if p.zone == zone.name]
        assert found.get(zone.name, 0) == pytest.approx(
            sum(panel.mass_kg + getattr(panel, "mount_mass_kg", 0) for panel in panels if panel)
        )


@every
def test_masses_in_the_table_and_the_picture(name: str) -> None:
    plot, shown = one(name, "masses"), texts(one(name, "masses"))
    rows = {row[0]: row[1:] for row in plot.rows}
    found = places(subject(name).fit)
    payload = of(name, "mass.payload")

    for place in found:
        assert rows[place.name] == (f"{place.mass_kg:.3f}", *(f"{kg:.3f}" for kg in place.shares_kg))
        assert f"{place.mass_kg:.2f}" in shown and all(f"{kg:.2f}" in shown for kg in place.shares_kg)
    assert rows["added in all"][0] == f"{payload.actual:.3f}" and rows["at most"][0] == f"{payload.limit:g}"
    columns = zip(rows["before the fit-out"][1:], rows["added in all"][1:], rows["with the fit-out"][1:], strict=True)
    assert all(float(a) + float(b) == pytest.approx(float(c), abs=0.0011) for a, b, c in columns)
    assert any(text.startswith(f"{payload.numbers[1]} kg: at most {payload.numbers[0]}") for text in shown)


def test_axles_of_a_van_begin_with_what_each_weighed() -> None:
    """1520 kg in front and 1560 kg behind, as the survey has them."""
    rows = {row[0]: row[1:] for row in one("grey-month-van cheapest", "masses").rows}

    assert rows["before the fit-out"] == ("", "1520.000", "1560.000")


def test_the_hitch_has_two_limits() -> None:
    shown = texts(one("tiny-trailer cheapest", "masses"))
    actual = of("tiny-trailer cheapest", "mass.hitch_low").numbers[1]

    assert f"{actual} kg: 44 before, 40 to 58" in shown
    rows = {row[0]: row[1:] for row in one("tiny-trailer cheapest", "masses").rows}
    assert rows["at least"] == ("", "40", "") and rows["at most"] == ("62", "58", "640")


def test_an_overloaded_hitch_is_named() -> None:
    assert any(text.endswith("(breach)") and "60 before, 40 to 59.2" in text for text in texts(one("broken", "masses")))
