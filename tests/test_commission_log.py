"""A monitor's log held against the design; and the command `commission`."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from optimiser.builds import to_json
from optimiser.cautions import CAUTIONS
from optimiser.commissioning import JudgedReading, Moment, expected
from tests import handmade
from tests.cli_help import run
from tests.commission_help import as_designed, checks, faults, filled, fitted, held, log, report, world
from tests.conftest import Folders

Row = dict[str, Any]

# Full sun, 25 C outside, 13 V: what `expect` is held to by hand in test_expect.
SUN: Row = {"time": "2027-01-15T12:00", "irradiance_w_m2": 1000, "air_c": 25, "bank.volt_v": 13}
VMP, STRING_A, CHARGE_A = 32.878, 4.75, 11.653


def one(folder: Path, row: Mapping[str, Any], name: str) -> JudgedReading:
    """A channel's reading in a log of one row."""
    return held(report(folder, log(row)), name)


# --- channels ----------------------------------------------------------------------------------------


def test_a_sunny_row_as_designed_is_in_band(tmp_path: Path) -> None:
    row = SUN | {
        "a.volt_v": VMP,
        "a.current_a": STRING_A,
        "regulator_1.current_a": CHARGE_A,
        "fridge.current_a": 60 / 13,
    }
    found = report(tmp_path, log(row))

    assert found.kind == "log"
    assert {h.id: h.verdict for h in found.held} == dict.fromkeys(
        ["bank.volt_v", "a.volt_v", "a.current_a", "regulator_1.current_a", "fridge.current_a"], "in band"
    )
    assert held(found, "a.current_a").design == pytest.approx(STRING_A)
    assert held(found, "regulator_1.current_a").design == pytest.approx(CHARGE_A, abs=0.001)


@pytest.mark.parametrize("name", ["a.volt_v", "a.current_a", "regulator_1.current_a", "kettle.current_a"])
def test_just_inside_and_just_outside(tmp_path: Path, name: str) -> None:
    """The band of `expect`, and 0.2 A or V more that a channel may be off by."""
    made = fitted(world())
    moment = Moment(at=datetime(2027, 1, 15, 12), irradiance_w_m2=1000.0, air_c=25.0, bank_v=13.0, running=("kettle",))
    want = next(row for row in expected(made, moment).rows if row.id == name)
    for value, verdict in (
        (want.low - 0.199, "in band"),
        (want.low - 0.201, "out of band"),
        (want.high + 0.199, "in band"),
        (want.high + 0.201, "out of band"),
    ):
        assert one(tmp_path, SUN | {name: f"{value:.5f}"}, name).verdict == verdict


@pytest.mark.parametrize(
    ("row", "name", "why"),
    [
        ({"irradiance_w_m2": "", "a.current_a": 4}, "a.current_a", "neither light nor sky"),
        ({"irradiance_w_m2": 99, "a.current_a": 0.4}, "a.current_a", "less than 100 W/m2"),
        ({"alternator_charger.current_a": 30}, "alternator_charger.current_a", "(driving)"),
        ({"mains_charger.current_a": 30}, "mains_charger.current_a", "(hook_up)"),
        ({"bank.soc_pct": 95, "regulator_1.current_a": 1}, "regulator_1.current_a", "near full"),
        ({"bank.volt_v": 14.2, "regulator_1.current_a": 1}, "regulator_1.current_a", "near full"),
        ({"hook_up": "yes", "bank.soc_pct": 97, "mains_charger.current_a": 3}, "mains_charger.current_a", "near full"),
        ({"fridge.current_a": 0.1}, "fridge.current_a", "off"),
        ({"bank.current_a": 7}, "bank.current_a", "not every source and load"),
    ],
)
def test_what_a_log_does_not_tell_is_not_tested(tmp_path: Path, row: Row, name: str, why: str) -> None:
    reading = one(tmp_path, SUN | row, name)
    assert reading.verdict == "not tested"
    assert why in reading.why


def test_a_sky_serves_in_place_of_a_light_meter(tmp_path: Path) -> None:
    row = {"time": "2027-01-15T13:00", "clearness": 1, "a.current_a": 4.5}
    assert one(tmp_path, row, "a.current_a").verdict == "in band"
    assert one(tmp_path, row | {"clearness": 0.3}, "a.current_a").verdict == "out of band"


