"""Pages, drawings and printed sheets are those that somebody has read and approved."""

from difflib import unified_diff

import pytest

from tests.approving import FOLDER, approved, made_anew


@pytest.mark.parametrize("file", approved())
def test_it_is_as_it_was_approved(file: str) -> None:
    """Where it is meant to differ: ``python -m tests.approving``, and read the difference before you commit it."""
    kept, anew = (FOLDER / file).read_text(encoding="utf-8"), made_anew(file)

    changes = list(unified_diff(kept.splitlines(), anew.splitlines(), "approved", "now", n=1, lineterm=""))
    if changes:
        pytest.fail("\n".join([*changes[:80], "python -m tests.approving writes it anew"]), pytrace=False)


def test_nothing_is_kept_that_is_no_longer_made() -> None:
    assert {str(path.relative_to(FOLDER)) for path in FOLDER.rglob("*.txt")} == set(approved())
