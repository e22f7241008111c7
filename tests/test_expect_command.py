"""The command `expect`: what it prints, refuses and complains of."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import Result

from optimiser import library
from optimiser.builds import to_json
from optimiser.cautions import CAUTIONS
from tests import handmade
from tests.cli_help import run
from tests.commission_help import bench, fit, row
from tests.conftest import Folders
from tests.packing_help import shipped

AT = ("--at", "2027-01-15T12:00")


def asked(folders: Folders, file: Path, *options: str) -> Result:
    """``expect`` on the handmade trailer."""
    return run("expect", folders.case, file, "--catalogue", folders.catalogue, *options)


def test_the_sheet_carries_values_parts_assumptions_and_cautions(
    trailer: Folders, build_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("optimiser.pipeline.answers.optimise", None)  # nothing may be solved

    result = asked(trailer, build_file, *AT, "--sky", "clear")

    assert (result.exit_code, result.stderr) == (0, "")
    for text in (
        "a.1.voc_v",
        "regulator_1.current_a",
        "clear sky, haze",
        "nearest scenario",
        "measured.inverter_a",
        *CAUTIONS,
    ):
        assert text in result.stdout
    assert "shunt" not in result.stdout.lower()


def test_json_holds_what_the_sheet_shows(trailer: Folders, build_file: Path) -> None:
    result = asked(trailer, build_file, *AT, "--irradiance", "1000", "--air", "25", "--volt", "13", "--running",
                   "fridge", "--json")  # fmt: skip

    content = json.loads(result.stdout)
    direct = bench(fit(), running=("fridge",))
    assert content["status"] == "expected"
    assert (content["bank_v"], content["air_c"], content["light_w_m2"]) == (13, 25, {"roof": 1000})
    assert content["total"]["value"] == pytest.approx(direct.total.value)
    assert [one["id"] for one in content["loads"]] == ["fridge.current_a", "idle.current_a"]
    assert [one["id"] for one in content["measured"]] == ["measured.dc_loads_a", "measured.inverter_a"]
    assert content["strings"][0]["spreads"][0]["source"] == "common practice, no source"


def test_a_build_with_a_breach_is_refused(trailer: Folders, build_file: Path) -> None:
    build = handmade.build()
    broken = tuple(replace(run, fuse="fuse-10") if run.name == "inverter" else run for run in build.runs)
    build_file.write_text(to_json(replace(build, runs=broken)), encoding="utf-8")

    sheet = asked(trailer, build_file, *AT, "--sky", "clear")
    assert (sheet.exit_code, sheet.stdout) == (1, "")
    assert "run.fuse_over_load[inverter]" in sheet.stderr

    content = json.loads(asked(trailer, build_file, *AT, "--sky", "clear", "--json").stdout)
    assert (content["status"], content["total"], content["strings"]) == ("breach", None, [])
    assert "run.fuse_over_load[inverter]" in {finding["requirement"] for finding in content["breaches"]}


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--at", "noon", "--sky", "clear"), "--at: 'noon'"),
        (("--at", "2527-01-15T12:00", "--sky", "clear"), "--at: '2527"),
        ((*AT,), "--sky, --irradiance: expected one of the two"),
        ((*AT, "--sky", "clear", "--irradiance", "500"), "--sky, --irradiance"),
        ((*AT, "--sky", "1.2"), "--sky: '1.2'; expected clear, overcast or a number from 0 to 1"),
        ((*AT, "--sky", "nan"), "--sky: 'nan'"),
        ((*AT, "--irradiance", "nan"), "'nan' is not a number; expected 0<=x<=1400"),
        ((*AT, "--sky", "clear", "--air", "nan"), "'nan' is not a number"),
        ((*AT, "--sky", "clear", "--soc", "nan"), "'nan' is not a number"),
        ((*AT, "--sky", "clear", "--volt", "26"), "--volt: 26 V at a bank of 12 V; expected 10 to 15 V"),
        ((*AT, "--sky", "clear", "--running", "frige"), "--running: no load 'frige'; expected fridge"),
        ((*AT, "--sky", "clear", "--running", " ,"), "--running: ' ,' names no load; expected loads, or none"),
        ((*AT, "--sky", "clear", "--portable"), "--portable: the case has no portable panel"),
    ],
)
def test_what_does_not_fit_is_told(trailer: Folders, build_file: Path, options: tuple[str, ...], told: str) -> None:
    result = asked(trailer, build_file, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert told in result.stderr


def test_all_that_does_not_fit_is_told_at_once(trailer: Folders, build_file: Path) -> None:
    result = asked(trailer, build_file, "--at", "noon", "--volt", "26", "--running", "frige")
    assert len(result.stderr.splitlines()) == 4


def test_the_library_tells_of_its_own_arguments() -> None:
    with pytest.raises(library.Misfit) as caught:
        library.expect(library.read("tiny-trailer"), "tests/builds/tiny-trailer-cheapest.json", "noon", hook_up=True)
    named = [line.partition(":")[0] for line in caught.value.lines]
    assert named[0] == "at" and named[-1] == "sky, irradiance" and not any("--" in name for name in named)


def test_none_may_be_running(trailer: Folders, build_file: Path) -> None:
    result = asked(trailer, build_file, *AT, "--sky", "0.5", "--running", "none", "--json")
    assert [one["id"] for one in json.loads(result.stdout)["loads"]] == ["idle.current_a"]


def test_the_hottest_and_brightest_that_is_taken_is_reckoned(trailer: Folders, build_file: Path) -> None:
    result = asked(trailer, build_file, *AT, "--irradiance", "1400", "--air", "60")
    assert result.exit_code == 0
    flexible = fit(arrays__a__panel="panel-flex", panels__0__panel="panel-flex", panels__1__panel="panel-flex")
    assert row(bench(flexible, irradiance_w_m2=1400.0, air_c=60.0), "a.1.voc_v").value > 0


def test_driving_wants_a_charger_and_hook_up_an_inlet() -> None:
    tiny = "tests/builds/tiny-trailer-cheapest.json"
    result = run("expect", "tiny-trailer", tiny, *AT, "--sky", "clear", "--driving", "--hook-up")
    assert result.exit_code == 2
    assert "--driving: the build has no alternator charger" in result.stderr
    assert ("--hook-up" in result.stderr) == (shipped("tiny-trailer").case.brief.inlet is None)
