"""What is fitted is looked up once: whoever asks of the same build shares its fit, and the runs worked out of it."""

from collections import Counter
from typing import Any

import pytest

from optimiser import fitted
from optimiser.auditing import audit
from optimiser.builds import BuildProblem, from_json
from optimiser.fitted import cost_and_mass, fit_of, wiring
from optimiser.fitted.places import standing
from optimiser.packing import pack_files
from optimiser.packing.dossier import dossier
from optimiser.packing.options import options
from optimiser.pipeline import Choice, Comparison, read
from tests import handmade
from tests.knobs import changed
from tests.packing_help import FOLDER, WANTS


@pytest.mark.slow
def test_a_pack_looks_up_each_of_its_builds_once(monkeypatch: pytest.MonkeyPatch) -> None:
    made: Counter[str] = Counter()

    def count(module: Any, name: str) -> None:
        kind = getattr(module, name)
        monkeypatch.setattr(module, name, lambda *args, **kwargs: made.update([name]) or kind(*args, **kwargs))

    count(fitted, "Fit")
    count(wiring, "RoutedRun")
    inputs = read("tiny-trailer", ())
    builds = [from_json((FOLDER / f"tiny-trailer-{want}.json").read_text(encoding="utf-8")) for want in WANTS]
    choices = []
    for build in builds:
        its = cost_and_mass(inputs.case, inputs.catalogue, build)
        found = audit(inputs.case, inputs.catalogue, build)
        choices.append(Choice(build, {"cost": its.cents, "mass": its.grams}, found, True))
    compared = Comparison(("cost", "mass"), tuple(choices), (), "points of the front")

    pack_files(dossier(inputs, options(inputs, builds[0], compared, {})), compared)

    assert made == {"Fit": len(builds), "RoutedRun": sum(len(build.runs) for build in builds)}


def test_a_fit_is_of_the_very_build_case_and_catalogue() -> None:
    world = handmade.world()
    fit = fit_of(world.case, world.catalogue, world.build)
    dearer = changed(world, "parts.cable-50.price", 1000)
    moved = changed(world, "fitted.inverter.x_mm", 150)

    assert fit_of(world.case, world.catalogue, world.build) is fit
    assert standing(fit) is standing(fit)
    assert fit_of(world.case, dearer.catalogue, world.build) is not fit
    assert standing(fit_of(moved.case, moved.catalogue, moved.build)) != standing(fit)


def test_a_build_that_names_what_does_not_exist_is_refused_each_time() -> None:
    world = changed(handmade.world(), "fitted.inverter.part", "none-such")

    for _ in range(2):
        with pytest.raises(BuildProblem, match="none-such"):
            fit_of(world.case, world.catalogue, world.build)
