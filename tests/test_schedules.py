"""Schedules: sums that are the audit's, and everything of a build exactly where it belongs."""

from collections import Counter
from dataclasses import replace
from math import ceil

import pytest

from optimiser.auditing import Finding
from optimiser.case import Existing
from optimiser.fitted import Fit, cost_and_mass
from optimiser.fitted.currents import currents
from optimiser.fitted.drawn import drawn_mm, reach_mm
from optimiser.fitted.links import cable_run, links_of
from optimiser.fitted.places import standing
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Fuse
from optimiser.schedules import Schedule
from optimiser.schedules.cables import cables
from optimiser.schedules.labels import labels
from optimiser.schedules.links import RUN, link_list
from optimiser.schedules.materials import STAYS, lines, materials, sums
from optimiser.schedules.pieces import cuts, pieces
from optimiser.schedules.protection import protection
from optimiser.schedules.table import Cell, Column
from optimiser.units import GRAMS
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, number, only_row, remark_of, rows_of, total

# --- bill of materials ---------------------------------------------------------------------------------


def test_the_bill_of_the_handmade_trailer_adds_up_on_paper() -> None:
    bill = materials(fit_made(world()))

    # 32 parts at 10 + 1 + 6 (2 panels, 2 modules, 10 bodies, 7 fuses, 6 holders, 2 shunts, 1 vent, 2 entries) and
    # 2 kits at 10; 54 + 12 ends at 1, and 4 of links; 14.4 m of pairs at 4 + 1 and 4.8 m of single cables at 2 + 0.5,
    # as 1.5 m of links.
    assert total(bill, "parts") == 320_00 + 20_00 + 70_00 + 57_60 + 12_60
    assert total(bill, "sundries") == 32_00 + 14_40 + 3_15
    assert total(bill, "labour") == 192_00
    assert total(bill, "total") == 721_75
    # 32 parts of 500 g, 2 kits of 500 g, 144 steps of 20 g, 48 and 15 of 10 g
    assert total(bill, "mass") == 20.51


@every_build
def test_the_bill_comes_to_what_the_audit_finds(name: str, want: str) -> None:
    fit = shipped(name, want)
    comes_to = cost_and_mass(fit.case, fit.catalogue, fit.build)
    bill = materials(fit)

    assert sums(lines(fit)).worth == comes_to
    for title in ("total", "parts", "sundries", "labour"):
        assert sum(number(cell) for cell in bill.column(title)) == total(bill, title)
    assert total(bill, "total") == comes_to.cents == fit.build.claim.cost_cents
    assert round(number(total(bill, "mass")) * GRAMS) == comes_to.grams == fit.build.claim.mass_g
    for row in rows_of(bill):
        assert row["total"] == sum(number(row[title]) for title in ("parts", "sundries", "labour"))
        assert number(row["labour"]) >= 0


@every_build
def test_the_bill_counts_every_piece_of_the_build(name: str, want: str) -> None:
    fit, build = shipped(name, want), shipped(name, want).build
    expected = Counter(placed.panel for placed in build.panels)
    expected[build.bank.module] += build.bank.series * build.bank.parallel
    if build.bank.fuse:  # one in a holder of its own for each string of modules
        module_fuse = fit.part(build.bank.fuse, Fuse)
        expected.update({module_fuse.name: build.bank.parallel, module_fuse.holder: build.bank.parallel})
    expected.update(fitted.part for fitted in build.fitted if fitted.part and not fitted.existing)
    fuses = {run.name: fit.part(run.fuse, Fuse) for run in build.runs if run.fuse}
    expected.update(fuse.name for fuse in fuses.values())
    expected.update(fuse.holder for run, fuse in fuses.items() if run != "main")
    for rows in (build.vents, build.measuring, build.entries):
        for row in rows:
            expected[getattr(row, "vent", "") or getattr(row, "shunt", "") or getattr(row, "entry", "")] += row.count

    pieces = [row for row in rows_of(materials(fit)) if row["each is a"] == "piece" and not row["remark"]]

    assert {str(row["part"]): row["count"] for row in pieces} == dict(expected)
    assert len(pieces) == len(expected)


