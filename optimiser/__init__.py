"""Chooses, places and proves off-grid power fit-outs of caravans and camper vans."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from optimiser.version import VERSION

if TYPE_CHECKING:
    from optimiser.library import (
        addresses,
        audit,
        build,
        check,
        commission,
        compare,
        draw,
        expect,
        explain,
        list_parts,
        list_rules,
        look_up,
        new,
        pack,
        read,
        sweep,
        sweep_many,
        what_if,
        why_not,
        year,
    )

__all__ = [
    "FAULT", "INTERRUPTED", "__version__", "addresses", "audit", "build", "check", "commission", "compare", "draw",
    "expect", "explain", "list_parts", "list_rules", "look_up", "new", "pack", "read", "sweep", "sweep_many",
    "what_if", "why_not", "year",
]  # fmt: skip

__version__ = VERSION
INTERRUPTED = 130  # exit code of a Ctrl-C, as shells have it
FAULT = 70  # exit code of a failure of the program itself, as sysexits.h has it


def __getattr__(name: str) -> Any:
    """The library, loaded when it is first asked for: `optimiser.read` and the others of `optimiser.library`."""
    if name in __all__:
        from optimiser import library

        return getattr(library, name)
    raise AttributeError(f"module 'optimiser' has no attribute {name!r}")
