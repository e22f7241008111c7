"""Options that several commands take."""

from collections.abc import Callable
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

import click
from click.shell_completion import CompletionItem

from optimiser import library

F = TypeVar("F", bound=Callable[..., Any])
PATH = click.Path(path_type=Path)


def _cases(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    """Shipped cases, and folders."""
    names = [name for name in library.shipped_names() if name.startswith(begun)]
    return [*map(CompletionItem, names), CompletionItem(begun, type="dir")]


case_argument = click.argument("case", shell_complete=_cases)
cases_argument = click.argument("cases", metavar="CASE...", nargs=-1, required=True, shell_complete=_cases)
build_argument = click.argument("build_file", metavar="BUILD.json", type=PATH)
catalogue_option = click.option(
    "--catalogue",
    "catalogues",
    multiple=True,
    metavar="DIR",
    help=f"Catalogue folder in place of the shipped one ('{library.SHIPPED}' names that). Given again, later "
    "folders are laid over it, adding parts or replacing them by name.",
)
json_flag = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")


def showing(command: F) -> F:
    """How to show what is found, and the catalogue it is found from."""
    return json_flag(catalogue_option(command))


def searching(help: str, workers: int = 2) -> Callable[[F], F]:
    """Likewise of a search, with its time limit, seed and workers."""
    options = (
        json_flag,
        click.option("--seconds", type=Finite(min=1), default=300, show_default=True, help=help),
        click.option("--quiet", is_flag=True, help="Print no progress on stderr."),
        click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Of the solver."),
        click.option(
            "--workers",
            type=click.IntRange(1, 64),
            default=workers,
            show_default=True,
            help="Searches side by side. Beyond two they only improve what was found, and more than cores make it "
            "slower.",
        ),
        catalogue_option,
    )

    def add(command: F) -> F:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def place_of(out: Path | None, case: str, cases: tuple[str, ...], ending: str = "") -> Path | None:
    """Where to write for a case: there, or of several in that folder by the name of each."""
    if out is None or len(cases) == 1:
        return out
    names = [Path(one).resolve().name for one in cases]
    if len(set(names)) < len(names):
        raise click.UsageError("two of the cases have one name; expected names apart, to write by")
    return out / f"{Path(case).resolve().name}{ending}"


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


def two_percents(ctx: click.Context, param: click.Parameter, value: str | None) -> tuple[float, float] | None:
    """Two percentages with a comma between."""
    if value is None:
        return None
    try:
        first, second = map(float, value.split(","))
    except ValueError:
        first = second = -1.0
    if not (0 <= first < 100 and 0 <= second < 100):
        raise click.BadParameter(f"{value!r}; expected two percentages below 100 with a comma between, as 0.2,1")
    return first, second


def how_far_apart(command: F) -> F:
    """How much of a front; one of the three."""
    for option in (
        click.option("--all", "whole", is_flag=True, help="All that none beats in both, however near each other."),
        click.option(
            "--points", type=click.IntRange(min=2), metavar="N",
            help="So many instead, evenly apart in the second measure, both ends among them.",
        ),
        click.option(
            "--apart", callback=two_percents, metavar="FIRST,SECOND",
            help="What is too little to choose by, in percent of each measure; 0.2 of the cost and 1 of any other if "
            "left out.",
        ),
    ):  # fmt: skip
        command = option(command)
    return command


def one_extent(points: int | None, apart: tuple[float, float] | None, whole: bool) -> None:
    """Refuse more than one of the three."""
    if sum((points is not None, apart is not None, whole)) > 1:
        raise click.UsageError("--apart, --points, --all: expected one of the three")


def two_measures(ctx: click.Context, param: click.Parameter, value: str) -> library.Measures:
    """Two different measures with a comma between."""
    names = [name.strip() for name in value.split(",")]
    known = [name for name in library.MEASURES if name in names]
    if len(names) != 2 or len(known) != 2:
        raise click.BadParameter(f"{value!r}; expected two of {', '.join(library.MEASURES)} with a comma between")
    first, second = sorted(known, key=names.index)
    return first, second
