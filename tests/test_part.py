"""Why not this part: the best build with it or without it beside the best, and what keeps it out of all of them."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from optimiser import case as c
from optimiser import library
from optimiser.auditing import breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.explaining import kept_out, unfit
from optimiser.fitted import cost_and_mass
from optimiser.pipeline import Inputs
from optimiser.pipeline.part import NO_PART, PartTrial, why_not
from optimiser.printing import part_object, part_sheet
from optimiser.solve import Question, Solved, Stop, Undecided, optimise, requirements_of
from tests import handmade
from tests.asking import Changes
from tests.cli_help import run
from tests.conftest import Folders
from tests.edges_panel import CIRCUITS, PANEL
from tests.explaining import Solving, soon
from tests.knobs import altered
from tests.test_library import Ender
from tests.trying_help import printed, refused

STOP = Stop(300, seed=1, workers=1)  # patient with a busy machine
DEAR: Changes = (("parts.panel-flex.price", 400), ("limits.budget", None))


def other(inputs: Inputs, *changes: Any) -> Inputs:
    """The trailer with values changed; its folder stays as it is."""
    world = altered(handmade.world(), *changes)
    return replace(inputs, case=world.case, catalogue=world.catalogue)


def tried(
    inputs: Inputs, *wanted: str, without: tuple[str, ...] = (), begin: Callable[[str], None] = lambda _: None
) -> PartTrial:
    return why_not(inputs, wanted=wanted, banned=without, want="cheapest", stop=STOP, watch=lambda _: None, begin=begin)


def text_of(capsys: pytest.CaptureFixture[str], inputs: Inputs, trial: PartTrial) -> str:
    return " ".join(printed(capsys, part_sheet(inputs, trial)).split())


def reasons(trial: PartTrial) -> list[str]:
    assert trial.kept_out
    return [reason.name for reason in trial.kept_out.reasons]


# --- there is such a build -----------------------------------------------------------------------------


@pytest.mark.parametrize(("wanted", "without"), [(("module-100",), ()), (("inverters",), ("step_downs",))])
def test_a_build_that_is_so_already_is_solved_once(
    inputs: Inputs, capsys: pytest.CaptureFixture[str], wanted: tuple[str, ...], without: tuple[str, ...]
) -> None:
    heard = list[str]()

    trial = tried(inputs, *wanted, without=without, begin=heard.append)

    assert (heard, trial.already, trial.status, trial.code) == (["as asked"], True, "proven", 0)
    assert trial.line == "no change: +0.00 cu, +0.0 kg"
    assert trial.after.build == trial.before.build
    said = "it has module-100." if not without else "it has inverters and is without step_downs."
    assert f"That build is so already: {said}" in text_of(capsys, inputs, trial)


def test_a_part_that_costs_more(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    """What it costs is the audit's figure, and no less than the solver says of the case with that wish in it."""
    dear = other(inputs, *DEAR)

    trial = tried(dear, "panel-flex")

    assert (trial.status, trial.already, trial.kept_out) == ("proven", False, None)
    assert trial.before.build and trial.after.build and trial.totals
    assert not {p.panel for p in trial.before.build.panels} & {"panel-flex"}
    assert {p.panel for p in trial.after.build.panels} >= {"panel-flex"}
    worth = [cost_and_mass(dear.case, dear.catalogue, one.build) for one in (trial.before, trial.after) if one.build]
    assert trial.totals.cents == worth[1].cents - worth[0].cents > 30_000
    wish = c.Preferences(wanted=("panel-flex",))
    asked = replace(dear.case, brief=dear.case.brief.model_copy(update={"preferences": wish}))
    alone = optimise(asked, dear.catalogue, "cheapest", stop=STOP)
    assert isinstance(alone, Solved) and alone.cost_cents == worth[1].cents
    assert not breaches(trial.after.findings)
    assert "preference.wanted[panel-flex]" in {f.requirement for f in trial.after.findings}
    text = text_of(capsys, dear, trial)
    assert f"Changed: proven: {worth[1].cents / 100:.2f} cu" in text
    assert "panel-flex" in trial.line.partition(";")[0]  # main parts first
    assert f"+{trial.totals.cents / 100:.2f} cu" in text
    assert "What differs" in text


def test_two_parts_and_without_a_third(inputs: Inputs) -> None:
    trial = tried(inputs, "dc-16", "panel-flex", without=("panel-100",))

    assert trial.after.build
    assert {run.cable for run in trial.after.build.runs} >= {"dc-16"}
    assert {p.panel for p in trial.after.build.panels} == {"panel-flex"}
    assert [(move.address, move.after) for move in trial.moves] == [
        ("preferences.wanted", "dc-16 panel-flex"),
        ("preferences.banned", "panel-100"),
    ]


