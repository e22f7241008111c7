"""The single-line diagram: all that is in the build, nothing that is not, and every wire clear of texts and symbols."""

from io import StringIO
from itertools import combinations
from xml.etree import ElementTree

import pytest
from ezdxf.filemanagement import read

from optimiser import parts as p
from optimiser.cautions import CAUTIONS
from optimiser.drawing.dxf import to_dxf
from optimiser.drawing.shapes import Box, Path
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.legend import NAMES
from optimiser.drawing.single_line.right import filled
from optimiser.drawing.single_line.rows import Cable, Gap
from optimiser.drawing.svg import to_svg
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import routed_runs
from tests.single_line_help import (
    ALL,
    METER,
    SHIPPED,
    WORLD,
    bars,
    dots,
    drawn,
    mains,
    said,
    sheets,
    subject,
    texts,
    wires,
)

EDGE_MM = 1e-6  # what touches does not cross


# --- all of it is there --------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ALL)
def test_every_run_with_section_length_and_cable(key: str) -> None:
    fit, _ = subject(key)
    shown = texts(key)
    for name, laid in routed_runs(fit).items():
        named = numbered(fit, name)
        assert named in shown
        at = [k for k, text in enumerate(shown) if text == named and shown[k + 2 : k + 3] == [laid.cable.name]]
        assert at, f"{name} without its cable"
        size = shown[at[0] + 1]
        plus, minus = laid.core_steps[0], laid.core_steps[-1]
        lengths = f"{plus / 10:.1f}" if plus == minus else f"{plus / 10:.1f}/{minus / 10:.1f}"
        assert size.endswith(f" {lengths} m") or size == f"{lengths} m"
        if laid.cable.paired:
            assert size.startswith(f"2 x {laid.cable.section_mm2:g} mm2")


@pytest.mark.parametrize("key", ALL)
def test_every_fuse_with_rating_family_and_voltage(key: str) -> None:
    fit, _ = subject(key)
    shown = texts(key)
    fuses = [laid.fuse for laid in routed_runs(fit).values() if laid.fuse]
    if fit.build.bank.fuse:
        fuses.append(fit.part(fit.build.bank.fuse, p.Fuse))  # told once for all strings
    for fuse in fuses:
        rating = f"{fuse.rating_a:g} A {fuse.family}, {fuse.volt_max_v:g} V"
        assert shown.count(fuse.name) == sum(other is fuse for other in fuses)
        assert shown.count(rating) >= shown.count(fuse.name)


@pytest.mark.parametrize("key", ALL)
def test_every_slot_with_its_part_and_board(key: str) -> None:
    fit, _ = subject(key)
    for fitted in fit.build.fitted:
        assert any(fitted.slot in text.replace(",", " ").split() for text in texts(key)), fitted.slot
        assert said(key, fitted.part)
        assert said(key, f"on {fitted.board}")


@pytest.mark.parametrize("key", ALL)
def test_every_array_with_the_audits_figures(key: str) -> None:
    fit, found = subject(key)
    of = {(f.name, f.place): f.numbers[1] for f in found}
    for array in fit.build.arrays:
        volt, amps = of["string.ceiling", array.name], of.get(("string.short_circuit", array.name))
        factor = fit.case.rules["solar_current_factor"]
        strings = [array.panel, f"{array.series} in series,", f"{array.parallel} in parallel"]
        current = [f"{factor:g} x Isc = {amps} A"] if amps else []
        shown = texts(key)
        at = shown.index(array.name)
        assert shown[at + 1 : at + 4] == strings
        assert f"cold Voc {volt} V" in shown and all(line in shown for line in current)


@pytest.mark.parametrize("key", ALL)
def test_circuits_hang_on_the_side_that_feeds_them(key: str) -> None:
    fit, _ = subject(key)
    if not fit.case.brief.circuits:
        return
    sheet = mains(key)
    boxes = {text.text: text.box for text in sheet.texts()}
    for circuit in fit.case.brief.circuits:
        x = boxes[f"circuit {circuit.name}"].middle[0]
        side = boxes["hook-up side" if circuit.source == "hook_up" else "inverter side"]
        (bar,) = [bar for bar in bars(sheet) if bar.points[0][0] <= x <= bar.points[1][0]]
        assert bar.points[0][0] <= side.x0 <= side.x1 <= bar.points[1][0]


