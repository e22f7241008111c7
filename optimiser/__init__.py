"""Chooses, places and proves off-grid power fit-outs of caravans and camper vans."""

__version__ = "0.1.0"
INTERRUPTED = 130  # exit code of a Ctrl-C, as shells have it
FAULT = 70  # exit code of a failure of the program itself, as sysexits.h has it
