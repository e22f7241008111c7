"""The command line: arguments in, exit code out. No logic of its own."""

import click

from optimiser import __version__
from optimiser.cli.builds import audit, build
from optimiser.cli.cases import check, new
from optimiser.cli.commissioning import commission, expect
from optimiser.cli.comparing import compare
from optimiser.cli.explaining import explain
from optimiser.cli.packing import pack
from optimiser.cli.reference import parts, reference, rules
from optimiser.cli.sweeping import sweep
from optimiser.cli.year import year


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="optimiser")
def main() -> None:
    """Choose, place and prove off-grid power fit-outs of caravans and camper vans.

    CASE is a case folder, or the name of a case that comes with the program.
    """


for command in (
    new, check, build, compare, explain, sweep, audit, pack, expect, commission, year, parts, rules, reference
):  # fmt: skip
    main.add_command(command)
