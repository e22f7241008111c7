"""Rule sets side by side: which figures of each differ from the default's, in value or in source."""

from dataclasses import dataclass
from typing import Literal

from optimiser.catalogue import Catalogue
from optimiser.pipeline.inputs import Unusable
from optimiser.reading.wording import among
from optimiser.rules import DEFAULT, KNOWN, RuleSet

Differs = Literal["nothing", "value", "source"]


@dataclass(frozen=True)
class SideBySide:
    """Rule sets beside the one they are compared with (``base``), and the figures that are shown of them."""

    base: RuleSet
    rule_sets: tuple[RuleSet, ...]
    figures: tuple[str, ...]
    alone: bool = False  # one of them was asked for

    def differs(self, rule_set: RuleSet, figure: str) -> Differs:
        """What of a figure differs from the base's; a source that differs matters where the value is the same."""
        here, there = rule_set.figures[figure], self.base.figures[figure]
        if here.value != there.value:
            return "value"
        return "nothing" if (here.source, here.state) == (there.source, there.state) else "source"

    @property
    def differing(self) -> tuple[str, ...]:
        """Figures that differ in any of the sets, in value or in source."""
        return tuple(f for f in self.figures if any(self.differs(one, f) != "nothing" for one in self.rule_sets))


def side_by_side(catalogue: Catalogue, name: str | None = None, differs: bool = False) -> SideBySide:
    """All rule sets, the base first, or the one of that name; all figures, or those alone that differ.

    The base is the default; in a catalogue without one, its first rule set.

    Raises
    ------
    Unusable
        If there is none of that name.
    """
    known = catalogue.rule_sets
    if name is not None and name not in known:
        raise Unusable(f"{name}: no such rule set; expected {among(name, known)}")
    base = known.get(DEFAULT) or next(iter(known.values()))
    shown = (base, *(one for one in known.values() if one is not base)) if name is None else (known[name],)
    found = SideBySide(base, shown, tuple(KNOWN), alone=name is not None)
    return SideBySide(base, shown, found.differing, found.alone) if differs else found
