"""The options as points of cost and mass: a picture that says what it shows without colour or script."""

from collections.abc import Callable, Iterator, Sequence
from html import escape
from math import ceil, floor, hypot, log10

from optimiser.packing.options import Option
from optimiser.units import CENTS, GRAMS

WIDTH, HEIGHT = 720, 400  # of the picture; it grows and shrinks with the page
_LEFT, _RIGHT, _TOP, _BOTTOM = 90, 84, 48, 62
_TICKS = 5
_APART = 13  # points nearer than that cover each other
_LONG, _HIGH = 68, 15  # of the longest number, "12 to 14"

Spot = tuple[float, float]
At = Callable[[float, float], Spot]
"""Cost and mass -> where on the picture."""


def chart(options: Sequence[Option], currency: str) -> str:
    """One ``svg``: a ring for each option or stack of nearly equal ones, filled for the pack's own, numbers beside."""
    costs = [option.worth.cents / CENTS for option in options]
    masses = [option.worth.grams / GRAMS for option in options]
    x_ticks, y_ticks = ticks(min(costs), max(costs)), ticks(min(masses), max(masses))

    def at(cost: float, mass: float) -> Spot:
        x = (cost - x_ticks[0]) / (x_ticks[-1] - x_ticks[0])
        y = (mass - y_ticks[0]) / (y_ticks[-1] - y_ticks[0])
        return _LEFT + x * (WIDTH - _LEFT - _RIGHT), HEIGHT - _BOTTOM - y * (HEIGHT - _TOP - _BOTTOM)

    spots = [at(cost, mass) for cost, mass in zip(costs, masses, strict=True)]
    parts = [*_grid(x_ticks, y_ticks, at, currency), *_points(options, spots)]
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


def _points(options: Sequence[Option], spots: Sequence[Spot]) -> Iterator[str]:
    """A ring for each stack; the pack's own build is filled, its stack drawn last."""
    found = sorted(stacks(spots), key=lambda stack: any(options[k].chosen for k in stack))
    placed: list[Spot] = []
    for stack in found:
        x, y = spots[stack[0]]
        numbers = [options[k].number for k in stack]
        words = _words(numbers)
        kind = "point own" if any(options[k].chosen for k in stack) else "point"
        yield (
            f'<g class="{kind}" data-options="{" ".join(map(str, numbers))}"><title>option {words}</title>'
            f'<circle class="reach" cx="{x:.1f}" cy="{y:.1f}" r="14"/><circle cx="{x:.1f}" cy="{y:.1f}" r="6"/></g>'
        )
        free = (s for s in _beside(x, y) if all(abs(s[0] - a) > _LONG or abs(s[1] - b) > _HIGH for a, b in placed))
        if spot := next(free, None):
            placed.append(spot)
            yield f'<text class="number" x="{spot[0]:.1f}" y="{spot[1]:.1f}">{words}</text>'


def _words(numbers: Sequence[int]) -> str:
    if numbers[-1] - numbers[0] == len(numbers) - 1 > 0:
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))


def _beside(x: float, y: float) -> tuple[Spot, ...]:
    """Where its number may stand."""
    return (x + 16, y - 9), (x + 16, y + 18), (x + 16, y - 26)


def stacks(spots: Sequence[Spot]) -> list[list[int]]:
    """Places of options that would cover each other, together."""
    found: list[list[int]] = []
    for place, (x, y) in enumerate(spots):
        near = (s for s in found if hypot(x - spots[s[0]][0], y - spots[s[0]][1]) < _APART)
        if stack := next(near, None):
            stack.append(place)
        else:
            found.append([place])
    return found


def _decimals(values: Sequence[float]) -> int:
    step = values[1] - values[0]
    return max(0, -floor(log10(step) + 1e-9))
