"""What a requirement is: where its limit is set, who sets it, and which values ease it."""

from dataclasses import dataclass
from typing import Literal

Sense = Literal["at most", "at least"]
SetBy = Literal["brief and survey", "makers and rules", "definition"]
MOST: Sense = "at most"
LEAST: Sense = "at least"
SHOP = "preference of the shop"


# What shall be there, as the brief asks for it: nothing has a margin to it.
_ASKED_FOR = frozenset(
    (
        "string.portable",
        "inverter.present",
        "charge.asked_for",
        "mains.changeover",
        "measure.channels",
        "measure.display",
        "measure.switch",
    )
)
_SETTERS = {
    SHOP: "the shop",
    "brief": "the brief",
    "survey": "the survey",
    "maker": "the maker",
    "rule": "a rule",
}
# Tables of brief and survey that say how much of a common practice is wanted.
_OF_TABLE = {"limits": "the brief", "zones": "the survey", "obstacles": "the survey"}


@dataclass(frozen=True)
class Eases:
    """A value that gives way to a requirement: its address, and the step that eases it.

    ``words`` say what it is, after the step and its unit; ``{}`` is the row of the case or the file of the catalogue.
    """

    address: str
    step: float
    words: str


@dataclass(frozen=True)
class Requirement:
    """One named limit."""

    name: str
    sense: Sense
    unit: str
    limit: str
    step: float | None
    source: str
    sentence: str  # with {place}, {limit}, {actual}; {of} where it speaks of one of what is at a place
    broken: str = ""  # sentence of one that is met or not, without a measure, where it is not
    absent: str = ""  # sentence where what it speaks of is not there, which no figure can say
    lever: str = ""  # what the limit is, where moving it by the step eases it; empty: see `moves/levers.py`
    also: tuple[Eases, ...] = ()  # other values that ease it

    @property
    def yes_no(self) -> bool:
        """Whether it is met or not, and no number belongs to it."""
        return bool(self.broken)

    @property
    def is_definition(self) -> bool:
        """Whether it is always true of a build rather than wanted of it."""
        return self.source == "definition"

    @property
    def eases(self) -> tuple[Eases, ...]:
        """The values that ease it, the limit first."""
        own = (Eases(self.limit, self.step, self.lever),) if self.lever and self.step else ()
        return own + self.also

    @property
    def set_by(self) -> SetBy:
        """Who could give it up: a fitter or customer what they asked for or measured, nobody what a build is.

        Common practice is theirs where brief or survey say how much of it they want.
        """
        if self.is_definition:
            return "definition"
        theirs = self.source in ("brief", "survey", SHOP)
        wished = self.source.startswith("common practice") and self.limit.partition(".")[0] in _OF_TABLE
        return "brief and survey" if theirs or wished else "makers and rules"

    @property
    def asked_for(self) -> bool:
        """Whether it is a wish of the brief, that something be there, rather than a limit."""
        return self.name in _ASKED_FOR

    @property
    def setter(self) -> str:
        """Who sets its limit, in words: the brief, the survey, the maker, a rule, or two of these."""
        if self.is_definition:
            return "what a build is"
        found = [words for key, words in _SETTERS.items() if key in self.source]
        return " and ".join(found) or _OF_TABLE.get(self.limit.partition(".")[0], "common practice")
