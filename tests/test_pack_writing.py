"""The pack's folder: all of it or nothing, and a folder that is there stays the folder it is."""

import os
from pathlib import Path

import pytest

from optimiser.packing.files import write_pack
from optimiser.pipeline import Unusable

FILES = {"index.html": b"page", "drawings/roof.svg": b"roof", "drawings/bays/locker.svg": b"locker"}


def _all(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("there", [False, True])
def test_all_files_come_to_lie_below_it_and_nothing_else(tmp_path: Path, there: bool) -> None:
    folder = tmp_path / "pack"
    if there:
        folder.mkdir()

    write_pack(folder, FILES)

    assert _all(folder) == FILES
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_an_empty_folder_stays_the_same_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "pack"
    folder.mkdir()
    folder.chmod(0o2775)
    before = folder.stat()
    monkeypatch.chdir(folder)

    write_pack(Path("."), FILES)

    assert (folder.stat().st_ino, folder.stat().st_mode) == (before.st_ino, before.st_mode)
    assert {name for name in os.listdir(".")} == {"index.html", "drawings"}


@pytest.mark.parametrize("there", [False, True])
def test_nothing_is_left_of_a_pack_that_could_not_be_written(tmp_path: Path, there: bool) -> None:
    folder = tmp_path / "pack"
    if there:
        folder.mkdir()

    with pytest.raises(Unusable, match="cannot be written"):
        write_pack(folder, {**FILES, "index.html/page": b"below a file"})

    assert folder.exists() is there
    assert list(tmp_path.rglob("*")) == ([folder] if there else [])


def test_moves_that_were_made_are_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.rename

    def refuses_the_page(old: Path, new: Path) -> None:
        if new.name == "index.html":
            raise OSError(28, "No space left on device")
        real(old, new)

    monkeypatch.setattr(os, "rename", refuses_the_page)

    with pytest.raises(Unusable, match="No space left"):
        write_pack(tmp_path, FILES)

    assert list(tmp_path.iterdir()) == []


def test_what_came_to_lie_there_meanwhile_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("mine")

    with pytest.raises(Unusable, match=r"note\.txt"):
        write_pack(tmp_path, FILES)

    assert _all(tmp_path) == {"note.txt": b"mine"}
