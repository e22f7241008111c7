"""A pack's files by their names in its folder, and the folder: all of it or nothing."""

import os
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from optimiser.builds import to_json
from optimiser.commissioning import to_csv as sheet_csv
from optimiser.drawing import to_dxf, to_svg
from optimiser.drawing.templates import template_dxf, template_pdf
from optimiser.packing.dossier import Dossier
from optimiser.packing.page import page
from optimiser.pipeline import Comparison, Unusable
from optimiser.schedules import to_csv, to_xlsx


def pack_files(made: Dossier, found: Comparison | None) -> dict[str, bytes]:
    """Name -> content. The same dossier gives the same bytes."""
    version = made.version.text
    return {
        **{name: text.encode() for name, text in _texts(made, found)},
        **{f"templates/{one.key}.pdf": template_pdf(one, version) for one in made.templates},
        "schedules.xlsx": to_xlsx(made.schedules, made.quotation),
    }


def _texts(made: Dossier, found: Comparison | None) -> Iterator[tuple[str, str]]:
    yield "index.html", page(made, found)
    yield "build.json", to_json(made.fit.build)
    yield "test-sheet.csv", sheet_csv(made.checks, f"{made.fit.case.brief.title}; {made.version.text}")
    for sheet in made.sheets:
        yield f"drawings/{sheet.key}.svg", to_svg(sheet)
        yield f"drawings/{sheet.key}.dxf", to_dxf(sheet)
    for template in made.templates:
        yield f"templates/{template.key}.dxf", template_dxf(template, made.version.text)
    for schedule in made.schedules:
        yield f"schedules/{schedule.key}.csv", to_csv(schedule)


# --- the pack's folder: all of it or nothing ----------------------------------------------------------


def write_pack(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files below a new folder, or into an empty one, which stays the folder it is.

    Raises
    ------
    Unusable
        If it cannot be written; nothing is left behind then.
    """
    target = folder.resolve()
    new = not target.exists()
    # Beside a new folder, so that it comes to be in one step; inside an old one, which may be another file system.
    draft = (target.parent if new else target) / f".{target.name}.{os.getpid()}.tmp"
    moved: list[Path] = []
    try:
        draft.mkdir()
        for name, content in files.items():
            path = draft / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        if new:
            os.rename(draft, target)
        else:
            _move_up(draft, target, moved)
    except OSError as error:
        for path in moved:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        raise Unusable(f"{folder}: cannot be written ({error.strerror})") from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _move_up(draft: Path, target: Path, moved: list[Path]) -> None:
    """Move everything out of the draft, told as it is done; nothing that came to lie there meanwhile is replaced."""
    if others := [path for path in target.iterdir() if path != draft]:
        raise FileExistsError(0, f"{others[0].name} came to lie in it meanwhile")
    for path in sorted(draft.iterdir()):
        os.rename(path, target / path.name)
        moved.append(target / path.name)
