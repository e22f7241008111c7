"""A generator at the inlet: hours of it are hours of hook-up, and it gives no more than it can."""

from pathlib import Path

import numpy as np
import pytest

from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.basis import loads
from optimiser.catalogue import Catalogue
from optimiser.commissioning.sheet import test_sheet as sheet_of
from optimiser.fitted import Fit
from optimiser.reading import read_case
from optimiser.solve import Impossible, Solved, optimise
from tests.asking import found, taken, world
from tests.edges import GENERATOR
from tests.explaining import STOP
from tests.reading_help import change, problems_of

NO_HOOK_UP = (("scenarios.summer.hook_up_from_h", None), ("scenarios.summer.hook_up_to_h", None))
RUNS = (("scenarios.summer.generator_from_h", 18), ("scenarios.summer.generator_to_h", 7))


def test_its_hours_charge_and_feed_as_those_of_hook_up() -> None:
    hooked_up, generated = world(), world(*GENERATOR, *NO_HOOK_UP, *RUNS)
    one, other = (loads.hourly(at.case, at.case.scenarios[0]) for at in (hooked_up, generated))

    assert np.array_equal(one.hooked_up, other.hooked_up) and one.hooked_up.any()
    assert np.array_equal(one.hook_up_w, other.hook_up_w) and other.hook_up_w.any()
    assert np.array_equal(one.gives["mains_charger"], other.gives["mains_charger"])
    assert loads.peaks(hooked_up.case).hook_up_w == loads.peaks(generated.case).hook_up_w == 500
    assert (loads.peaks(hooked_up.case).generator_w, loads.peaks(generated.case).generator_w) == (0, 500)


def test_both_at_once_are_no_more_than_one() -> None:
    both = world(*GENERATOR, *RUNS)

    assert loads.hourly(both.case, both.case.scenarios[0]).hooked_up.max() == 1
    assert not breaches(audit(both.case, both.catalogue, both.build))


def test_what_runs_on_hook_up_alone_asks_nothing_of_it() -> None:
    """The fire is on from five to seven, the generator from eighteen to nineteen: the charger's 480 W."""
    short = (("scenarios.summer.generator_from_h", 18), ("scenarios.summer.generator_to_h", 19))

    assert found("charge.generator", *GENERATOR, *short).actual == pytest.approx(480)
    assert taken(world(("brief.generator", c.Generator(watt_w=481)), *short))


def test_a_small_one_is_too_small_for_every_charger() -> None:
    """480 W for the one charger of the catalogue, which the brief asks for."""
    for watts, answer in ((480.1, Solved), (479.9, Impossible)):
        at = world(("brief.generator", c.Generator(watt_w=watts)))
        assert isinstance(optimise(at.case, at.catalogue, "cheapest", stop=STOP), answer)


def test_it_is_tested_on_the_test_sheet() -> None:
    def checks(*changes: tuple[str, object]) -> set[str]:
        at = world(*changes)
        return {check.id for check in sheet_of(Fit(at.case, at.catalogue, at.build), ())}

    assert checks(*GENERATOR) - checks() == {"mains.on_generator"}


def test_without_an_inlet_there_is_nothing_to_plug_it_into(folder: Path, catalogue: Catalogue) -> None:
    text = (folder / "case.toml").read_text(encoding="utf-8")
    inlet = text[text.index("[inlet]") :].split("\n\n", 1)[0]
    change(folder / "case.toml", inlet, "[generator]\nwatt_w = 800")

    problems = {p.column: p.message for p in problems_of(lambda: read_case(folder, catalogue))}

    assert problems["generator"] == "there is no [inlet] that it could be plugged into; expected that table"


def test_its_hours_need_it(folder: Path, catalogue: Catalogue) -> None:
    path = folder / "scenarios.csv"
    rows = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    path.write_text("\n".join([f"{rows[0]},generator_from_h,generator_to_h", f"{rows[1]},8,10"]), encoding="utf-8")

    problems = {p.column: p.message for p in problems_of(lambda: read_case(folder, catalogue))}

    assert problems["generator_from_h"] == "8 though case.toml has no [generator]; expected nothing, or that table"
