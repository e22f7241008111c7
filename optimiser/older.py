"""Files written for an earlier version: what was called otherwise then, and what they had no place for.

Each is read as what it meant, with a note of the word of today. What an old file does not say is taken on the safe
side, or from the shipped rule sets, and the note says what was taken.
"""

from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path


class OlderFile(UserWarning):
    """Something was read that an earlier version wrote otherwise."""


@dataclass(frozen=True)
class Older:
    """How one table was written before. It is an old one if an old name heads it, or none of the columns that came at
    one time does."""

    renamed: dict[str, str] = field(default_factory=dict)  # old header -> the header of today
    unknown: tuple[str, ...] = ()  # newer columns whose cells are 0, the safe side, where they are not known
    defaults: tuple[dict[str, str], ...] = ()  # newer columns that may be left out -> what they are then, by when

    def wrote(self, header: Collection[str]) -> bool:
        """Whether a table of these headers is an old one."""
        return not self.renamed.keys().isdisjoint(header) or any(new.keys().isdisjoint(header) for new in self.defaults)


_BODY = {"stands": "orientations", "turns": "rotatable"}
_TERMINALS = {"terminal_sides": "not known, so anywhere on the body"}
_MAINS = {"mains_side": "not known, so anywhere on the body"}

TABLES: dict[str, Older] = {
    "zones": Older({"light": "roof_plane"}),
    "bays": Older({"lead_mm": "cable_allowance_mm"}),
    "boards": Older({"skin": "outside_wall"}),
    # One figure without its voltage: what a fuse breaks at 14 V it need not break at 29 V.
    "fuses": Older({"breaking_a": "breaking_12v_a"}, unknown=("breaking_24v_a", "breaking_48v_a")),
    "cables": Older(defaults=({"duct_ampacity_a": "three quarters of ampacity_a"},)),
    "modules": Older(
        _BODY,
        defaults=(
            {
                "charge_max_c": "45",
                "cold_charge_a": "a fifth of capacity_ah",
                "heater_w": "0, so add what heated modules draw",
                "capacity_0c_pct": "80",
                "capacity_minus_20c_pct": "50",
            },
            _TERMINALS,
        ),
    ),
    **dict.fromkeys(("displays", "switches"), Older(_BODY)),
    **dict.fromkeys(
        ("alternator_chargers", "busbars", "holders", "isolators", "regulators", "shunts", "step_downs"),
        Older(_BODY, defaults=(_TERMINALS,)),
    ),
    **dict.fromkeys(
        ("inverter_chargers", "inverters", "mains_chargers"), Older(_BODY, defaults=(_TERMINALS | _MAINS,))
    ),
    "mains_boxes": Older(_BODY, defaults=(_MAINS,)),
}  # fmt: skip
"""Case table or catalogue file (without .csv) -> how it was written before."""

FIGURES = (
    "tail_distance_mm", "module_fuse_from_ah", "terminal_c", "solar_continuous_factor", "parallel_share",
    "road_speed_km_h", "gust_km_h", "roof_suction", "fixing_safety", "glue_stress_n_mm2", "restraint_along_g",
    "restraint_across_g", "bend_of_outside",
)  # fmt: skip
"""Figures that rule sets had not before. A set without any of them is an old one."""

LATER_FIGURES = ("end_mm",)
"""Likewise, of a later version."""

FILES = {"keep.csv": "existing.csv", "spots.csv": "node_positions.csv"}
"""File of a case as it was called -> what it is called now."""

BUILD: dict[str, dict[str, str]] = {
    "arrays": {"light": "roof_plane"},
    "panels": {"turned": "rotated"},
    "fitted": {"stance": "orientation", "turned": "rotated", "kept": "existing"},
}
"""List of a build file -> key of its rows as it was -> the key of today."""

SLOTS = {"measuring_row": "shunt_row"}
REQUIREMENTS = {
    "entry.skin": "entry.outside_wall",
    "bay.stands": "bay.orientation",
    "charge.wanted": "charge.asked_for",
}

NOW = {
    old: new
    for names in (*(table.renamed for table in TABLES.values()), FILES, *BUILD.values(), SLOTS, REQUIREMENTS)
    for old, new in names.items()
} | {Path(old).stem: Path(new).stem for old, new in FILES.items()}
"""Every name of an earlier version -> the name of today."""


def file_of(folder: Path, name: str) -> Path:
    """A file of a case; by the name of an earlier version where there is none of today's."""
    path = folder / name
    old = next((folder / old for old, new in FILES.items() if new == name), path)
    return old if old.exists() and not path.is_symlink() and not path.exists() else path


def today(table: str, header: list[str]) -> tuple[list[str], list[str], str]:
    """Headers of a table by the names of today, the cells that each row of an old one has to be given, and a note."""
    older = TABLES.get(table)
    if older is None or not older.wrote(header):
        return header, [], ""
    renamed = {old: new for old, new in older.renamed.items() if old in header and new not in header}
    header = [renamed.get(name, name) for name in header]
    unknown = [name for name in older.unknown if name not in header]
    taken = dict.fromkeys(unknown, "0, as it is not known")
    for new in older.defaults:
        taken |= new
    says = [f"{name} is taken as {what}" for name, what in taken.items() if name not in header]
    return [*header, *unknown], ["0"] * len(unknown), noted(renamed, *says)


def noted(renamed: dict[str, str], *taken: str) -> str:
    """What to say of old names that were read, and of what was taken for what was not said."""
    return f"written for an earlier version: {'; '.join([*(f'{o} is {n} now' for o, n in renamed.items()), *taken])}"
