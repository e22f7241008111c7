"""The pictures of the README, made by the program: ``python -m tests.pictures`` writes them anew."""

from pathlib import Path

from optimiser.drawing import to_svg
from tests.packed_help import packed

FOLDER = Path(__file__).resolve().parents[1] / ".pictures"
SHOWN = {
    "tiny-trailer": ("roof",),
}
"""Case -> drawings of its cheapest build."""


def pictures() -> dict[str, str]:
    """File name -> content."""
    return {
        f"{name}-{sheet.key}.svg": to_svg(sheet)
        for name, keys in SHOWN.items()
        for sheet in packed(name).sheets
        if sheet.key in keys
    }


if __name__ == "__main__":
    for name, content in pictures().items():
        (FOLDER / name).write_text(content, encoding="utf-8")
