"""The options as points of cost and mass: a picture that says what it shows without colour or script."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape
from math import ceil, floor, log10

from optimiser.pack.options import Option
from optimiser.units import CENTS, GRAMS

WIDTH, HEIGHT = 720, 400  # of the picture; it grows and shrinks with the page
_LEFT, _RIGHT, _TOP, _BOTTOM = 90, 30, 34, 62
_TICKS = 5

At = Callable[[float, float], tuple[float, float]]
"""Cost and mass -> where on the picture."""


def chart(options: Sequence[Option], currency: str) -> str:
    """One ``svg``: a ring for each option, a filled one for the pack's own build, its number beside it."""
    costs = [option.worth.cents / CENTS for option in options]
    masses = [option.worth.grams / GRAMS for option in options]
    x_ticks, y_ticks = ticks(min(costs), max(costs)), ticks(min(masses), max(masses))

    def at(cost: float, mass: float) -> tuple[float, float]:
        x = (cost - x_ticks[0]) / (x_ticks[-1] - x_ticks[0])
        y = (mass - y_ticks[0]) / (y_ticks[-1] - y_ticks[0])
        return _LEFT + x * (WIDTH - _LEFT - _RIGHT), HEIGHT - _BOTTOM - y * (HEIGHT - _TOP - _BOTTOM)

    parts = [*_grid(x_ticks, y_ticks, at, currency), *_points(options, costs, masses, at)]
    told = "; ".join(
        f"option {option.number}: {cost:.2f} {currency}, {mass:.3f} kg"
        for option, cost, mass in zip(options, costs, masses, strict=True)
    )
    return (
        f'<svg class="chart" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-labelledby="chart-title chart-desc"><title id="chart-title">Options by cost and mass</title>'
        f'<desc id="chart-desc">{escape(told)}</desc>{"".join(parts)}</svg>'
    )


def ticks(low: float, high: float) -> list[float]:
    """Round values that take in both ends, at least two of them."""
    span = high - low or max(abs(high), 1.0) * 0.1
    raw = span / _TICKS
    unit = 10 ** floor(log10(raw))
    step = unit * next(m for m in (1, 2, 5, 10) if m * unit >= raw)
    first, last = floor(low / step), ceil(high / step)
    if first == last:
        first, last = first - 1, last + 1
    return [k * step for k in range(first, last + 1)]


def _grid(x_ticks: Sequence[float], y_ticks: Sequence[float], at: At, currency: str) -> Iterator[str]:
    decimals_x, decimals_y = _decimals(x_ticks), _decimals(y_ticks)
    for cost in x_ticks:
        x, y = at(cost, y_ticks[0])
        yield f'<path class="grid" d="M{x:.1f} {_TOP} V{y:.1f}"/>'
        yield f'<text x="{x:.1f}" y="{y + 20:.1f}" text-anchor="middle">{cost:.{decimals_x}f}</text>'
    for mass in y_ticks:
        x, y = at(x_ticks[0], mass)
        yield f'<path class="grid" d="M{x:.1f} {y:.1f} H{WIDTH - _RIGHT}"/>'
        yield f'<text x="{x - 8:.1f}" y="{y + 5:.1f}" text-anchor="end">{mass:.{decimals_y}f}</text>'
    middle = (_LEFT + WIDTH - _RIGHT) / 2
    yield f'<text x="{middle:.1f}" y="{HEIGHT - 14}" text-anchor="middle">cost, {escape(currency)}</text>'
    yield f'<text x="{_LEFT - 60}" y="20">mass of the fit-out, kg</text>'


def _points(
    options: Sequence[Option], costs: Sequence[float], masses: Sequence[float], at: At
) -> Iterator[str]:
    placed: list[tuple[float, float]] = []
    for option, cost, mass in zip(options, costs, masses, strict=True):
        x, y = at(cost, mass)
        kind = "point own" if option.chosen else "point"
        yield (
            f'<g class="{kind}" data-option="{option.number}"><title>option {option.number}</title>'
            f'<circle class="reach" cx="{x:.1f}" cy="{y:.1f}" r="14"/><circle cx="{x:.1f}" cy="{y:.1f}" r="6"/></g>'
        )
        spot = (x + 10, y - 9)
        if all(abs(spot[0] - a) > 22 or abs(spot[1] - b) > 15 for a, b in placed):
            placed.append(spot)
            yield f'<text class="number" x="{spot[0]:.1f}" y="{spot[1]:.1f}">{option.number}</text>'


def _decimals(values: Sequence[float]) -> int:
    step = values[1] - values[0]
    return max(0, -floor(log10(step) + 1e-9))
