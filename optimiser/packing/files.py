"""The files of a pack, by their names in its folder."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.builds import to_json
from optimiser.commissioning import to_csv as sheet_csv
from optimiser.drawing import to_dxf, to_svg
from optimiser.packing.dossier import Dossier
from optimiser.packing.page import page
from optimiser.pipeline import Comparison
from optimiser.schedules import to_csv, to_xlsx


def pack_files(made: Dossier, found: Comparison | None) -> dict[str, bytes]:
    """Name -> content. The same dossier gives the same bytes."""
    return {name: text.encode() for name, text in _texts(made, found)} | {
        "schedules.xlsx": to_xlsx(made.schedules, made.quotation)
    }


def _texts(made: Dossier, found: Comparison | None) -> Iterator[tuple[str, str]]:
    yield "index.html", page(made, found)
    yield "build.json", to_json(made.fit.build)
    yield "test-sheet.csv", sheet_csv(made.checks, f"{made.fit.case.brief.title}; {made.version.text}")
    for sheet in made.sheets:
        yield f"drawings/{sheet.key}.svg", to_svg(sheet)
        yield f"drawings/{sheet.key}.dxf", to_dxf(sheet)
    for schedule in made.schedules:
        yield f"schedules/{schedule.key}.csv", to_csv(schedule)
