"""The shipped cases do what they are shipped to show."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from optimiser.auditing import audit, breaches
from optimiser.case import Existing
from optimiser.catalogue import Catalogue
from optimiser.fitted import cost_and_mass, trace
from optimiser.moves import levers
from optimiser.reading import read_case, shipped_cases
from optimiser.solve import Impossible, Outcome, Question, Solved, Stop, Want, optimise
from tests.packing_help import SLOW_BUT_ONE, WANTS, findings, shipped
from tests.references import trade

TOGETHER = ("energy.autonomy", "mass.hitch_high")  # what makes the impossible case impossible


def all_but(*names: str) -> Callable[[str], bool]:
    """Active: every requirement but these, wherever."""
    return lambda other: other.partition("[")[0] not in names


@pytest.mark.parametrize("want", WANTS)
@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_proven_audited_and_as_good_as_the_stored_build(name: str, want: Want, catalogue: Catalogue) -> None:
    """In cents or grams to the last: tests of pages, drawings and schedules stand on the stored ones."""
    case = read_case(shipped_cases() / name, catalogue)

    outcome = optimise(case, catalogue, want, stop=Stop(seconds=600, workers=2))  # a minute, beside nothing else

    assert isinstance(outcome, Solved)
    assert not breaches(audit(case, catalogue, outcome.build))
    fresh, stored = (cost_and_mass(case, catalogue, build) for build in (outcome.build, shipped(name, want).build))
    assert (fresh.cents == stored.cents) if want == "cheapest" else (fresh.grams == stored.grams)


def test_impossible_only_together(catalogue: Catalogue) -> None:
    """Neither more load on the coupling is enough, nor fewer days without sun: the drop asks for thicker cable than
    terminals take."""
    case = read_case(shipped_cases() / "impossible-teardrop", catalogue)

    def without(*names: str) -> type[Outcome]:
        return type(Question(case, catalogue, active=all_but(*names)).any_build(stop=Stop()))

    assert without() is without("mass.hitch_high") is Impossible
    assert without("energy.autonomy") is without("run.drop") is Impossible
    assert without("energy.autonomy", "run.drop") is without("mass.hitch_high", "run.drop") is Solved
    assert without("energy.autonomy", "run.terminal") is without("mass.hitch_high", "run.terminal") is Solved


def test_together_alone_is_already_impossible(catalogue: Catalogue) -> None:
    """Whatever else can be given way in, but coffee: no dead weight, no panel, no other bay makes up for the bank."""
    case = read_case(shipped_cases() / "impossible-teardrop", catalogue)

    def active(name: str) -> bool:
        return name in (*TOGETHER, "inverter.present") or not any(lever.act for lever in levers(case, catalogue, name))

    assert isinstance(optimise(case, catalogue, "cheapest", active=active), Impossible)


def test_a_kept_inverter_of_another_voltage_is_impossible_and_no_crash(catalogue: Catalogue) -> None:
    case = read_case(shipped_cases() / "grey-month-van", catalogue)
    assert case.brief.system_voltages == (12,)
    assert case.limits.autonomy_days
    part = next(p for p in catalogue.of("inverters").values() if p.system_v == 24)
    existing = Existing(
        name="old_inverter", kind="part", part=part.name, board=case.boards[0].place, x_mm=0, y_mm=0,
        length_mm=part.length_mm, width_mm=part.width_mm, depth_mm=part.height_mm,
    )  # fmt: skip

    assert isinstance(optimise(replace(case, existing=(existing,)), catalogue, "cheapest"), Impossible)


@pytest.mark.parametrize(
    ("name", "one", "other"),
    [
        ("tiny-trailer", ("hitch_max_kg", "mass.hitch_high"), ("axle_max_kg", "mass.axle[axle]")),
        pytest.param(
            *("grey-month-van", ("front_max_kg", "mass.axle[front axle]"), ("rear_max_kg", "mass.axle[rear axle]")),
            marks=pytest.mark.slow,
        ),
    ],
)
def test_what_two_supports_carry_together_bounds_the_mass(
    name: str, one: tuple[str, str], other: tuple[str, str], catalogue: Catalogue
) -> None:
    """Panels could be shifted to spare either, but not both: 10 g more than the lightest, and 10 g less.

    The lightest is asked for: of any build that so little room is left for, few can be laid out on the roof. What it
    weighs is the stored one's, which is proven above to be the lightest.
    """
    case = read_case(shipped_cases() / name, catalogue)
    carried_kg = {f.requirement: f.actual for f in findings(name, "lightest")}

    def outcome(room_kg: float) -> Outcome:
        limits = {one[0]: round(carried_kg[one[1]] + 0.2, 3), other[0]: round(carried_kg[other[1]] - 0.2 + room_kg, 3)}
        vehicle = case.brief.vehicle.model_copy(update=limits)
        tight = replace(case, brief=case.brief.model_copy(update={"vehicle": vehicle}))
        return Question(tight, catalogue).best(("mass", "cost"), stop=Stop())

    assert isinstance(outcome(-0.01), Impossible)
    assert isinstance(outcome(0.01), Solved)


def test_the_clinic_cools_as_the_trade_reports(catalogue: Catalogue) -> None:
    """Common practice, no source: 450 Ah from a 12 V bank in the ten hours of a humid overcast working day.

    Taken from the audit's own hours of a whole build: with the air conditioner, less without it.
    """
    case = read_case(shipped_cases() / "travelling-clinic", catalogue)
    build = shipped("travelling-clinic", "cheapest").build
    scenario = next(s for s in case.scenarios if s.name == "humid_grey_pair")
    without = replace(case, loads=tuple(load for load in case.loads if load.name != "air_conditioner"))

    hours = trace(case, catalogue, build, scenario)
    drawn_w = hours.loads_w - trace(without, catalogue, build, scenario).loads_w

    first_day = drawn_w[hours.hour < 24]
    assert (first_day > 0).sum() == 10
    assert 1 <= first_day.sum() / trade.BANK_V / trade.AIR_CONDITIONER_AH < 1.1  # never less than was seen


@pytest.mark.parametrize("name", sorted(folder.name for folder in shipped_cases().iterdir() if folder.is_dir()))
def test_every_board_and_every_way_into_a_bay_is_surveyed_where_it_can_be(name: str, catalogue: Catalogue) -> None:
    """A way comes in from where it leads: never through a face with the whole bay between the two."""
    case = read_case(shipped_cases() / name, catalogue)

    assert all(board.corner for board in case.boards)
    ends = {(end, way.name) for way in case.ways for end in (way.start, way.end) if end in case.bay_of}
    assert ends == {(opening.bay, opening.way) for opening in case.cable_openings}

    def at(node: str) -> tuple[int, int, int]:
        if bay := case.bay_of.get(node):
            return bay.x_mm, bay.y_mm, (bay.z_mm or 0) + bay.height_mm // 2
        (spot,) = (spot for spot in case.node_positions if spot.node == node)
        return spot.x_mm, spot.y_mm, spot.z_mm

    for opening in case.cable_openings:
        bay = case.bay_of[opening.bay]
        (way,) = (way for way in case.ways if way.name == opening.way)
        (x, y, z), (bay_x, bay_y, bay_z) = at(way.end if way.start == bay.name else way.start), at(bay.name)
        beyond = {
            "front": x > bay_x - bay.length_mm / 2,
            "rear": x < bay_x + bay.length_mm / 2,
            "left": y > bay_y - bay.width_mm / 2,
            "right": y < bay_y + bay.width_mm / 2,
            "ceiling": z > bay_z - bay.height_mm / 2,
            "floor": z < bay_z + bay.height_mm / 2,
        }
        assert beyond[opening.face], (opening.bay, opening.way)