@every_build
def test_cable_by_the_metre_and_its_ends_are_those_of_the_runs(name: str, want: str) -> None:
    fit = shipped(name, want)
    metres: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    for laid in routed_runs(fit).values():
        metres[laid.cable.name] += sum(laid.core_steps)
        ends[laid.cable.name] += sum(2 for cut in cuts(fit) if cut.laid is laid)
    runs_m = sum(metres.values()) / 10
    if (links := links_of(fit)) and (main := cable_run(fit)):
        metres[main.cable.name] += ceil(sum(link.cut_mm for link in link_list(fit)) / 100)
        ends[main.cable.name] += 2 * links.count
    rows = [row for row in rows_of(materials(fit)) if row["class"] == "cables"]

    for row in rows:
        metres[str(row["part"])] -= round(number(row["length"] or 0) * 10)
        ends[str(row["part"])] -= int(number(row["count"] or 0))
    made = 2 * (len(cuts(fit)) + len(link_list(fit)))
    assert not any(metres.values()) and not any(ends.values())
    assert total(cables(fit), "to cut in all") == pytest.approx(runs_m)
    assert f"Ends to make: {made}, two of each piece." in pieces(fit).notes


def test_rounding_up_each_step_stands_with_the_labour() -> None:
    made = changed(changed(world(), "parts.data.price", 1.23), "parts.data.minutes", 2)
    row = only_row(materials(fit_made(made)), "length", 2.3)

    # a step: 0.123 + 0.05 + 0.2 = 0.373, 38 cents, 23 of them; 2.3 m at 1.23 are 2.829, at 0.5 are 1.15
    assert (row["total"], row["parts"], row["sundries"], row["labour"]) == (874, 282, 115, 477)


def _with_kept_inverter() -> World:
    made = world()
    existing = Existing(
        name="old_inverter", kind="part", part="inverter-1500", board="locker.wall", x_mm=200, y_mm=200,
        length_mm=100, width_mm=100, depth_mm=60,
    )  # fmt: skip
    fitted = tuple(replace(f, existing=True) if f.slot == "inverter" else f for f in made.build.fitted)
    case = replace(made.case, existing=(*made.case.existing, existing))
    return World(case, made.catalogue, replace(made.build, fitted=fitted))


def test_what_stays_is_listed_and_costs_and_weighs_nothing() -> None:
    made = _with_kept_inverter()
    bill = materials(fit_made(made))
    row = only_row(bill, "part", "inverter-1500")

    assert (row["remark"], row["count"], row["total"], row["mass"]) == (STAYS, 1, 0, 0)
    assert total(bill, "total") == 721_75 - 17_00 == cost_and_mass(made.case, made.catalogue, made.build).cents


# --- cables --------------------------------------------------------------------------------------------


def test_cut_lengths_worked_by_hand() -> None:
    row = only_row(cables(shipped("tiny-trailer")), "run", "main")
    # ways of 1500 and 1200, in the side locker from 540, 60 of its floor to 60, 60 of its rear 540 + 60; in the box
    # from the bank (x 70..290, y 35..555 of the floor) to the hole at 0, 350, 345 70 + 345; in the galley from that at
    # 100, 600, 60 to the isolator (x 160..235, y 305..380 of the floor) 60 + 220 + 60, and 30 on to the busbar: 4085,
    # and four ends of 50; the other core to the busbar (x 40..130, y 215..380) 220 + 60: 3995, and two ends; more than
    # by the allowances, 3800
    ways = "under_floor 1500, side_wall 1200; from hole to hole 600"
    assert row["ways in order, mm each"] == ways
    assert row["cable allowances in the bays, mm each"] == "250 + 250"
    assert (row["ways"], row["length"], row["cut"], row["spare"]) == (3300, 4285, 4300, 15)
    assert tuple(row[f"{title} of -"] for title in ("length", "cut", "spare")) == (4095, 4100, 5)
    assert row["to cut in all"] == 8.4

    row = only_row(cables(fit_made(world())), "run", "mains_inlet")
    # a point has no allowance: 1000 + 0 + 300, one sheathed cable
    assert (row["ways"], row["length"], row["cut"], row["spare"]) == (1000, 1300, 1300, 0)
    assert (row["length of -"], row["cut of -"], row["spare of -"]) == (None, None, None)
    assert row["to cut in all"] == 1.3


@every_build
def test_each_run_is_cut_ended_and_protected_once(name: str, want: str) -> None:
    fit = shipped(name, want)
    names = tuple(run.name for run in fit.build.runs)
    power = [run for run in names if routed_runs(fit)[run].cable.kind != "data"]
    protected = [row for row in rows_of(protection(fit, findings(name, want))) if row["what"] != "isolator"]

    assert cables(fit).column("run") == names
    assert tuple(dict.fromkeys(pieces(fit).column("run"))) == (*names, *([RUN] if links_of(fit) else []))
    assert [row["protects run"] for row in protected if row["protects run"]] == power


