"""What is solved: shipped cases, the clinic with its full load, random vehicles, a small world; each by its name."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves import moved, parse_set
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from tests import handmade
from tests.vehicles import SEEDS, vehicle

_CLINIC, _SMALL = "travelling-clinic", "handmade"
_DRY_DAY = "load.air_conditioner_dry.duty_pct=65"
# Too small to lie in anyone's way, in a corner that the set-back keeps free.
_NONE_ON_ROOF = (
    *(f"obstacle.roof_air_conditioner.{side}=1" for side in ("length_mm", "width_mm", "height_mm")),
    "obstacle.roof_air_conditioner.clear_mm=0",
    "obstacle.roof_air_conditioner.x_mm=200",
    "obstacle.roof_air_conditioner.y_mm==-1050",
)
_ROOF_AT_FIRST = ("zone.rear_roof.length_mm=2900", "zone.front_roof.x_mm=3900", "zone.front_roof.length_mm=2300")
_HUMID_DAY_AT_FIRST = ("load.air_conditioner.duty_pct=76", "load.air_conditioner.to_h=17")

FULL_LOAD: dict[str, tuple[str, ...]] = {
    # The dry day as before it was eased; the humid one is at 78 % of ten hours, more than it ever was.
    "clinic-full-load": (_DRY_DAY,),
    # The same with the whole roof for panels.
    "clinic-full-load-bare-roof": (_DRY_DAY, *_NONE_ON_ROOF),
    # Loads and roof as they were at first.
    "clinic-at-first": (_DRY_DAY, *_HUMID_DAY_AT_FIRST, *_NONE_ON_ROOF, *_ROOF_AT_FIRST),
}
"""Settings on the shipped clinic, as ``--set`` takes them."""

UNSEEN = range(max(SEEDS) + 1, 2 * max(SEEDS) + 1)
"""Seeds that nothing is ever tuned to."""


@dataclass(frozen=True)
class Subject:
    """A case by its name, and the group it is counted in."""

    group: str
    name: str

    def read(self) -> tuple[Case, Catalogue]:
        """Made anew from its name, so that a process of its own can."""
        if self.name == _SMALL:
            world = handmade.world()
            return world.case, world.catalogue
        catalogue = read_catalogue(shipped_catalogue())
        if self.name.startswith("vehicle-"):
            return vehicle(int(self.name.removeprefix("vehicle-")), catalogue), catalogue
        settings = FULL_LOAD.get(self.name, ())
        case = read_case(shipped_cases() / (_CLINIC if settings else self.name), catalogue)
        for setting in settings:
            found = moved(case, catalogue, parse_set(setting))
            case, catalogue = found.case, found.catalogue
        return case, catalogue


GROUPS: dict[str, tuple[str, ...]] = {
    "shipped": ("tiny-trailer", "grey-month-van", _CLINIC),
    "full-load": tuple(FULL_LOAD),
    "vehicles": tuple(f"vehicle-{seed}" for seed in SEEDS),
    "unseen": tuple(f"vehicle-{seed}" for seed in UNSEEN),
    "small": (_SMALL,),
}
HELD = ("shipped", "full-load", "vehicles", "unseen")
"""The groups that are held to the targets."""


def subjects(chosen: Iterable[str]) -> list[Subject]:
    """Groups, names and seeds (``1-4``) as subjects, in the order of the groups and each once.

    Raises
    ------
    ValueError
        If there is no such group, name or seed.
    """
    names: set[str] = set()
    for text in chosen:
        names |= set(GROUPS.get(text) or ([text] if _known(text) else _seeds(text)))
    return [subject for subject in _all() if subject.name in names]


def _all() -> Iterator[Subject]:
    return (Subject(group, name) for group, names in GROUPS.items() for name in names)


def _known(name: str) -> bool:
    return any(subject.name == name for subject in _all())


def _seeds(text: str) -> Sequence[str]:
    first, _, last = text.partition("-")
    if not (first.isdecimal() and (last or first).isdecimal()):
        raise ValueError(f"{text}: expected a group ({', '.join(GROUPS)}), the name of a case, or seeds such as 1-4")
    found = [f"vehicle-{seed}" for seed in range(int(first), int(last or first) + 1)]
    if not found or not all(_known(name) for name in found):
        raise ValueError(f"{text}: expected seeds from {min(SEEDS)} to {max(UNSEEN)}")
    return found