def test_what_the_shop_wants_already_stays_wanted(inputs: Inputs) -> None:
    liked = other(inputs, ("preferences.wanted", ("dc-16",)))

    trial = tried(liked, "panel-flex")

    assert trial.moves[0].after == "dc-16 panel-flex"
    assert tried(liked, "dc-16").moves == ()


# --- there is none ---------------------------------------------------------------------------------------


def test_a_part_for_another_voltage_is_kept_out_by_the_brief(
    inputs: Inputs, capsys: pytest.CaptureFixture[str]
) -> None:
    trial = tried(inputs, "step_downs")

    assert (trial.before.status, trial.status, trial.code) == ("proven", "impossible", 3)
    assert reasons(trial) == ["battery.voltage"] and trial.kept_out and trial.kept_out.smallest
    text = text_of(capsys, inputs, trial)
    assert "No build has step_downs because of these, a smallest set (proven)" in text
    assert "battery.voltage" in text and "set by the brief" in text
    found = part_object(trial)
    assert found["kept_out"] and found["kept_out"]["requirements"][0]["requirement"] == "battery.voltage"
    assert (found["rows"], found["difference"], found["already"]) == ([], None, False)


def test_each_reason_by_itself_lets_it_in(inputs: Inputs) -> None:
    """By other questions than those the conflict was found with."""
    trial = tried(inputs, without=("inverters",))

    assert "inverter.present" in reasons(trial) and trial.kept_out and trial.kept_out.minimal
    banned = c.Preferences(banned=("inverters",))
    asked = replace(inputs.case, brief=inputs.case.brief.model_copy(update={"preferences": banned}))
    for reason in trial.kept_out.reasons:
        gone = Question(asked, inputs.catalogue, active=lambda name, of=reason.name: not name.startswith(of))  # type: ignore[misc]
        assert isinstance(gone.any_build(stop=STOP), Solved) == reason.alone


