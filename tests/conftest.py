"""What more than one test file is given."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import settings
from playwright.sync_api import Browser

from optimiser.builds import to_json
from optimiser.catalogue import Catalogue
from optimiser.pipeline import Inputs, read
from optimiser.reading import read_catalogue, shipped_catalogue, write_starter
from optimiser.solve import Measures, Question, Room
from tests import handmade
from tests.browsing import chromium
from tests.cli_help import write_case, write_catalogue
from tests.comparing_help import Asked, Solves, write_fronted

settings.register_profile("no deadline", deadline=None)  # no test is held to the clock of a machine that others share
settings.load_profile("no deadline")


MADE_OF_BUILDS = ("approved", "commission", "drawing", "outside_forces", "pack.", "pack_", "plots", "schedules")
"""Tests of what is made of the stored builds: each worker keeps what it has drawn and listed of them."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Those first, in a row, so that one worker has them and makes it once; its share is cut short by what it takes."""
    items.sort(key=lambda item: not item.path.name.removeprefix("test_").startswith(MADE_OF_BUILDS))


class Folders(NamedTuple):
    """A case and the catalogue it is for."""

    case: Path
    catalogue: Path


@pytest.fixture(scope="session", autouse=True)
def cache_of_the_tests(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads or writes what the user's own runs have kept."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture
def trailer(tmp_path: Path) -> Folders:
    """The handmade trailer as folders: solved in a fraction of a second."""
    world = handmade.world()
    return Folders(
        write_case(tmp_path / "handmade", world.case), write_catalogue(tmp_path / "parts", world.catalogue, world.case)
    )


@pytest.fixture
def inputs(trailer: Folders) -> Inputs:
    """The same, read."""
    return read(str(trailer.case), [str(trailer.catalogue)])


@pytest.fixture
def build_file(tmp_path: Path) -> Path:
    """Its build made by hand, as a file."""
    file = tmp_path / "by_hand.json"
    file.write_text(to_json(handmade.build()), encoding="utf-8")
    return file


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The catalogue that comes with the program."""
    return read_catalogue(shipped_catalogue())


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of it to change."""
    return Path(shutil.copytree(shipped_catalogue(), tmp_path / "catalogue"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A fresh starter case."""
    write_starter(tmp_path / "van")
    return tmp_path / "van"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests of a file."""
    with chromium() as found:
        yield found


@pytest.fixture
def fronted(tmp_path: Path) -> Folders:
    """The same with two chargers to choose between twice: a front of four points."""
    return Folders(*write_fronted(tmp_path))


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where fronts are kept, of one test alone."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "optimiser"


@pytest.fixture
def solves(monkeypatch: pytest.MonkeyPatch) -> Solves:
    """The questions of a front that reach the solver; only the answers over all kinds of build are changed."""
    seen, point = Solves(), Question.point

    def ask(self: Question, measures: Measures, room: Room, **kwargs: Any) -> Asked:
        found = point(self, measures, room, **kwargs)
        if room.inside is not None:
            seen.within += 1
            return found
        seen.count += 1
        return seen.instead(seen.count, found)

    monkeypatch.setattr(Question, "point", ask)
    return seen