@every_build
def test_each_run_starts_and_ends_at_its_nodes(name: str, want: str) -> None:
    fit = shipped(name, want)
    for row, run in zip(rows_of(cables(fit)), fit.build.runs, strict=True):
        assert str(row["from"]).endswith(run.start)
        assert str(row["to"]).endswith(run.end)
        for text in (str(row["from"]), str(row["to"])):
            slot = text.partition(",")[0]
            if fit.build.slot(slot):
                assert fit.node(slot) in (run.start, run.end)


def test_a_run_between_two_boards_of_a_bay_asks_for_a_string() -> None:
    made = world()
    other = made.case.board_of["locker.wall"].model_copy(update={"name": "back"})
    made = World(replace(made.case, boards=(*made.case.boards, other)), made.catalogue, made.build)
    moved = changed(made, "fitted.regulator_1.board", "locker.back")

    assert "from board to board of a bay, for which the bay's allowance is taken; " in remark_of(moved, "regulator_1")
    assert "board to board" not in remark_of(moved, "mains_charger")


@every_build
def test_each_run_is_cut_to_what_it_needs_as_drawn_and_no_longer(name: str, want: str) -> None:
    fit = shipped(name, want)
    for row, laid in zip(rows_of(cables(fit)), routed_runs(fit).values(), strict=True):
        reaches, drawn = reach_mm(fit, laid), drawn_mm(fit, laid)
        assert all(mm >= least for mm, least in zip(reaches, drawn, strict=True))
        columns = ("", " of -")[: len(reaches)]
        assert len(reaches) == (2 if laid.cable.paired else 1)
        for of, needed, steps in zip(columns, reaches, laid.core_steps, strict=True):
            assert (row[f"length{of}"], row[f"cut{of}"]) == (needed, 100 * steps)
            assert 100 * steps == -(-needed // 100) * 100
        assert laid.cable.paired or row["cut of -"] is None


# --- protection ----------------------------------------------------------------------------------------


LIMITS = (
    ("required at least", ("run.fuse_over_load",), 0),
    ("allowed at most", ("run.fuse_under_cable", "run.ampacity", "run.terminal_heat"), 0),
    ("prospective fault current", ("run.fuse_breaking",), 0),
    ("voltage of the bus", ("run.fuse_voltage",), 0),
    ("cable rating", ("run.ampacity", "run.terminal_heat"), 0),
    ("carries", ("run.ampacity",), 1),
)  # title, requirements that the least figure is of, and which of their two numbers


def _safe(cell: Cell, title: str, finding: Finding, side: int) -> None:
    """On the safe side of the audit's figure and less than its last digit away: demands up, what is allowed down."""
    exact, digits = (finding.limit, finding.actual)[side], len(finding.numbers[side].partition(".")[2])
    up = title in ("required at least", "prospective fault current", "voltage of the bus", "carries")
    beyond = (number(cell) - exact) * (1 if up else -1)
    assert -1e-6 <= beyond < 10**-digits, (title, cell, exact)


@every_build
def test_each_fuse_stands_once_with_the_audits_limits(name: str, want: str) -> None:
    fit, found = shipped(name, want), {f.requirement: f for f in findings(name, want)}
    schedule = protection(fit, findings(name, want))
    fused = [row for row in rows_of(schedule) if row["what"] in ("fuse", "main fuse")]

    assert Counter(row["part"] for row in fused) == Counter(run.fuse for run in fit.build.runs if run.fuse)
    for row in fused:
        run = row["protects run"]
        fuse = fit.part(str(row["part"]), Fuse)
        source_v = 12 if run == "alternator_feed" else fit.system_v
        assert (row["rating"], row["breaks"]) == (fuse.rating_a, fuse.breaking_a(source_v))
        assert row["voltage the fuse is for"] == fuse.volt_max_v
        assert row["holder"] == fuse.holder and row["family"] == fuse.family
        assert row["rating"] == found[f"run.fuse_over_load[{run}]"].actual
        for title, requirements, side in LIMITS:
            decides = min((found[f"{requirement}[{run}]"] for requirement in requirements), key=lambda f: f.limit)
            _safe(row[title], title, decides, side)


@every_build
def test_figures_of_protection_have_the_findings_own_digits(name: str, want: str) -> None:
    found = {f.requirement: f for f in findings(name, want)}
    schedule = protection(shipped(name, want), findings(name, want))
    columns = {column.title: column for column in schedule.columns}
    for row in rows_of(schedule):
        run, shared = row["protects run"], {"isolator": "protect.isolator", "busbar": "protect.busbar"}
        asked = [(title, [f"{r}[{run}]" for r in names], side) for title, names, side in LIMITS if row["cable"]]
        asked += [("required at least", [shared[str(row["what"])]], 0)] if row["what"] in shared else []
        for title, requirements, side in asked:
            if requirements[0] in found:
                finding = min((found[r] for r in requirements), key=lambda f: f.limit)
                _safe(row[title], title, finding, side)
                assert len(columns[title].shown(row[title])) <= len(finding.numbers[side]) + 1
            else:
                assert row[title] is None


def test_the_isolator_is_labelled_with_what_stays_live() -> None:
    made = world()
    without = tuple(f for f in made.build.fitted if f.slot not in ("mains_charger", "alternator_charger"))
    bare = replace(made.build, arrays=(), panels=(), fitted=tuple(f for f in without if f.slot != "regulator_1"))
    for build, said in (
        (made.build, "off here. The panels and chargers stay live."),
        (replace(made.build, fitted=without), "off here. The panels stay live."),
        (bare, "off here."),
    ):
        made_fit = Fit(made.case, made.catalogue, replace(build, runs=()))
        (row,) = [r for r in rows_of(labels(made_fit)) if r["of"] == "isolator"]
        assert row["text"] == f"battery isolator: {said}"


@every_build
def test_each_measured_current_has_its_run(name: str, want: str) -> None:
    fit = shipped(name, want)
    assert {current.run for current in currents(fit)} <= {run.name for run in fit.build.runs}


# --- labels --------------------------------------------------------------------------------------------


@every_build
def test_everything_gets_its_label_once(name: str, want: str) -> None:
    fit, build = shipped(name, want), shipped(name, want).build
    rows = rows_of(labels(fit))

    def of(what: str) -> list[Cell]:
        return [row["of"] for row in rows if row["what"] == what]

    assert of("part") == [fitted.slot for fitted in build.fitted]
    of_modules = ["bank"] if build.bank.fuse else []
    assert of("fuse") == [*of_modules, *(run.name for run in build.runs if run.fuse)]
    copies = [row["copies"] for row in rows if row["what"] == "fuse" and row["of"] == "bank"]
    assert copies == [build.bank.parallel for _ in of_modules]
    assert of("panel") == [f"P{number + 1}" for number in range(len(build.panels))]
    assert of("entry") == [entry.purpose for entry in build.entries]
    assert of("vent") == [vent.bay for vent in build.vents]
    cores = [*(cut.laid.run.name for cut in cuts(fit)), *("bank" for _ in link_list(fit))]
    assert of("cable") == [name for name in cores for _ in range(2)]
    texts = [row["text"] for row in rows if row["what"] == "cable"]
    assert len(set(texts)) == len(texts)
    assert total(labels(fit), "copies") == sum(number(row["copies"]) for row in rows)


@every_build
def test_what_sits_on_the_terminal_has_no_place_on_a_board(name: str, want: str) -> None:
    fit = shipped(name, want)
    stand = {body.slot: body for body in standing(fit)}
    for row in rows_of(labels(fit)):
        if row["what"] == "part":
            body = stand.get(str(row["of"]))
            fitted = fit.build.slot(str(row["of"]))
            assert fitted
            corner = f"{fitted.board}, x {fitted.x_mm}, y {fitted.y_mm}"
            assert row["where"] == (corner if body else f"on the bank's terminal, {fitted.board}")


@every_build
def test_the_label_of_a_fuse_goes_where_the_fuse_schedule_has_it(name: str, want: str) -> None:
    fit = shipped(name, want)
    fused = [row for row in rows_of(protection(fit, findings(name, want))) if row["holder"]]
    places = {row["protects run"] or "bank": f"{row['where']}; {row['holder']}" for row in fused}
    fuses = {row["of"]: row["where"] for row in rows_of(labels(fit)) if row["what"] == "fuse"}
    assert fuses == places and len(fuses) > 2


# --- the table itself ----------------------------------------------------------------------------------


def test_figures_round_as_their_column_says() -> None:
    assert Column("a", "A", "number", 1).shown(167.2694) == "167.3"
    assert Column("a", "A", "number", 1).shown(30.0) == "30.0"
    assert Column("a", "A", "whole", 0).shown(6087.6) == "6088"
    assert Column("a", "mm2", "number", None).shown(2.5) == "2.5"
    money_column = Column("price", "cu", "money")
    assert (money_column.header, money_column.shown(123456), money_column.shown(12.5)) == (
        "price [cu]",
        "1234.56",
        "0.125",
    )
    assert money_column.shown(None) == ""


@pytest.mark.parametrize("row", [("a",), ("a", 1, 2), (1, 1), ("a", "b")])
def test_a_row_that_does_not_fit_its_columns_is_refused(row: tuple[Cell, ...]) -> None:
    with pytest.raises(ValueError, match="key: "):
        Schedule("key", "title", (Column("text"), Column("number", "", "number")), (row,))