def test_fuses_stand_at_the_fuse_row_and_ammeters_beyond_them() -> None:
    """The bank drives a fault's current from there. Chargers stand left of the row, loads right."""
    sheet = drawn("as it is")
    placed = {text.text: text.box.middle for text in reversed(sheet.texts())}  # the first of a name is the drawing's
    meters = [text.box.middle for text in sheet.texts() if METER.fullmatch(text.text)]
    bus_x = placed["fuse_row, on locker.wall"][0]
    for run in ("alternator", "mains_charger", "dc_loads", "inverter"):
        x, y = placed[numbered(subject("as it is")[0], run)]
        left = run in ("alternator", "mains_charger")
        assert (x < bus_x) == left
        meter_x, wire_y = min((m for m in meters if (m[0] < bus_x) == left), key=lambda at: abs(at[1] - y))
        name = next(r.fuse for r in WORLD.build.runs if r.name == run)
        fuses = [text.box.middle for text in sheet.texts() if text.text == name]
        fuse_x, _ = min((f for f in fuses if (f[0] < bus_x) == left), key=lambda at: abs(at[1] - wire_y))
        assert abs(fuse_x - bus_x) < abs(meter_x - bus_x), run


def test_panels_on_the_alternator_charger_are_not_joined_to_its_feed() -> None:
    """They come in at an input of their own; two arrays of a regulator do join each other."""

    def joints(key: str) -> int:
        bus_x = next(t.box.middle[0] for t in drawn(key).texts() if t.text.startswith("fuse_row, "))
        return sum(x < bus_x - 2 for x, _ in dots(drawn(key)))

    assert joints("solar on the alternator charger") == 0
    assert joints("three arrays on two inputs") == 1


def test_from_the_fuse_row_to_the_bank_all_stands_in_the_order_of_the_current() -> None:
    """Tails, busbar, isolator and main run in a row; below them bank and main fuse, this at the end of the main run."""
    for key in ("as it is", *SHIPPED):
        placed = {text.text: text.box.middle for text in reversed(drawn(key).texts())}
        row = [placed[name][0] for name in ("tails of the runs", "busbar", "isolator", "R1 main")]
        assert row == sorted(row)
        assert placed["bank"][0] < placed["string 1"][0] < placed["main_fuse"][0]
        assert placed["main_fuse"][1] < placed["isolator"][1]
        pieces = wires(drawn(key))
        right_of = max(placed["R1 main"][0], placed["main_fuse"][0])
        (down,) = [a for a, b in pieces if a[0] == b[0] and a[0] > right_of]
        assert down[1] > placed["isolator"][1]  # from there down to the main fuse


# --- it is honest --------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ALL)
def test_cautions_and_who_decides(key: str) -> None:
    for sheet in sheets(key):
        words = " ".join(text.text for text in sheet.texts())
        for line in (*CAUTIONS, "Neutral-earth bond, earthing and mains protection: by a licensed electrician."):
            assert line in words
    assert said(key, "conformity is not claimed")


@pytest.mark.parametrize("key", ALL)
def test_the_sides_of_the_mains_box_are_not_joined(key: str) -> None:
    sides = [bar for sheet in sheets(key) for bar in bars(sheet)]
    assert len(sides) <= 2
    if len(sides) == 2:
        assert sides[0].points[1][0] + 5 < sides[1].points[0][0]


def test_no_changeover_is_invented() -> None:
    assert said("as it is", "The build has no changeover")  # a stand-alone inverter and hook-up at one mains box
    assert not said("inverter-charger", "The build has no changeover")
    assert said("inverter-charger", "transfer switch passes the mains on")
    assert said("inverter-charger", "transfer switch 16 A")


def test_what_is_missing_is_said() -> None:
    for key, slot in (("no regulator", "regulator_1"), ("no mains box", "mains_box")):
        shown = texts(key)
        assert shown[shown.index(slot) + 1] == "not in the build"
    shown = texts("no runs")
    assert shown[shown.index("main") + 1] == "not in the build"
    assert texts("no fuses").count("no fuse") == 7  # the runs that want one
    assert said("step-down at 12 V", "joined to nothing here: step_down, step-down-24")
    assert "no solar input" in texts("four arrays")
    assert "not called for" in texts("a run for nothing")
    assert "no entry in the build" in texts("no pass-through entry")


# --- it can be read ------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ALL)
def test_no_text_covers_another_or_a_symbol(key: str) -> None:
    for sheet in sheets(key):
        assert sheet.clashes() == []
        for text in sheet.texts():
            for box in sheet.solid:
                assert box.holds(text.box) or not box.meets(text.box), text.text


@pytest.mark.parametrize("key", ALL)
def test_symbols_stand_apart(key: str) -> None:
    for sheet in sheets(key):
        assert not [(a, b) for a, b in combinations(sheet.solid, 2) if a.meets(b)]


@pytest.mark.parametrize("key", ALL)
def test_no_wire_passes_through_a_text_or_a_symbol(key: str) -> None:
    for sheet in sheets(key):
        for start, end in wires(sheet):  # half a millimetre from any text
            assert start[0] == pytest.approx(end[0]) or start[1] == pytest.approx(end[1])  # upright or level
            for text in sheet.texts():
                assert not text.box.grown(0.5).crossed(start, end), text.text
            for box in sheet.solid:
                assert not box.grown(-EDGE_MM).crossed(start, end)


