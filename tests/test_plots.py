"""Plots: they read without colour, nothing covers anything, ids are their own."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import combinations
from typing import Any

import matplotlib
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from optimiser.plots import plots
from optimiser.plots.style import COLOURS, INK, QUIET, WIDTH_MM, look, text_mm, wrapped
from tests.plots_help import LONG, drawn, every, made, one, subject, texts

LEAST_TEXT_MM = 2.5


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
