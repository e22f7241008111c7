"""``python -m optimiser``, and the installed command."""

import sys

from optimiser import INTERRUPTED


def run() -> None:
    """The command line. Loading it takes a second or two, in which Ctrl-C must not end in a traceback either."""
    try:
        from optimiser.cli import main

        main(prog_name="optimiser")
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)


if __name__ == "__main__":
    run()