@pytest.mark.parametrize(("told", "amps", "verdict"), [
    ("yes", 30, "in band"), ("yes", 15, "out of band"), ("no", 0.1, "in band"), ("no", 15, "out of band"),
])  # fmt: skip
def test_chargers_by_what_feeds_them(tmp_path: Path, told: str, amps: float, verdict: str) -> None:
    for name, flag in (("alternator_charger", "driving"), ("mains_charger", "hook_up")):
        row = SUN | {flag: told, f"{name}.current_a": amps}
        assert one(tmp_path, row, f"{name}.current_a").verdict == verdict


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("bank.volt_v", 14.6, 15.0),
        ("bank.volt_v", 10.5, 10.2),  # the inverter's cut-off, less what a meter is off by
        ("bank.soc_pct", 15, 14),  # the floor of the brief
        ("inverter.current_a", 138, 140),  # 1500 W / 0.9 / 12 V: 138.9 A
    ],
)
def test_bank_and_inverter_within_their_limits(tmp_path: Path, name: str, inside: float, outside: float) -> None:
    base = {"time": "2027-01-15T12:00"}
    assert one(tmp_path, base | {name: inside}, name).verdict == "in band"
    assert one(tmp_path, base | {name: outside}, name).verdict == "out of band"


@pytest.mark.parametrize(
    ("air_c", "soc_pct", "verdict"),
    [
        (-3, 20, "in band"),  # 0 C beside the bank: 80 % of what it holds, as in test_outside_battery
        (-3, 19.9, "out of band"),
        (-23, 50, "in band"),  # and half of it at -20 C
        (-23, 49.9, "out of band"),
        (20, 15, "in band"),  # where the brief's floor is the larger
        (20, 14.9, "out of band"),
        ("", 15, "in band"),  # nobody noted how cold it was
    ],
)
def test_what_cold_keeps_back_of_the_bank_is_its_floor(
    tmp_path: Path, air_c: float | str, soc_pct: float, verdict: str
) -> None:
    shares = {"parts__module-100__capacity_0c_pct": 80, "parts__module-100__capacity_minus_20c_pct": 50}
    row = log({"time": "2027-01-15T12:00", "air_c": air_c, "bank.soc_pct": soc_pct})
    assert held(report(tmp_path, row, world(**shares)), "bank.soc_pct").verdict == verdict


WHOLE: Row = SUN | {
    "driving": "no",
    "hook_up": "no",
    "regulator_1.current_a": CHARGE_A,
    "alternator_charger.current_a": 0,
    "mains_charger.current_a": 0,
    "fridge.current_a": 4.6,
    "lamps.current_a": 0,
    "kettle.current_a": 0,
    "fire.current_a": 0,
}


def test_sources_less_loads_are_what_the_shunt_shows(tmp_path: Path) -> None:
    """11.65 - 4.6 - 8.1 / 13 = 6.43 A; 5 % of 16.25 A and 0.5 A beside it, 0.2 A of the meter."""
    width = 0.05 * (CHARGE_A + 4.6) + 0.5 + 0.2
    middle = CHARGE_A - 4.6 - 8.1 / 13
    for value, verdict in ((middle - width + 0.01, "in band"), (middle - width - 0.01, "out of band")):
        found = report(tmp_path, log(WHOLE | {"bank.current_a": f"{value:.4f}"}))
        assert held(found, "bank.current_a").verdict == verdict
    assert "wrong side of the shunt" in found.causes[0].text


def counted(amps: float, first: float, last: float, rows: int = 5, step_min: int = 30) -> str:
    """A log of a steady current, and charge from the first to the last."""
    start = datetime(2027, 1, 15, 20)
    return log(
        *(
            {
                "time": (start + timedelta(minutes=step_min * n)).isoformat(),
                "bank.current_a": amps,
                "bank.soc_pct": first + (last - first) * n / (rows - 1),
            }
            for n in range(rows)
        )
    )


def test_drift_of_charge_is_a_load_on_the_wrong_side_of_the_shunt(tmp_path: Path) -> None:
    """20 A out for 2 h is 20 % of 200 Ah; 3 points and 15 % of it beside: 14 to 26."""
    assert held(report(tmp_path, counted(-20, 80, 54.1)), "bank.drift_pct").verdict == "in band"
    found = report(tmp_path, counted(-20, 80, 53.9))
    assert held(found, "bank.drift_pct").design == pytest.approx(-20)
    assert held(found, "bank.drift_pct").verdict == "out of band"
    assert "wrong side of the shunt" in found.causes[0].text


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (counted(-5, 80, 60), "less than 10 %"),
        (counted(-20, 96, 76), "near full"),
        (counted(-20, 80, 50, step_min=61), "gaps of more than 1 h"),
    ],
)
def test_drift_that_cannot_be_told_is_not_tested(tmp_path: Path, text: str, why: str) -> None:
    reading = held(report(tmp_path, text), "bank.drift_pct")
    assert reading.verdict == "not tested" and why in reading.why


