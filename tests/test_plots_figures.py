"""Figures of the plots are the audit's, in the picture and in the table beside it."""

import re
from collections.abc import Iterator
from math import inf
from typing import Any

import numpy as np
import pytest

from optimiser.auditing.finding import checked
from optimiser.auditing.room import tightest
from optimiser.case import Scenario
from optimiser.fitted import measured, trace
from optimiser.fitted.figures import added
from optimiser.plots import Plot
from optimiser.plots.margins import BARS, margins
from optimiser.plots.masses import WIRING, places
from optimiser.plots.months import balance
from optimiser.plots.months import months as drawn_months
from optimiser.plots.style import look
from optimiser.requirements import REGISTER
from tests import handmade
from tests.plots_help import Audited, by_hand, drawn, every, of, one, subject, texts

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


def test_what_is_left_out_is_counted() -> None:
    findings = (
        checked("roof.inside", "roof", limit=0, actual=5),  # a definition
        checked("battery.place", "box", limit=0, actual=0),
        checked("energy.autonomy", limit=1, actual=inf),
        checked("mass.payload", limit=100, actual=80),
        checked("bay.mass", "box", limit=50, actual=50),
        checked("bay.mass", "locker", limit=50, actual=10),
    )
    with look():
        found = margins(findings)

    assert [row[0] for row in found.rows] == ["bay.mass[box]", "mass.payload"]
    assert (
        "Left out of 6 findings: 1 definitions or things that are there or not, 1 with a limit of 0, 1 without end"
        in (found.told)
    )
    assert "At the limit, with nothing left: bay.mass[box]. The next tightest: mass.payload with 20.0 %" in found.told


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
