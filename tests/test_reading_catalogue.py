"""Catalogue folders, laid over each other; their faults; the hash of what a run is made from."""

import re
from pathlib import Path

import pytest

from optimiser.catalogue import Catalogue
from optimiser.parts import PARTS
from optimiser.reading import input_hash, read_catalogue, read_inputs, shipped, shipped_catalogue
from tests.reading_help import change, line_of, problems_of


def test_the_shipped_catalogue_reads(catalogue: Catalogue) -> None:
    assert all(catalogue.of(key) for key in PARTS)
    regulator = next(iter(catalogue.of("regulators").values()))
    assert catalogue.find(regulator.name) is regulator
    assert catalogue.find("panel-of-dreams") is None
    assert set(catalogue.rule_sets) >= {"default"}
    assert {len(rules.figures) for rules in catalogue.rule_sets.values()} == {
        len(catalogue.rule_sets["default"].figures)
    }


def test_a_later_folder_adds_and_overrides(catalogue: Catalogue, tmp_path: Path) -> None:
    header = "name,price,sundries,mass_kg,minutes,kind,free_area_cm2,flow_m3_h,watt_w,cut_out_cm2\n"
    rows = "grille-100,21.5,3,0.2,60,grille,100,0,0,450\ngrille-mine,9,3,0.2,60,grille,80,0,0,400\n"
    (tmp_path / "vents.csv").write_text(header + rows, encoding="utf-8")
    rules = "rule_set,figure,value,unit,source,state\ndefault,alternator_share,0.2,share,my shop,common practice\n"
    (tmp_path / "rule_sets.csv").write_text(rules, encoding="utf-8")

    mine = read_catalogue(shipped_catalogue(), tmp_path)

    assert mine.of("vents")["grille-100"].price == 21.5
    assert set(mine.of("vents")) == {*catalogue.of("vents"), "grille-mine"}
    assert mine.of("panels") == catalogue.of("panels")
    assert mine.rule_sets["default"]["alternator_share"] == 0.2
    assert catalogue.rule_sets["default"]["alternator_share"] == 0.5
    assert mine.rule_sets["default"]["fill_few"] == catalogue.rule_sets["default"]["fill_few"]
    assert mine.digest != catalogue.digest


CATALOGUE_FAULTS = {
    "range": ("panels.csv", "panel-50-rigid,60,", "panel-50-rigid,-60,", "price", "from 0 to 10000000"),
    "cents": ("panels.csv", "panel-50-rigid,60,", "panel-50-rigid,60.005,", "price", "not in whole cents"),
    "orientation": ("switches.csv", "28,flat,", "28,flat upright,", "orientations", "flat, side, end"),
    "voltage": ("step_downs.csv", "10,left right,20,65,0,24", "10,left right,20,65,0,36", "system_v", "12, 24, 48"),
    "name": ("vents.csv", "fan-80,28", "fan-60,28", "name", "'fan-60' stands in .*vents.csv row 7 too"),
    "name elsewhere": ("vents.csv", "fan-80,", "switch-panel,", "name", "'switch-panel' stands in .*switches.csv"),
    "holder": ("fuses.csv", "0,32,holder-blade-40", "0,32,holder-blade", "holder", "no holder"),
    "family": ("fuses.csv", "blade,5,1000", "bladed,5,1000", "family", "expected blade"),
    "rating": ("fuses.csv", "blade,5,1000", "blade,41,1000", "rating_a", "expected at most 40"),
    "state": ("rule_sets.csv", "7 in along the conductor,read", "7 in along the conductor,guess", "state",
              "read, second hand, memory, common practice"),
    "figure twice": ("rule_sets.csv", "small-craft,fill_few", "small-craft,drop_share", "figure", "stands twice"),
}  # fmt: skip


@pytest.mark.parametrize("name", CATALOGUE_FAULTS)
def test_a_fault_of_the_catalogue_is_named(name: str, copy: Path) -> None:
    file, old, new, column, says = CATALOGUE_FAULTS[name]
    path = copy / file
    text = path.read_text(encoding="utf-8").replace(old, new, 1)
    path.write_text(text, encoding="utf-8")
    row = line_of(text, "small-craft,fill_many") - 1 if name == "figure twice" else line_of(text, new)

    found = [p for p in problems_of(lambda: read_catalogue(copy)) if p.row == row and p.column == column]

    assert [p.file for p in found] == [str(path)]
    assert re.search(says, found[0].message), found[0].message


def test_a_catalogue_file_missing_or_misspelt(copy: Path) -> None:
    (copy / "vents.csv").rename(copy / "vent.csv")

    found = problems_of(lambda: read_catalogue(copy))

    assert [str(p) for p in found] == [
        f"{copy / 'vent.csv'}: not a catalogue file; expected vents.csv",
        f"{copy / 'vents.csv'}: missing file; expected vents.csv in {copy}",
    ]


def test_a_rule_set_wants_every_figure(copy: Path) -> None:
    path = copy / "rule_sets.csv"
    path.write_text(path.read_text(encoding="utf-8") + "mine,fill_few,0.3,share,my shop,common practice\n", "utf-8")

    found = problems_of(lambda: read_catalogue(copy))

    assert {p.column for p in found} == {"figure"}
    assert "rule set 'mine' has no 'fuse_distance_mm'" in "\n".join(p.message for p in found)


def test_case_and_catalogue_are_complained_of_together(folder: Path, copy: Path) -> None:
    (copy / "vents.csv").unlink()
    change(folder / "loads.csv", "fridge,dc,,50", "fridge,dc,,-50")

    found = problems_of(lambda: read_inputs(folder, copy))

    assert [Path(p.file).name for p in found] == ["vents.csv", "loads.csv"]


def test_the_catalogue_is_found_inside_a_wheel_or_beside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "optimiser"
    monkeypatch.setattr(shipped, "files", lambda _: package)
    with pytest.raises(FileNotFoundError, match="installation is not whole"):
        shipped.shipped_catalogue()

    (tmp_path / "catalogue").mkdir()
    assert shipped.shipped_catalogue() == tmp_path / "catalogue"
    (package / "_catalogue").mkdir(parents=True)
    assert shipped.shipped_catalogue() == package / "_catalogue"
    (package / "_cases").mkdir()
    assert shipped.shipped_cases() == package / "_cases"


def test_the_hash_is_of_what_counts(folder: Path, catalogue: Catalogue, copy: Path) -> None:
    before = input_hash(folder, catalogue)
    for path in folder.iterdir():
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert input_hash(folder, catalogue) == before, "line ends do not count"
    assert input_hash(folder, read_catalogue(copy)) == before, "nor where the catalogue stands"

    text = (copy / "vents.csv").read_text(encoding="utf-8")
    (copy / "vents.csv").write_text(text.replace("grille-50,14,", "grille-50,15,"), encoding="utf-8")
    assert input_hash(folder, read_catalogue(copy)) != before, "a price counts"

    change(folder / "loads.csv", "fridge,dc,,50", "fridge,dc,,51")
    assert input_hash(folder, catalogue) != before, "a load counts"
