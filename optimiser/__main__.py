"""``python -m optimiser``, and the installed command."""

import os
import signal

from optimiser import INTERRUPTED


def run() -> None:
    """The command line. Loading it takes a second or two, in which Ctrl-C must not end in a traceback either.

    An exception would not do: libraries that are interrupted while they load make other errors of it. Nothing
    is begun yet, so nothing is lost by leaving at once.
    """
    usual = signal.getsignal(signal.SIGINT)
    if usual is not signal.SIG_IGN:
        signal.signal(signal.SIGINT, lambda *_: os._exit(INTERRUPTED))
    from optimiser.cli import main

    signal.signal(signal.SIGINT, usual)
    main(prog_name="optimiser")


if __name__ == "__main__":
    run()
