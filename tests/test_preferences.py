"""Preferences of the shop: every part of a build is seen where it is wanted or banned, by audit and model alike."""

from pathlib import Path

import pytest

from optimiser.auditing import audit
from optimiser.case import Preferences
from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.moves import moved, parse_set
from optimiser.reading import read_case, shipped_cases
from tests import handmade
from tests.asking import Changes, broken, reaching, taken, world
from tests.edges import MODULES_FUSED
from tests.pairs import TWINS, types
from tests.test_model_and_audit import EXISTING_FILLS_ITS_BOARD
from tests.worlds import AT_24_V

PARTS = [name for table in handmade.catalogue().tables.values() for name in table]
NOT_FITTED = {"panel-flex", "panel-fold", "step-down-24", "solar-16", "holder-terminal", "fuse-125"}

SEEN: list[tuple[str, Changes]] = [
    *((part, ()) for part in PARTS if part not in NOT_FITTED),
    *((part, MODULES_FUSED) for part in ("fuse-125", "holder-terminal")),
    ("step-down-24", AT_24_V),
    ("inverter-1500", EXISTING_FILLS_ITS_BOARD),
    ("panels", ()),
    ("panels.kind=rigid", ()),
    ("regulators.system_v=24", ()),
    ("fuses.rating_a=175", ()),
    ("holders.on_terminal=yes", ()),
]
UNSEEN: list[tuple[str, Changes]] = [
    *((part, ()) for part in sorted(NOT_FITTED)),
    ("step_downs", ()),
    ("panels.kind=portable", ()),
]


@pytest.mark.parametrize(("part", "given"), SEEN, ids=[f"{part}-{len(given)}" for part, given in SEEN])
def test_what_is_fitted_is_seen(part: str, given: Changes) -> None:
    """Wanted is met, banned is not: what is existing and holders of fuses count too."""
    wanted, banned = (world(*given, (f"preferences.{how}", (part,))) for how in ("wanted", "banned"))
    name = f"preference.banned[{part}]"

    assert (broken(wanted), taken(wanted)) == (set(), True)
    assert (broken(banned), taken(banned)) == ({name}, False)
    assert taken(banned, lambda asked: asked != name)


@pytest.mark.parametrize(("part", "given"), UNSEEN, ids=[part for part, _ in UNSEEN])
def test_what_is_not_fitted_is_missed(part: str, given: Changes) -> None:
    wanted, banned = (world(*given, (f"preferences.{how}", (part,))) for how in ("wanted", "banned"))
    name = f"preference.wanted[{part}]"

    assert (broken(banned), taken(banned)) == (set(), True)
    assert (broken(wanted), taken(wanted)) == ({name}, False)
    assert taken(wanted, lambda asked: asked != name)


def test_each_wish_is_one_of_its_own() -> None:
    at = world(("preferences.wanted", ("panel-100", "panel-flex", "step_downs")))

    assert broken(at) == {"preference.wanted[panel-flex]", "preference.wanted[step_downs]"}
    assert not taken(at, lambda asked: asked != "preference.wanted[panel-flex]")
    assert taken(at, lambda asked: not asked.startswith("preference.wanted"))


def test_regulators_of_two_types_are_no_matter_unless_twins_are_wanted() -> None:
    unlike = reaching(
        *types(2), *TWINS, ("fitted.regulator_2.part", "regulator-21"), ("preferences.twins_alike", False)
    )

    assert (broken(unlike), taken(unlike)) == (set(), True)


PLAIN = [
    folder for folder in sorted(shipped_cases().iterdir()) if folder.name != "older-caravan"
]  # which asks for some


@pytest.mark.parametrize("folder", PLAIN, ids=lambda folder: folder.name)
def test_a_case_without_preferences_is_asked_for_none(folder: Path, catalogue: Catalogue) -> None:
    case = read_case(folder, catalogue)

    assert case.preferences == Preferences()
    assert not [name for name in assemble(case, catalogue).posted if name.startswith("preference.")]


def test_a_world_without_preferences_is_asked_for_none() -> None:
    at = handmade.world()

    assert not [f for f in audit(at.case, at.catalogue, at.build) if f.name.startswith("preference.")]


@pytest.mark.parametrize(
    ("words", "names"),
    [
        ("panel-100", {"panel-100"}),
        ("panels", {"panel-100", "panel-flex", "panel-fold"}),
        ("panels.kind=flexible", {"panel-flex"}),
        ("modules.nominal_v=12.8", {"module-100"}),
        ("fuses.rating_a=10", {"fuse-10"}),
        ("holders.on_terminal=no", {"holder-row"}),
        ("regulators.system_v=24", {"regulator-20"}),
        ("regulators.system_v=2", set()),
        ("regulators.no_column=24", set()),
        ("regulator", set()),
        ("", set()),
    ],
)
def test_words_mean_parts_as_the_catalogue_is_written(words: str, names: set[str]) -> None:
    """A number as in the file, yes or no, one of several."""
    assert {part.name for part in handmade.catalogue().meant(words)} == names


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("preferences.wanted=panels.kind=rigid busbars", ("panels.kind=rigid", "busbars")),
        ("preferences.wanted=nothing", ()),
    ],
)
def test_a_list_moves_as_a_whole(text: str, after: tuple[str, ...]) -> None:
    at = world(("preferences.wanted", ("panel-100",)))

    move = moved(at.case, at.catalogue, parse_set(text))

    assert move.case.preferences.wanted == after
    assert (move.before, move.after) == ("panel-100", " ".join(after) or "nothing")
