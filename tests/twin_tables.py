"""What the tiny worlds of `twins` are made of: decisions, and which of them belong to which slot and run."""

from collections.abc import Iterator
from typing import Any

Values = dict[str, Any]  # decision -> value
Corners = dict[str, tuple[int, int]]
Corner = tuple[int, int]

ABSENT = None
ROWS = ("fuse_row", "shunt_row")
SLOTS = ("bank", "main_fuse", "isolator", "busbar", "display", "regulator_1", "inverter", "switch", "mains_box", *ROWS)
OF_INVERTER = ("inverter", "switch", "mains_box", "inverter_out")
TABLES = {
    "isolator": "isolators", "busbar": "busbars", "display": "displays", "regulator_1": "regulators",
    "inverter": "inverters", "switch": "switches", "mains_box": "mains_boxes",
}  # fmt: skip
ENDS = {  # run -> the slots it goes between; points and entries have names of the case
    "main": ("bank", "busbar"),
    "inverter": ("busbar", "inverter"),
    "inverter_out": ("inverter", "mains_box"),
    "regulator_1": ("regulator_1", "busbar"),
    "solar_array_1": ("@roof", "regulator_1"),
    "dc_loads": ("busbar", "@loads"),
    "display": ("busbar", "display"),
    "switch": ("inverter", "switch"),
}
LINES = {  # run -> what its cores go by
    "inverter": (("busbar", "fuse_row", "inverter"), ("busbar", "shunt_row", "inverter")),
    "main": (("bank", "main_fuse", "isolator", "busbar"), ("bank", "busbar")),
    "inverter_out": (("inverter", "mains_box"),),
    "regulator_1": (("regulator_1", "fuse_row", "busbar"), ("regulator_1", "busbar")),
    "solar_array_1": (),  # see `_lines`
    "dc_loads": (("busbar", "fuse_row"), ("busbar", "shunt_row")),
    "display": (("shunt_row", "display"),),
    "switch": (("inverter", "switch"),),
}
ENDS_TO_MAKE = {  # of all its cores, those of arrays and of main without what `_more_ends` adds
    **{"main": 6, "inverter": 8, "inverter_out": 2, "regulator_1": 6, "solar_array_1": 4, "dc_loads": 8},
    **{"display": 2, "switch": 2},
}
SAGGING = ("cable:main", "cable:inverter", "bank@", "busbar@", "inverter@")
MEASURED = ("inverter", "regulator_1", "solar_array_1", "dc_loads")
FUSED = ("main", "inverter", "regulator_1", "dc_loads")
PARTS_OF_RUN = {  # whose currents and terminals it has
    "main": {"bank", "inverter", "regulator_1", "isolator", "busbar"},
    "inverter": {"inverter", "busbar"},
    "inverter_out": {"inverter", "mains_box"},
    "regulator_1": {"regulator_1", "busbar"},
    "solar_array_1": {"array", "regulator_1"},
    "dc_loads": {"busbar"},
}
VALUES_BY = {  # decisions that say what the values of another are
    "bank@": {"bank"},
    **{name: {"array"} for name in ("regulator_1", "regulator_1@", "gland")},
    **{name: {"array"} for name in ("fuse:regulator_1", "cable:regulator_1", "cable:solar_array_1")},
}


def chains(pairs: list[tuple[str, str]]) -> Iterator[tuple[str, ...]]:
    """Neighbours in line, joined where one ends as the next begins."""
    line: tuple[str, ...] = ()
    for one, other in pairs:
        if line and line[-1] != one:
            yield line
            line = ()
        line = (*line, other) if line else (one, other)
    if line:
        yield line
