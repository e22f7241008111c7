"""Files written for an earlier version: what was called otherwise then, and what they had no place for.

Each is read as what it meant, with a note of the word of today. What an old file does not say is taken on the safe
side, or from the shipped rule sets, and the note says what was taken.
"""

from collections.abc import Collection
from dataclasses import dataclass, field

from optimiser.reading.problems import Gathered


class OlderFile(UserWarning):
    """Something was read that an earlier version wrote otherwise."""


@dataclass(frozen=True)
class Older:
    """How one table was written before. It is an old one if an old name heads it or, without such, no newer column."""

    renamed: dict[str, str] = field(default_factory=dict)  # old header -> the header of today
    unknown: tuple[str, ...] = ()  # newer columns whose cells are 0, the safe side, where they are not known
    defaults: dict[str, str] = field(default_factory=dict)  # newer column that may be left out -> what it is then

    def wrote(self, header: Collection[str]) -> bool:
        """Whether a table of these headers is an old one."""
        newer = {*self.unknown, *self.defaults}
        return not self.renamed.keys().isdisjoint(header) or (not self.renamed and newer.isdisjoint(header))


TABLES: dict[str, Older] = {
    "zones": Older({"light": "roof_plane"}),
    "bays": Older({"lead_mm": "cable_allowance_mm"}),
    "boards": Older({"skin": "outside_wall"}),
    # One figure without its voltage: what a fuse breaks at 14 V it need not break at 29 V.
    "fuses": Older({"breaking_a": "breaking_12v_a"}, unknown=("breaking_24v_a", "breaking_48v_a")),
    "cables": Older(defaults={"duct_ampacity_a": "three quarters of ampacity_a"}),
    "modules": Older(
        defaults={
            "charge_max_c": "45",
            "cold_charge_a": "a fifth of capacity_ah",
            "heater_w": "0, so add what heated modules draw",
            "capacity_0c_pct": "80",
            "capacity_minus_20c_pct": "50",
        }
    ),
}
"""Case table or catalogue file (without .csv) -> how it was written before."""

FIGURES = (
    "tail_distance_mm", "module_fuse_from_ah", "terminal_c", "solar_continuous_factor", "parallel_share",
    "road_speed_km_h", "gust_km_h", "roof_suction", "fixing_safety", "glue_stress_n_mm2", "restraint_along_g",
    "restraint_across_g", "bend_of_outside",
)  # fmt: skip
"""Figures that rule sets had not before. A set without any of them is an old one."""


def today(table: str, file: str, line: int, header: list[str], problems: Gathered) -> tuple[list[str], list[str]]:
    """Headers of a table by the names of today, and the cells that each row of an old one has to be given."""
    older = TABLES.get(table)
    if older is None or not older.wrote(header):
        return header, []
    renamed = {old: new for old, new in older.renamed.items() if old in header and new not in header}
    header = [renamed.get(name, name) for name in header]
    unknown = [name for name in older.unknown if name not in header]
    taken = dict.fromkeys(unknown, "0, as it is not known") | older.defaults
    says = [f"{old} is {new} now" for old, new in renamed.items()]
    says += [f"{name} is taken as {what}" for name, what in taken.items() if name not in header]
    problems.note(file, line, "", f"written for an earlier version: {'; '.join(says)}")
    return [*header, *unknown], ["0"] * len(unknown)
