"""A case: the brief and the survey of one vehicle, as read from its folder.

Coordinates are in mm: x forward from the rear of the vehicle, y to the left from the centre line, z up.
"""

from dataclasses import dataclass
from functools import cached_property

from optimiser.case.brief import (
    ANYWHERE,
    CONTROLS,
    Alternator,
    Brief,
    Choice,
    Circuit,
    Inlet,
    Limits,
    Outline,
    PassThrough,
    Place,
    Portable,
    Preferences,
    Table,
    Trailer,
    Van,
)
from optimiser.case.survey import (
    TABLES,
    Bay,
    Board,
    BoardFace,
    CableOpening,
    Existing,
    Face,
    Load,
    NodePosition,
    Obstacle,
    Scenario,
    Way,
    Zone,
)
from optimiser.rules import RuleFigure as RuleFigure
from optimiser.rules import RuleSet as RuleSet


@dataclass(frozen=True)
class Case:
    """Brief and survey of one vehicle."""

    name: str
    brief: Brief
    rules: RuleSet
    loads: tuple[Load, ...]
    scenarios: tuple[Scenario, ...]
    zones: tuple[Zone, ...]
    obstacles: tuple[Obstacle, ...]
    bays: tuple[Bay, ...]
    boards: tuple[Board, ...]
    ways: tuple[Way, ...]
    existing: tuple[Existing, ...]
    node_positions: tuple[NodePosition, ...] = ()
    cable_openings: tuple[CableOpening, ...] = ()
    notes: tuple[str, ...] = ()  # of files that an earlier version wrote otherwise

    @property
    def limits(self) -> Limits:
        """Short for ``brief.limits``."""
        return self.brief.limits

    @property
    def preferences(self) -> Preferences:
        """Short for ``brief.preferences``."""
        return self.brief.preferences

    @property
    def towed(self) -> bool:
        """Whether it is fed from a towing vehicle's plug, not from a starter battery of its own."""
        return isinstance(self.brief.vehicle, Trailer)

    @cached_property
    def roof_planes(self) -> dict[str, tuple[Zone, ...]]:
        """Roof plane -> its zones."""
        return {zone.roof_plane: tuple(z for z in self.zones if z.roof_plane == zone.roof_plane) for zone in self.zones}

    @cached_property
    def bay_of(self) -> dict[str, Bay]:
        """Bay name -> bay."""
        return {bay.name: bay for bay in self.bays}

    @cached_property
    def board_of(self) -> dict[str, Board]:
        """``bay.board`` -> board."""
        return {board.place: board for board in self.boards}

    @cached_property
    def opening_of(self) -> dict[tuple[str, str], CableOpening]:
        """Bay and way -> where the way comes in, as far as that is surveyed."""
        return {(opening.bay, opening.way): opening for opening in self.cable_openings}

    def circuits_from(self, source: str) -> tuple[str, ...]:
        """Names of the mains circuits fed from ``source``."""
        return tuple(c.name for c in self.brief.circuits if c.source == source)
