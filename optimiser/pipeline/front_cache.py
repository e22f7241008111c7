"""Builds of fronts kept between runs, in the user's cache folder: what took long to find need not be found again.

They carry no proof, since anyone can write to that folder. They are found by a hash of everything they rest on: inputs,
measures, releases and the program's own code. What cannot be read is left aside; what is read is audited again, and
proven again, by whoever uses it.
"""

import json
import os
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from optimiser.builds import Build
from optimiser.files import write_text
from optimiser.measures import Measure
from optimiser.pipeline.program import program_digest
from optimiser.solve import Measures


@checked(frozen=True)
class Kept:
    """A build, and what it comes to in each measure, in whole numbers of its scale."""

    figures: dict[Measure, int]
    build: Build


_ADAPTER = TypeAdapter(tuple[Kept, ...])


@dataclass(frozen=True)
class Shelf:
    """The file of one front."""

    path: Path

    def load(self) -> tuple[Kept, ...]:
        """What an earlier run kept; nothing if there is nothing that can be used."""
        try:
            return _ADAPTER.validate_json(self.path.read_bytes())
        except (OSError, ValidationError):
            return ()

    def keep(self, points: Iterable[Kept]) -> None:
        """All points found so far, in place of what was kept. A cache that cannot be written is done without."""
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_text(self.path, json.dumps([asdict(point) for point in points]))
        except OSError:
            return


def shelf(inputs: str, measures: Measures) -> Shelf:
    """The shelf of inputs, by their hash, and measures."""
    return Shelf(kept_at("front", inputs, *measures))


def kept_at(what: str, *of: str) -> Path:
    """The file of what is kept, by all that it rests on: these words, the solver's release and the program's code."""
    text = " ".join([*of, program_digest()])
    root = Path(os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache"))
    return root / "optimiser" / f"{what}-{sha256(text.encode()).hexdigest()[:32]}.json"
