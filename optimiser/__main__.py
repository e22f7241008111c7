"""``python -m optimiser``, and the installed command."""

import os
import signal
import sys
import tempfile
from pathlib import Path

from optimiser import INTERRUPTED


def run() -> None:
    """The command line. Loading it takes a second or two, in which Ctrl-C must not end in a traceback either.

    An exception would not do: libraries that are interrupted while they load make other errors of it. Nothing
    is begun yet, so nothing is lost by leaving at once.
    """
    usual = signal.getsignal(signal.SIGINT)
    if usual is not signal.SIG_IGN:
        signal.signal(signal.SIGINT, lambda *_: os._exit(INTERRUPTED))
    _open_streams()
    with tempfile.TemporaryDirectory(prefix="optimiser-", ignore_cleanup_errors=True) as scratch:
        if not _usable_home():  # libraries read settings there as they load, and fail
            print("HOME cannot be used; nothing is read from it and nothing kept for later runs", file=sys.stderr)
            os.environ["HOME"] = scratch
        from optimiser.cli import main
        from optimiser.cli.reporting import heard

        if usual is not signal.SIG_IGN:
            signal.signal(signal.SIGINT, heard)
        try:
            main(prog_name="optimiser")
        finally:  # the exit code is settled
            signal.signal(signal.SIGINT, signal.SIG_IGN)


def _open_streams() -> None:
    """Closed standard streams lead nowhere; otherwise the next file to be opened would take their place."""
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free
    sys.stdout = sys.stdout or os.fdopen(1, "w", encoding="utf-8", closefd=False)
    sys.stderr = sys.stderr or os.fdopen(2, "w", encoding="utf-8", closefd=False)


def _usable_home() -> bool:
    home = os.path.expanduser("~")  # of the user where HOME is not set; as it stands if there is none
    return Path(home).is_absolute() and os.access(home, os.R_OK | os.X_OK)


if __name__ == "__main__":
    run()