@pytest.mark.parametrize("key", ALL)
def test_wires_end_at_a_symbol_a_junction_or_a_corner(key: str) -> None:
    for sheet in sheets(key):
        pieces = wires(sheet)
        free = [bar.points for bar in bars(sheet)]
        joints = dots(sheet)
        for k, (start, end) in enumerate(pieces):
            for x, y in () if (start, end) in free else (start, end):
                near = Box(x, y, x, y).grown(0.01)
                at_symbol = any(box.meets(near) for box in sheet.solid)
                at_dot = any(near.grown(0.01).holds(Box(*dot, *dot)) for dot in joints)
                others = [other for j, other in enumerate(pieces) if j != k and near.crossed(*other)]
                corner = any((x, y) in other for other in others)
                assert at_symbol or at_dot or corner, (x, y)  # a wire that ends along another needs its dot


@pytest.mark.parametrize("key", ALL)
def test_wires_cross_only_at_junctions(key: str) -> None:
    for sheet in sheets(key):
        joints = dots(sheet)
        for one, other in combinations(wires(sheet), 2):
            level, upright = (one, other) if one[0][1] == one[1][1] else (other, one)
            x, y = upright[0][0], level[0][1]
            inside = min(level[0][0], level[1][0]) + 0.01 < x < max(level[0][0], level[1][0]) - 0.01
            inside = inside and min(upright[0][1], upright[1][1]) + 0.01 < y < max(upright[0][1], upright[1][1]) - 0.01
            if upright[0][0] == upright[1][0] and level[0][1] == level[1][1] and inside:
                assert any(abs(dx - x) + abs(dy - y) < 0.01 for dx, dy in joints), (x, y)


def test_nothing_loose_stands_where_the_main_run_goes_on_to_the_bank() -> None:
    """However much room there is: 8 + 4 mm a run and 6 mm between, so 30 mm hold two and a gap, 29.9 do not."""
    run, gap = Cable([]), Gap()
    assert filled([[run], [run]], [[run]], 30.0) == [[run], [run, gap, run]]
    assert filled([[run], [run]], [[run]], 29.9) == [[run], [run], [run]]
    assert filled([[run], [run]], [[run], [run]], 1000.0)[0] == [run]


@pytest.mark.parametrize("key", ["as it is", "inverter-charger", "24 V", "five circuits", *SHIPPED])
def test_it_fits_a3(key: str) -> None:
    assert [sheet.fits for sheet in sheets(key)] == [True, True]


@pytest.mark.parametrize("key", ["as it is", "inverter-charger", *SHIPPED])
def test_written_as_svg_and_dxf(key: str) -> None:
    for sheet in sheets(key):
        svg, wanted = to_svg(sheet), sorted(text.text for text in sheet.texts())
        shown = [text.text for text in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]
        space = read(StringIO(to_dxf(sheet))).modelspace()
        assert sorted(t for t in shown if t) == wanted
        assert sorted(t.dxf.text for t in space.query("TEXT")) == wanted


def test_kinds_of_cable_differ_without_colour() -> None:
    sheet = drawn("as it is")
    document = read(StringIO(to_dxf(sheet)))
    svg = to_svg(sheet)
    for dash, line in (("dashed", "PAPER_DASHED"), ("dotted", "PAPER_DOTTED")):
        drawn_so = [s for s in sheet.shapes if isinstance(s, Path) and s.dash == dash]
        lines = document.modelspace().query(f"LWPOLYLINE[linetype=='{line}']")
        assert drawn_so and len(lines) == len(drawn_so)
        # repeats every 1 to 4 mm of paper: neither one with the next nor a stroke at every end
        assert 1 <= document.header["$LTSCALE"] * document.linetypes.get(line).pattern_tags.tags[2].value <= 4
    assert svg.count('stroke-dasharray="2.2 1.2"') and svg.count('stroke-dasharray="0.3 1"')


@pytest.mark.parametrize("draw", NAMES, ids=lambda draw: getattr(draw, "__name__", "converter"))
def test_terminals_lie_on_the_edge_of_what_a_symbol_covers(draw: symbols.Draw) -> None:
    sheet = Sheet("k", "", 1)
    symbol = draw(sheet, 30, -20)
    assert symbol.terminals and symbol.box.holds(sheet.extent().grown(-0.05))
    for x, y in symbol.terminals.values():
        box = symbol.box
        assert x in (box.x0, box.x1) or y in (box.y0, box.y1)
        assert box.x0 <= x <= box.x1 and box.y0 <= y <= box.y1