LOG_CAUSES = [
    ({"a.volt_v": 46}, "regulator limits"),
    ({"a.volt_v": 22}, "a bypass diode"),
    ({"a.volt_v": VMP, "a.current_a": 2}, "voltage is good: shade or dirt"),
    ({"a.volt_v": VMP, "regulator_1.current_a": 5}, "voltage is good: shade or dirt"),
    ({"a.volt_v": 40, "regulator_1.current_a": 5}, "regulator limits: the bank near full"),
    ({"regulator_1.current_a": 5}, "shade or dirt; or the bank near full"),
    ({"a.current_a": 9}, "metered too low"),
    ({"driving": "yes", "alternator_charger.current_a": 12}, "low voltage at its input, or heat"),
    ({"hook_up": "yes", "mains_charger.current_a": 12}, "the bank near full, heat"),
    ({"fridge.current_a": 9}, "another load"),
    ({"fridge.current_a": 2}, "part load"),
    ({"bank.volt_v": 15.5}, "another kind of bank"),
    ({"bank.volt_v": 9}, "too deep"),
    ({"bank.soc_pct": 3}, "more drawn"),
]


@pytest.mark.parametrize(("row", "text"), LOG_CAUSES)
def test_each_cause_is_named_and_marked_as_a_guess(tmp_path: Path, row: Row, text: str) -> None:
    found = report(tmp_path, log(SUN | row))
    assert text in " / ".join(cause.text for cause in found.causes)
    assert {cause.mark for cause in found.causes} == {"likely, check"}


def test_a_cause_is_told_once_however_long_the_log(tmp_path: Path) -> None:
    found = report(tmp_path, log(*(SUN | {"a.current_a": 2} for _ in range(5))))
    assert found.count("out of band") == 5
    assert len(found.causes) == 1


# --- reading it --------------------------------------------------------------------------------------


def test_times_are_moved_to_the_clock_of_the_case(tmp_path: Path) -> None:
    """The trailer's clock is two hours ahead of UTC."""
    row = {"time": "2027-01-15T10:00+00:00", "a.current_a": STRING_A, "irradiance_w_m2": 1000}
    assert one(tmp_path, row, "a.current_a").at == "2027-01-15T12:00"


def test_decimal_commas_and_comments_are_read(tmp_path: Path) -> None:
    text = "# from the display\ntime;a.current_a;irradiance_w_m2;air_c\n2027-01-15T12:00;4,75;1000;25,0\n"
    reading = held(report(tmp_path, text), "a.current_a")
    assert (reading.line, reading.measured, reading.verdict) == (3, 4.75, "in band")


def test_all_faults_of_a_log_are_told_with_row_and_column(tmp_path: Path) -> None:
    text = "\n".join(
        [
            "time,a.curent_a,bank.soc_pct,driving",
            "2027-01-15T12:00,4,120,yes",
            "yesterday,4,50,yes",
            "2027-01-15T12:00,4,50,perhaps",
            "1927-01-15T12:00,4,50",
            ",4,50,no",
        ]
    )
    told = faults(tmp_path, text)
    assert [line.split(": ")[0] for line in told] == [
        "F:1:a.curent_a",
        "F:2:bank.soc_pct",
        "F:3:time",
        "F:4:driving",
        "F:5:driving",
        "F:6:time",
    ]
    assert "expected a.current_a" in told[0]
    assert "from 0 to 100" in told[1]
    assert "'yesterday' is not a time; expected a time as 2027-01-14T09:30" in told[2]


# --- the command -------------------------------------------------------------------------------------


def given(folder: Path, text: str) -> Path:
    """A file of readings."""
    file = folder / "readings.csv"
    file.write_text(text, encoding="utf-8")
    return file


def commission(folders: Folders, file: Path, *options: str | Path) -> Result:
    """``commission`` on the handmade trailer."""
    return run("commission", folders.case, file, "--catalogue", folders.catalogue, *options)


