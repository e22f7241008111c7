"""The bank's own current, where the brief asks for a monitor: a channel in its negative that nothing goes by."""

from dataclasses import replace

import pytest

import optimiser
from optimiser.auditing import audit, breaches
from optimiser.builds import Build
from optimiser.commissioning.monitor import monitor_of
from optimiser.commissioning.sheet import test_sheet as sheet_of
from optimiser.drawing.single_line import single_line
from optimiser.fitted import Fit
from optimiser.fitted.channels import channels
from optimiser.fitted.cores import cores_of
from optimiser.fitted.currents import currents
from optimiser.fitted.wiring import routed_runs
from optimiser.model.assemble import assemble
from optimiser.moves import levers
from optimiser.pipeline import Inputs
from optimiser.solve import WANTS, Question, Solved
from tests.asking import Change, broken, taken, world
from tests.explaining import STOP

ASKED: Change = ("brief.monitor", "must")
THIRD = (  # a shunt for the 200 A of the main fuse, beside those there are
    ("measuring.shunt-1x300.count", 2),
    ("runs.main.back_mm", 2000),
)


def test_it_is_left_out_where_the_brief_does_not_ask() -> None:
    at = world()
    fit = Fit(at.case, at.catalogue, at.build)

    assert at.case.brief.monitor == "no"
    assert "main" not in {current.run for current in currents(fit)}
    assert monitor_of(fit) == ""


def test_its_current_is_all_that_the_bank_gives_and_takes() -> None:
    """The main run's own, for which its fuse and isolator are chosen too."""
    at = world(ASKED)
    fit = Fit(at.case, at.catalogue, at.build)
    (ours,) = (current for current in currents(fit) if current.run == "main")

    assert ours.amps == fit.main_a
    by = {core.pole: core.by for core in cores_of(fit, routed_runs(fit)["main"])}
    assert by["-"] == ("bank", "shunt_row", "busbar") and "shunt_row" not in by["+"]


def test_without_a_channel_for_it_the_build_is_refused() -> None:
    """200 A may pass the main fuse: the one shunt of so much measures the inverter, and hubs are for 50 A."""
    at = world(ASKED)

    assert {name.partition("[")[0] for name in broken(at)} >= {"measure.channels"}
    assert not taken(at)


@pytest.fixture(scope="module")
def monitored() -> tuple[Inputs, Build, int]:
    """The trailer's cheapest with a monitor, and what it costs more than without."""
    case = optimiser.read("tiny-trailer")
    brief = case.case.brief.model_copy(update={"monitor": "must"})
    asked = replace(case, case=replace(case.case, brief=brief))
    found = [Question(inputs.case, inputs.catalogue).best(WANTS["cheapest"], stop=STOP) for inputs in (asked, case)]
    assert isinstance(found[0], Solved) and isinstance(found[1], Solved)
    return asked, found[0].build, found[0].cost_cents - found[1].cost_cents


def test_the_best_with_one_is_valid_and_dearer(monitored: tuple[Inputs, Build, int]) -> None:
    case, build, more = monitored

    assert not breaches(audit(case.case, case.catalogue, build))
    assert more > 0
    fit = Fit(case.case, case.catalogue, build)
    (channel,) = (c for c in channels(fit) if c.current and c.current.run == "main")
    main = routed_runs(fit)["main"]
    assert main.fuse and channel.shunt.rating_a >= main.fuse.rating_a
    assert channel.shunt.terminal_mm2 >= main.cable.section_mm2


def test_expect_and_test_sheet_name_its_channel(monitored: tuple[Inputs, Build, int]) -> None:
    case, build, _ = monitored
    fit = Fit(case.case, case.catalogue, build)
    by = monitor_of(fit)

    assert by.startswith("by channel A") and by.endswith("in the bank's negative")
    found = optimiser.expect(case, build, "2027-07-14T12:30", sky="clear").found
    assert found is not None and by in found.total.what
    assert found.total.value == pytest.approx(
        sum(row.value for row in found.sources) - sum(row.value for row in found.loads)
    )  # Kirchhoff: nothing else is joined to the bank
    checks = {check.id: check for check in sheet_of(fit, audit(case.case, case.catalogue, build))}
    assert "settings.monitor" in checks and by in checks["settings.monitor"].how


def test_it_is_drawn_in_the_negative_without_clashes(monitored: tuple[Inputs, Build, int]) -> None:
    case, build, _ = monitored
    fit = Fit(case.case, case.catalogue, build)
    sheets = single_line(fit, audit(case.case, case.catalogue, build))

    for sheet in sheets if isinstance(sheets, tuple) else (sheets,):
        assert not sheet.clashes()


def test_a_channel_is_decided_with_the_rest_in_the_model() -> None:
    """The model without it is what it was."""
    asked, without = (world(*changes) for changes in ((ASKED,), ()))
    names = [len(assemble(at.case, at.catalogue).m.proto.variables) for at in (asked, without)]

    assert names[0] > names[1]


def test_doing_without_is_a_lever() -> None:
    at = world(ASKED)
    found = {lever.address: lever.to for lever in levers(at.case, at.catalogue, "measure.channels")}

    assert found["case.monitor"] == "no"
    plain = world()
    assert "case.monitor" not in {x.address for x in levers(plain.case, plain.catalogue, "measure.channels")}
