"""The picture of cost and mass: which way its axes go, and that a point reads off its marks what the audit has."""

import re
from dataclasses import dataclass
from xml.etree import ElementTree

import pytest

from optimiser.fitted import cost_and_mass
from optimiser.packing.options import options
from optimiser.packing.page.chart import chart
from tests.packed_help import compared, inputs
from tests.packing_help import SOLVED, WANTS, shipped

_SVG = "{http://www.w3.org/2000/svg}"
_LINES = {"x": r"M([\d.]+) [\d.]+ V[\d.]+", "y": r"M[\d.]+ ([\d.]+) H[\d.]+"}


@dataclass(frozen=True)
class _Picture:
    """Middles of the points by option; and by axis where each mark's line is, with the figure that stands at it."""

    points: dict[int, tuple[float, float]]
    marks: dict[str, list[tuple[float, float]]]

    def read(self, axis: str, at: float) -> float:
        """What an axis says at a place, by its first and last mark."""
        (a, low), (b, high) = self.marks[axis][0], self.marks[axis][-1]
        return low + (at - a) / (b - a) * (high - low)


def _drawn(name: str) -> _Picture:
    root = ElementTree.fromstring(chart(options(inputs(name), shipped(name).build, compared(name), {}), "cu"))
    points = {
        int(number): (float(circle.get("cx", "")), float(circle.get("cy", "")))
        for group in root.iter(f"{_SVG}g")
        for circle in group.iter(f"{_SVG}circle")
        for number in (group.get("data-options") or "").split()
    }
    lines = [path.get("d") or "" for path in root.iter(f"{_SVG}path") if path.get("class") == "grid"]
    texts = [text for text in root.iter(f"{_SVG}text") if re.fullmatch(r"[\d.]+", text.text or "")]
    marks = {}
    for axis, anchor in (("x", "middle"), ("y", "end")):
        figures = [(float(t.get(axis, "")), float(t.text or "")) for t in texts if t.get("text-anchor") == anchor]
        places = [float(found[1]) for line in lines if (found := re.fullmatch(_LINES[axis], line))]
        assert len(places) == len(figures)
        near = [min(figures, key=lambda figure: abs(figure[0] - place)) for place in places]
        assert all(abs(at - place) < 10 for (at, _), place in zip(near, places, strict=True))
        marks[axis] = [(place, figure) for place, (_, figure) in zip(places, near, strict=True)]
    return _Picture(points, marks)


def test_what_costs_more_is_further_right_and_what_weighs_more_further_up() -> None:
    """Option 1 of the trailer is the cheapest, 3052.21 and 47.520 kg, option 2 the lightest, 3087.39 and 36.802 kg."""
    picture = _drawn("tiny-trailer")

    (cheap_x, heavy_y), (dear_x, light_y) = picture.points[1], picture.points[2]
    assert cheap_x < dear_x
    assert heavy_y < light_y  # y of a picture goes down


@pytest.mark.parametrize("name", SOLVED)
def test_a_point_reads_off_the_marks_what_the_audit_finds(name: str) -> None:
    picture = _drawn(name)

    for number, want in enumerate(WANTS, start=1):
        fit, (x, y) = shipped(name, want), picture.points[number]
        its = cost_and_mass(fit.case, fit.catalogue, fit.build)
        tenth_of_a_dot = [0.1 * abs(m[-1][1] - m[0][1]) / abs(m[-1][0] - m[0][0]) for m in picture.marks.values()]
        assert picture.read("x", x) == pytest.approx(its.cents / 100, abs=tenth_of_a_dot[0])
        assert picture.read("y", y) == pytest.approx(its.grams / 1000, abs=tenth_of_a_dot[1])


@pytest.mark.parametrize("name", SOLVED)
def test_marks_between_the_first_and_the_last_stand_where_their_figures_are(name: str) -> None:
    picture = _drawn(name)

    for axis, marks in picture.marks.items():
        for at, figure in marks:
            assert picture.read(axis, at) == pytest.approx(figure, rel=1e-3)