def test_a_sheet_goes_out_blank_and_comes_back(
    trailer: Folders, build_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("optimiser.pipeline.answers.optimise", None)  # nothing may be solved
    blank = tmp_path / "sheet.csv"

    written = commission(trailer, build_file, "--blank", blank)
    assert (written.exit_code, written.stderr) == (0, f"{blank} written\n")
    assert all(caution in written.stdout for caution in CAUTIONS)
    assert "common practice, no source" in written.stdout

    again = commission(trailer, build_file, "--blank", blank)
    assert (again.exit_code, again.stdout) == (2, "")
    assert "there already" in again.stderr

    untested = commission(trailer, build_file, blank)
    assert (untested.exit_code, untested.stdout) == (2, "")
    assert "nothing in it can be judged" in untested.stderr and "left blank" in untested.stderr

    sheet = checks(world())
    back = commission(trailer, build_file, given(tmp_path, filled(sheet, as_designed(sheet))))
    assert back.exit_code == 0
    assert f"{len(sheet)} readings: {len(sheet)} in band, 0 out of band, 0 not tested" in back.stdout
    assert all(caution in back.stdout for caution in CAUTIONS)


def test_a_reading_out_of_its_band_ends_with_one(trailer: Folders, build_file: Path, tmp_path: Path) -> None:
    file = given(tmp_path, filled(checks(world()), {"mains.trip_hook_up.heater.1x_ms": {"measured": "900"}}))

    told = commission(trailer, build_file, file)
    assert told.exit_code == 1
    assert "OUT OF BAND" in told.stdout and "likely, check" in told.stdout

    content = json.loads(commission(trailer, build_file, file, "--json").stdout)
    assert (content["status"], content["counts"]["out of band"]) == ("out of band", 1)
    bad = [reading for reading in content["readings"] if reading["verdict"] == "out of band"]
    assert [(reading["id"], reading["measured"], reading["high"]) for reading in bad] == [
        ("mains.trip_hook_up.heater.1x_ms", 900, 300)
    ]


def test_a_log_shows_channels_and_the_first_few_readings(trailer: Folders, build_file: Path, tmp_path: Path) -> None:
    rows = [SUN | {"time": f"2027-01-15T12:{n:02}", "a.current_a": 2, "lamps.current_a": 0} for n in range(12)]
    told = commission(trailer, build_file, given(tmp_path, log(*rows)))

    assert told.exit_code == 1
    assert told.stdout.count("OUT OF BAND") == 10
    assert "12: off" in told.stdout


def test_a_build_with_a_breach_is_refused(trailer: Folders, build_file: Path, tmp_path: Path) -> None:
    build = handmade.build()
    broken = tuple(replace(run, fuse="fuse-10") if run.name == "inverter" else run for run in build.runs)
    build_file.write_text(to_json(replace(build, runs=broken)), encoding="utf-8")
    blank = tmp_path / "sheet.csv"

    told = commission(trailer, build_file, "--blank", blank)
    assert (told.exit_code, told.stdout) == (1, "")
    assert "run.fuse_over_load[inverter]" in told.stderr
    assert not blank.exists()
    assert json.loads(commission(trailer, build_file, "--blank", blank, "--json").stdout)["status"] == "breach"


def test_a_blank_sheet_as_json(trailer: Folders, build_file: Path, tmp_path: Path) -> None:
    content = json.loads(commission(trailer, build_file, "--blank", tmp_path / "sheet.csv", "--json").stdout)
    assert content["status"] == "blank"
    voc = next(check for check in content["checks"] if check["id"] == "string.a.1.voc_v")
    assert voc["low"] == pytest.approx(45.6)
    assert [25, 48] in voc["table"]


@pytest.mark.parametrize("both", [True, False])
def test_readings_or_a_blank_one_of_the_two(trailer: Folders, build_file: Path, tmp_path: Path, both: bool) -> None:
    options = (given(tmp_path, ""), "--blank", tmp_path / "sheet.csv") if both else ()
    told = commission(trailer, build_file, *options)
    assert (told.exit_code, told.stderr) == (2, "READINGS.csv, --blank: expected one of the two\n")


def test_faults_of_the_readings_end_with_two(trailer: Folders, build_file: Path, tmp_path: Path) -> None:
    file = given(tmp_path, "time,fridge.current_a\nnow,4\n2027-01-15T12:00,four\n")
    told = commission(trailer, build_file, file)
    assert (told.exit_code, told.stdout) == (2, "")
    assert [line.partition(": ")[0] for line in told.stderr.splitlines()] == [
        f"{file}:2:time",
        f"{file}:3:fridge.current_a",
    ]
