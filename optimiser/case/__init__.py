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
    DcCircuit,
    Generator,
    Inlet,
    Limits,
    Outline,
    PassThrough,
    Place,
    Portable,
    Preferences,
    Table,
    Together,
    Trailer,
    Van,
)
from optimiser.case.survey import (
    SPAN_COLUMNS,
    TABLES,
    Bay,
    Board,
    BoardFace,
    CableOpening,
    Climate,
    Existing,
    Face,
    Load,
    LoadSpan,
    NodePosition,
    Obstacle,
    OldPart,
    Scenario,
    Way,
    Zone,
)
from optimiser.rules import RuleFigure as RuleFigure
from optimiser.rules import RuleSet as RuleSet


def span_of(row: Load, number: int) -> LoadSpan:
    """What a row of a load says of its own."""
    return LoadSpan(load=row.name, number=number, **{column: getattr(row, column) for column in SPAN_COLUMNS})


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
    climate: tuple[Climate, ...] = ()  # of each month, or none
    old_parts: tuple[OldPart, ...] = ()  # that come out
    load_spans: tuple[LoadSpan, ...] = ()  # of loads with several, all but the first, which is the load's own row
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
    def load_rows(self) -> tuple[Load, ...]:
        """Each load once for each of its spans, as loads.csv has them: when something draws is asked of these.

        ``loads`` has each appliance once. No two spans of one are on at once.
        """
        return tuple(
            row
            for load in self.loads
            for row in (load, *(load.model_copy(update=span.own) for span in self._further(load.name)))
        )

    @cached_property
    def spans_of(self) -> dict[str, tuple[LoadSpan, ...]]:
        """Load -> its spans, the first among them; only of loads that have several."""
        further = {load.name: self._further(load.name) for load in self.loads}
        return {load.name: (span_of(load, 1), *further[load.name]) for load in self.loads if further[load.name]}

    def _further(self, load: str) -> tuple[LoadSpan, ...]:
        return tuple(span for span in self.load_spans if span.load == load)

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