def test_a_part_that_makers_keep_out(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    """A panel that drives more into a regulator than any stands: nothing that is asked for changes that."""
    strong = other(inputs, ("parts.panel-flex.isc_a", 40))

    trial = tried(strong, "panel-flex")

    assert trial.kept_out and trial.kept_out.core and trial.kept_out.core.minimal
    assert reasons(trial) == []
    assert {name.partition("[")[0] for name in trial.kept_out.core.names} == {"string.short_circuit"}
    text = text_of(capsys, strong, trial)
    assert "whatever else brief, survey and shop give up (proven)" in text
    assert "These limits of makers and rules leave no room for it" in text


def test_a_panel_too_large_for_the_roof_says_so(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    large = other(inputs, ("parts.panel-flex.length_mm", 3001))

    trial = tried(large, "panel-flex")

    assert trial.kept_out and trial.kept_out.core and not trial.kept_out.core.names
    fact = "panel-flex is 3001 x 510 mm, too large for each zone of the roof: roof is 3000 x 1800 mm"
    assert fact in text_of(capsys, large, trial)
    assert part_object(trial)["kept_out"]["facts"] == [fact]  # type: ignore[index]


@pytest.mark.parametrize(
    ("words", "fact", "changes"),
    [
        ("panels.kind=portable", "panel-fold is set out by hand, and is not that of [portable]", ()),
        ("panel-flex", "", (("parts.panel-flex.length_mm", 3000), ("parts.panel-flex.width_mm", 1800))),
        ("panel-flex", "", (("parts.panel-flex.length_mm", 1800), ("parts.panel-flex.width_mm", 3000))),
        ("panels", "", (("parts.panel-flex.length_mm", 3001),)),  # others are small enough
        ("alternator_chargers", "nothing feeds alternator-charger-30: case.toml has no [alternator]",
         (("brief.alternator", None),)),
        ("alternator_chargers", "alternator-charger-30 is fed with 12 V, the alternator is of 24 V",
         (("alternator.system_v", 24),)),
        ("mains_chargers", "nothing feeds mains-charger-30: case.toml has no [inlet]", (("brief.inlet", None),)),
        ("mains_boxes", "nothing goes through mains-box-2: case.toml has neither [inlet] nor [[circuits]]",
         (("brief.inlet", None), ("brief.circuits", ()))),
        ("pass", "nothing goes through pass: case.toml has no [[pass_throughs]]", (("brief.pass_throughs", ()),)),
        (PANEL.name, f"nothing lies behind {PANEL.name}: case.toml has no [[dc_circuits]]", (CIRCUITS[0],)),
        (PANEL.name, "", CIRCUITS),
        *((part, "", ()) for part in ("alternator_chargers", "mains_chargers", "mains_boxes", "entries", "modules")),
    ],
)  # fmt: skip
def test_facts_of_the_vehicle(words: str, fact: str, changes: Changes) -> None:
    world = altered(handmade.world(), *changes)

    assert unfit(world.case, world.catalogue, words) == ((fact,) if fact else ())


def test_a_case_without_any_build_is_not_asked_about_parts(inputs: Inputs, capsys: pytest.CaptureFixture[str]) -> None:
    heard = list[str]()
    poor = other(inputs, ("limits.budget", 1))

    trial = tried(poor, "panel-flex", begin=heard.append)

    assert (heard, trial.status, trial.kept_out) == (["as asked"], "impossible", None)
    assert "optimiser explain says why there is no build" in text_of(capsys, poor, trial)


# --- proven, found and not known are kept apart ------------------------------------------------------------


@pytest.mark.parametrize(("found", "status"), [(True, "best found"), (False, "don't know")])
def test_what_is_not_proven_is_not_said_to_be(
    inputs: Inputs, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], found: bool, status: str
) -> None:
    def late(case: Case, *given: Any, **options: Any) -> Any:
        best = optimise(case, *given, **options)
        assert isinstance(best, Solved)
        if not case.preferences.wanted:
            return best
        build: Build | None = best.build if found else None
        cents, grams = (best.cost_cents, best.mass_g) if found else (None, None)
        return Undecided(build, cents, grams, 10_000, 1.0, "the time limit came")

    monkeypatch.setattr("optimiser.pipeline.trying.optimise", late)

    trial = tried(inputs, "panel-flex")

    assert (trial.before.status, trial.after.status, trial.status, trial.code) == ("proven", status, status, 4)
    assert f"Changed: {status}" in text_of(capsys, inputs, trial)


def test_a_conflict_that_stays_open_says_so(capsys: pytest.CaptureFixture[str], inputs: Inputs) -> None:
    world = altered(handmade.world(), ("preferences.wanted", ("step-down-24",)))
    wish, names = "preference.wanted[step-down-24]", requirements_of(world.case, world.catalogue)
    never = Solving(lambda _: Undecided(None, None, None, 0, 1.0, "the time limit came"))

    found = kept_out(world.case, world.catalogue, (wish,), names, never, soon())

    assert (found.reasons, found.minimal, found.smallest, found.core) == ((), False, False, None)
    assert "battery.voltage" in found.doubtful and wish not in found.doubtful
    trial = replace(tried(inputs, "step-down-24"), kept_out=found)
    text = text_of(capsys, inputs, trial)
    assert f"which requirements keep it so was not found in time ({len(found.doubtful)} could)" in text
    assert "battery.voltage" not in text


def test_a_stop_leaves_the_second_half(inputs: Inputs) -> None:
    end = Ender()

    trial = library.why_not(inputs, ["panel-flex"], step=end.hear, stop=end.stop)

    assert end.heard == ["as asked"]
    assert (trial.after.status, trial.rows) == ("don't know", ())


# --- what is refused, and the command ------------------------------------------------------------------------


def test_names_that_mean_no_part_teach(inputs: Inputs) -> None:
    assert refused(lambda: tried(inputs, "panel-flux", without=("panels.kind=stiff",))) == (
        "no part or kind of part 'panel-flux'; expected panel-flex",
        "'panels.kind=stiff': none of the panels says 'stiff' there; expected flexible, portable, rigid",
    )
    assert refused(lambda: tried(inputs)) == (NO_PART,)
    banned = other(inputs, ("preferences.banned", ("panels.kind=flexible",)))
    (line,) = refused(lambda: tried(banned, "panel-flex"))
    assert line.endswith("'panel-flex' is banned as well; expected it wanted or banned")


def test_the_command(trailer: Folders) -> None:
    def explain(*options: str) -> Any:
        return run("explain", trailer.case, "--catalogue", trailer.catalogue, *options)

    out = explain("--with", "step-down-24")
    assert out.exit_code == 3 and "battery.voltage" in out.stdout and "Traceback" not in out.stderr
    assert explain("--with", "module-100", "--want", "lightest").exit_code == 0
    assert explain("--without", "nonesuch").exit_code == 2
    for more in (("--set", "payload_kg=+5"), ("--drop", "mass"), ("--sweep", "autonomy_days=1:2:1")):
        clash = explain("--with", "module-100", *more)
        assert clash.exit_code == 2 and "go by themselves" in clash.stderr
    twice = explain("--with", "module-100", "--want", "cheapest", "--want", "lightest")
    assert twice.exit_code == 2 and "expected cheapest or lightest" in twice.stderr
