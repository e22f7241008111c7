"""The catalogue: every part that may be chosen, and the rule sets.

The same object whether it came from one folder or from several laid over each other.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cached_property
from hashlib import sha256
from typing import Any, Literal, overload

from optimiser.case import RuleSet
from optimiser.parts import (
    PARTS,
    AlternatorCharger,
    Breaker,
    Busbar,
    Cable,
    DcPanel,
    Display,
    Entry,
    Fuse,
    Holder,
    Inverter,
    Isolator,
    MainsBox,
    MainsCharger,
    Module,
    Panel,
    Part,
    Regulator,
    Shunt,
    StepDown,
    StringFuse,
    Switch,
    Vent,
)


@dataclass(frozen=True)
class Catalogue:
    """Parts by catalogue file and name, and rule sets by name."""

    tables: Mapping[str, Mapping[str, Part]]  # key of PARTS -> name -> part
    rule_sets: Mapping[str, RuleSet]
    notes: tuple[str, ...] = ()  # of files that an earlier version wrote otherwise

    @overload
    def of(self, key: Literal["panels"]) -> dict[str, Panel]: ...
    @overload
    def of(self, key: Literal["regulators"]) -> dict[str, Regulator]: ...
    @overload
    def of(self, key: Literal["modules"]) -> dict[str, Module]: ...
    @overload
    def of(self, key: Literal["inverters", "inverter_chargers"]) -> dict[str, Inverter]: ...
    @overload
    def of(self, key: Literal["alternator_chargers"]) -> dict[str, AlternatorCharger]: ...
    @overload
    def of(self, key: Literal["mains_chargers"]) -> dict[str, MainsCharger]: ...
    @overload
    def of(self, key: Literal["step_downs"]) -> dict[str, StepDown]: ...
    @overload
    def of(self, key: Literal["cables"]) -> dict[str, Cable]: ...
    @overload
    def of(self, key: Literal["holders"]) -> dict[str, Holder]: ...
    @overload
    def of(self, key: Literal["fuses"]) -> dict[str, Fuse]: ...
    @overload
    def of(self, key: Literal["string_fuses"]) -> dict[str, StringFuse]: ...
    @overload
    def of(self, key: Literal["isolators"]) -> dict[str, Isolator]: ...
    @overload
    def of(self, key: Literal["busbars"]) -> dict[str, Busbar]: ...
    @overload
    def of(self, key: Literal["shunts"]) -> dict[str, Shunt]: ...
    @overload
    def of(self, key: Literal["displays"]) -> dict[str, Display]: ...
    @overload
    def of(self, key: Literal["switches"]) -> dict[str, Switch]: ...
    @overload
    def of(self, key: Literal["mains_boxes"]) -> dict[str, MainsBox]: ...
    @overload
    def of(self, key: Literal["breakers"]) -> dict[str, Breaker]: ...
    @overload
    def of(self, key: Literal["dc_panels"]) -> dict[str, DcPanel]: ...
    @overload
    def of(self, key: Literal["entries"]) -> dict[str, Entry]: ...
    @overload
    def of(self, key: Literal["vents"]) -> dict[str, Vent]: ...
    @overload
    def of(self, key: str) -> Mapping[str, Part]: ...
    def of(self, key: str) -> Any:
        """Name -> part of one catalogue file, in its order; empty where the file has no rows."""
        if key not in PARTS:
            raise KeyError(f"{key}: no such catalogue file")
        return dict(self.tables.get(key, {}))

    def find(self, name: str) -> Part | None:
        """The part of that name, or None. Names are unique over all files."""
        return self._by_name.get(name)

    def meant(self, words: str) -> tuple[Part, ...]:
        """The part of that name, or all of a kind: of a catalogue file, or with a value in a column of one.

        ``panel-200-slim``, ``mains_chargers``, ``panels.kind=rigid``; none where there is no such part or kind.
        """
        part = self.find(words)
        if part is not None:
            return (part,)
        of, _, value = words.partition("=")
        key, _, column = of.partition(".")
        parts = self.tables.get(key, {}).values()
        return tuple(p for p in parts if not column or value in words_of(getattr(p, column, None)))

    @cached_property
    def _by_name(self) -> dict[str, Part]:
        return {name: part for table in self.tables.values() for name, part in table.items()}

    @cached_property
    def digest(self) -> str:
        """SHA-256 over every row that counts: rows that a later folder overrides do not."""
        parts = {key: [part.model_dump() for part in self.of(key).values()] for key in PARTS}
        # Nothing is calculated from what an edition says.
        rules = [
            {"name": rule_set.name, "figures": {name: asdict(figure) for name, figure in rule_set.figures.items()}}
            for rule_set in self.rule_sets.values()
        ]
        return sha256(json.dumps([parts, rules]).encode()).hexdigest()


def words_of(cell: object) -> tuple[str, ...]:
    """What a column of a catalogue file says of a part, as it is written there: a word, or several."""
    if isinstance(cell, tuple):
        return tuple(word for one in cell for word in words_of(one))
    if isinstance(cell, bool):
        return ("yes" if cell else "no",)
    return (f"{cell:g}" if isinstance(cell, (int, float)) else str(cell),)
