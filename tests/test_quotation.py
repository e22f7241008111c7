"""The quotation: its prices are the audit's, and it invents nothing."""

from dataclasses import replace
from hashlib import sha256

import pytest

from optimiser.builds import to_json
from optimiser.fitted import cost_and_mass
from optimiser.schedules import NOT_IN_THE_BUILD, TOLD, OptionLine, Quotation, not_in_the_build, quotation
from optimiser.schedules.materials import lines, materials
from optimiser.schedules.quotation import EXCLUSIONS
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, found_in


def _of(made: World) -> Quotation:
    return quotation(fit_made(made), found_in(made), version="v")


def test_the_handmade_trailers_quotation_adds_up_on_paper() -> None:
    offer = _of(world())

    # worked out in test_schedules.py
    assert [(price.name, price.cents) for price in offer.prices] == [
        ("parts", 480_20), ("sundries", 49_55), ("labour", 192_00), ("total", 721_75),
    ]  # fmt: skip
    assert offer.mass_kg == 20.51
    assert (offer.labour_per_h, offer.currency) == (60, "cu")


@every_build
def test_prices_sum_to_what_the_audit_finds(name: str, want: str) -> None:
    fit = shipped(name, want)
    offer = quotation(fit, findings(name, want), version="v")
    total = cost_and_mass(fit.case, fit.catalogue, fit.build)

    assert offer.prices[-1].cents == total.cents == sum(price.cents for price in offer.prices[:-1])
    assert round(offer.mass_kg * 1000) == total.grams


@every_build
def test_every_part_of_the_price_is_named_or_pointed_to(name: str, want: str) -> None:
    """Classes of the bill that are not named part by part are those of the last line."""
    fit = shipped(name, want)
    told = quotation(fit, findings(name, want), version="v").what
    summed = {"fuses": "fuses", "holders": "holders", "shunts": "shunts", "cables": "cables", "entries": "entries",
              "vents": "vents"}  # fmt: skip
    bought = [line for line in lines(fit) if not line.remark and line.unit == "piece"]
    assert {line.kind for line in bought} & set(summed)
    for line in bought:
        if line.kind in summed:
            assert summed[line.kind] in told[-1]
        else:
            assert any(line.part in words for words in told[:-1]), line
    assert ("vents" in told[-1]) == bool(fit.build.vents)


def test_what_is_not_there_is_not_named() -> None:
    bare = changed(changed(world(), "fitted.switch", None), "vents.locker", None)
    told = _of(bare).what
    assert not any("switch" in line for line in told)
    assert told[-1].startswith("fuses with their holders, shunts, cables with their ends and entries as in")


def test_what_of_the_mains_is_in_the_price_is_said() -> None:
    said = "he licensed electrician's own labour is not in the price."

    def told(made: World) -> str:
        (note,) = [note for note in _of(made).notes if said in note]
        return note

    assert "minutes to fit the mains box and to lay mains cables and make their ends" in told(world())
    kept = changed(world(), "fitted.mains_box.existing", True)
    assert "minutes to lay mains cables" in told(kept) and "mains box" not in told(kept)
    none = kept
    for run in ("mains_inlet", "mains_feed", "inverter_out"):
        none = changed(none, f"runs.{run}", None)
    assert told(none) == f"T{said}"


def test_options_are_passed_on() -> None:
    other = OptionLine("option 2", -5_000, 1_200, "one panel less")

    assert quotation(fit_made(world()), (), options=[other], version="v").options == (other,)


def test_a_build_with_a_breach_is_not_quoted_as_whole() -> None:
    whole, broken = _of(world()), _of(changed(world(), "limits.budget", 600))

    assert whole.checked == (whole.checked[0], TOLD) and whole.checked[0].endswith("all are met")
    assert broken.checked[0].endswith("1 are NOT met")
    assert broken.checked[1].startswith("not met: ") and "600" in broken.checked[1]


def test_versions_tell_builds_apart() -> None:
    made = world()
    offer = _of(made)

    assert offer.build == sha256(to_json(made.build).encode()).hexdigest()
    assert _of(changed(made, "panels.0.x_mm", 601)).build != offer.build
    assert offer.version == "v"


# --- what is not in the build ----------------------------------------------------------------------------


def _left_out(made: World) -> str:
    return "; ".join(not_in_the_build(fit_made(made)))


def test_what_the_build_does_not_hold_is_told_in_quotation_and_bill() -> None:
    made = world()
    missing = not_in_the_build(fit_made(made))

    assert _of(made).exclusions == (*EXCLUSIONS, *missing)
    assert any(all(line in note for line in missing) for note in materials(fit_made(made)).notes)
    for words in ("roof glands", "disconnector", "restraint", "earthing", "signal wire", "tow",
                  "inlet", "final circuits", "sundries"):  # fmt: skip
        assert words in "; ".join(missing)
    assert len(set(missing)) == len(missing)


@pytest.mark.parametrize(
    ("knob", "value", "words"),
    [
        ("fitted.alternator_charger", None, "signal wire"),
        ("brief.alternator", None, "tow"),
        ("brief.inlet", None, "mains inlet"),
        ("fitted.mains_box", None, "final circuits"),
    ],
)
def test_only_what_applies_to_a_build_is_told(knob: str, value: object, words: str) -> None:
    assert words in _left_out(world())
    assert words not in _left_out(changed(world(), knob, value))


def test_without_panels_nothing_is_told_of_them() -> None:
    made = world()
    runs = tuple(run for run in made.build.runs if run.name != "solar_a")
    bare = World(made.case, made.catalogue, replace(made.build, panels=(), arrays=(), runs=runs))

    for words in ("roof glands", "disconnector"):
        assert words in _left_out(made) and words not in _left_out(bare)


def test_branch_connectors_are_told_where_strings_are_in_parallel() -> None:
    two = replace(world().build.arrays[0], series=1, parallel=2)

    assert "branch connectors" not in _left_out(world())
    assert "branch connectors" in _left_out(changed(world(), "build.arrays", (two,)))


def test_a_van_has_no_towing_vehicle_and_a_portable_panel_has_its_socket() -> None:
    """Both charge from the engine; the trailer made by hand does so through its tow connector."""
    van, trailer = "; ".join(not_in_the_build(shipped("grey-month-van"))), _left_out(world())

    assert "signal wire" in van and "signal wire" in trailer
    assert "towing" not in van and "towing" in trailer
    assert "portable panel" in van and "portable panel" not in trailer


@every_build
def test_every_build_has_lines_of_the_one_list(name: str, want: str) -> None:
    fit = shipped(name, want)
    told = not_in_the_build(fit)

    assert set(told) <= {text for text, _ in NOT_IN_THE_BUILD}
    assert quotation(fit, findings(name, want), version="v").exclusions[-len(told) :] == told
