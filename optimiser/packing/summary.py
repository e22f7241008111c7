"""What the command says of a pack it has written."""

from collections.abc import Collection
from pathlib import Path

from optimiser.cautions import CAUTIONS
from optimiser.commissioning import Report
from optimiser.packing.dossier import Dossier
from optimiser.pipeline import Comparison
from optimiser.printing.comparing import state_words
from optimiser.printing.objects_built import PackObject
from optimiser.printing.wording import caution_lines

ALONE = "this build alone"


def pack_lines(made: Dossier, found: Comparison | None, folder: Path, files: Collection[str]) -> list[str]:
    """A few lines for a person."""
    brief = made.fit.case.brief
    return [
        f"{brief.title} ({made.fit.case.name}): job pack in {folder}, {len(files)} files; open {folder / 'index.html'}",
        f"Options: {state_words(found) if found else ALONE}",
        f"{len(made.findings)} requirements checked by the audit; all are met.",
        *([f"Readings: {counts(made.report)}"] if made.report else []),
        f"Version: {made.version.text}",
        *caution_lines(made.fit.case.rules),
    ]


def pack_object(made: Dossier, found: Comparison | None, folder: Path, files: Collection[str]) -> PackObject:
    """The same for a program."""
    return {
        "status": found.state if found else ALONE,
        "why": (found.why if found else "") or None,
        "folder": str(folder),
        "files": sorted(files),
        "options": len(made.options),
        "readings": made.report.status if made.report else None,
        "inputs": made.version.inputs,
        "build": made.version.build,
        "caution": " ".join(CAUTIONS),
    }


def counts(report: Report) -> str:
    """How many readings are in their band, out of it, or could not be judged."""
    return ", ".join(f"{report.count(verdict)} {verdict}" for verdict in ("in band", "out of band", "not tested"))
