"""What more than one test file is given."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from tests import handmade
from tests.cli_help import write_case, write_catalogue


class Folders(NamedTuple):
    """A case and the catalogue it is for."""

    case: Path
    catalogue: Path


@pytest.fixture
def trailer(tmp_path: Path) -> Folders:
    """The handmade trailer as folders: solved in a fraction of a second."""
    world = handmade.world()
    return Folders(
        write_case(tmp_path / "handmade", world.case), write_catalogue(tmp_path / "parts", world.catalogue, world.case)
    )
