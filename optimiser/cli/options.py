"""Options that several commands take."""

from __future__ import annotations

from collections.abc import Callable
from math import isfinite
from typing import Any, TypeVar

import click
from click.shell_completion import CompletionItem

from optimiser import pipeline
from optimiser.measures import MEASURES
from optimiser.solve import Measures

F = TypeVar("F", bound=Callable[..., Any])


def _cases(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Shipped cases, and folders."""
    names = [name for name in pipeline.shipped_names() if name.startswith(begun)]
    return [*map(CompletionItem, names), CompletionItem(begun, type="dir")]


case_argument = click.argument("case", shell_complete=_cases)
catalogue_option = click.option(
    "--catalogue",
    "catalogues",
    multiple=True,
    metavar="DIR",
    help=f"Catalogue folder in place of the shipped one ('{pipeline.SHIPPED}' names that). Given again, later "
    "folders are laid over it, adding parts or replacing them by name.",
)
json_flag = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
quiet_flag = click.option("--quiet", is_flag=True, help="Tell no progress on stderr.")
seed_option = click.option(
    "--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Of the solver."
)
workers_option = click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=2,
    show_default=True,
    help="Searches side by side. Beyond two they only improve what was found, and more than cores make it slower.",
)


class Command(click.Command):
    """A command whose options are given once each, save those that may be repeated: of two values one is a slip."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        _, _, given = self.make_parser(ctx).parse_args(args=list(args))
        for option in given:
            if isinstance(option, click.Option) and not option.multiple and given.count(option) > 1:
                raise click.UsageError(f"{option.opts[0]} is given {given.count(option)} times; expected it once", ctx)
        return super().parse_args(ctx, args)


class Finite(click.FloatRange):
    """A number within a range; ``nan`` is within none, though no comparison says so."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        number = super().convert(value, param, ctx)
        if not isfinite(number):
            self.fail(f"{value!r} is not a number; expected {self._describe_range()}", param, ctx)
        return number


def seconds_option(default: float, help: str) -> Callable[[F], F]:
    """The time limit."""
    return click.option("--seconds", type=Finite(min=1), default=default, show_default=True, help=help)


def two_measures(ctx: click.Context, param: click.Parameter, value: str) -> Measures:
    """Two different measures with a comma between."""
    names = [name.strip() for name in value.split(",")]
    known = [name for name in MEASURES if name in names]
    if len(names) != 2 or len(known) != 2:
        raise click.BadParameter(f"{value!r}; expected two of {', '.join(MEASURES)} with a comma between")
    first, second = sorted(known, key=names.index)
    return first, second
