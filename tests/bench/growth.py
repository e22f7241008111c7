"""How seconds and memory grow with zones, bays and the catalogue. Copies for measuring, not vehicles anyone has."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from random import Random

from optimiser.case import Bay, Board, Case, Obstacle, Way, Zone
from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.parts import PARTS, Part
from optimiser.solve import Stop, Want
from tests.bench.apart import Died, apart
from tests.bench.solving import Row, solved
from tests.bench.subjects import Subject

SIZES = {"zones": (1, 2, 3, 4, 5, 6), "bays": (2, 4, 6, 8, 10, 12), "catalogue": (1, 2, 4, 8)}
BASE = "vehicle-33"  # one zone without obstacles, two bays
_NAMED = ("holders",)  # of which fuses name one, which has to stay the one it is
_LIKE = 0.1  # prices and masses of copies are apart by up to this share, so that none of them is plainly better


@dataclass(frozen=True)
class Grown:
    """A case of some size: what came of it, the size of the model, and the most memory its process held."""

    axis: str
    size: int
    subject: str
    want: str
    state: str
    variables: int | None = None
    rules: int | None = None
    seconds: float | None = None
    cpu_s: float | None = None
    peak_mb: float | None = None
    breaches: int = 0
    why: str = ""


def rows(axes: Sequence[str], sizes_at_most: int, base: Subject, wants: Sequence[Want], stop: Stop) -> Iterator[Grown]:
    """One after the other, each in a process of its own."""
    for axis, want in product(axes, wants):
        for size in SIZES[axis]:
            if size <= sizes_at_most:
                yield _measured(axis, size, base, want, stop)


def _measured(axis: str, size: int, base: Subject, want: Want, stop: Stop) -> Grown:
    run = apart(_solved, axis, size, base, want, stop, seconds=stop.seconds)
    if isinstance(run, Died):
        return Grown(axis, size, base.name, want, "crash", why=run.why)
    row, variables, rules = run.value
    return Grown(
        axis, size, base.name, want, row.state, variables, rules,
        row.seconds, run.cpu_s, run.peak_mb, row.breaches, row.why,
    )  # fmt: skip


def _solved(axis: str, size: int, base: Subject, want: Want, stop: Stop) -> tuple[Row, int | None, int | None]:
    """What came of it, and how many variables and rules the model has, if making it took no more than the time."""
    larger = grown(*base.read(), axis, size)
    row = solved(base, want, 1, stop, *larger)
    if row.state == "undecided":
        return row, None, None
    proto = assemble(*larger).m.proto  # quick now: what is known of the roof is remembered
    return row, len(proto.variables), len(proto.constraints)


def log_lines(found: Sequence[Grown], *, day: str) -> Iterator[str]:
    """An entry of the log for each axis and want."""
    for axis, want in dict.fromkeys((row.axis, row.want) for row in found):
        ours = [row for row in found if (row.axis, row.want) == (axis, want)]
        points = ", ".join(
            f"{row.size}: {row.seconds or 0.0:.1f} s {row.peak_mb or 0.0:.0f} MB {row.state}" for row in ours
        )
        yield f"- {day}, growth of {ours[0].subject}, {want}, by {axis}: {points}"


# --- larger cases --------------------------------------------------------------------------------------


def grown(case: Case, catalogue: Catalogue, axis: str, size: int) -> tuple[Case, Catalogue]:
    """The case with so many zones or bays, or with so many times the catalogue."""
    if axis == "zones":
        return _with_zones(case, size), catalogue
    if axis == "bays":
        return _with_bays(case, size), catalogue
    return case, times(catalogue, size)


def _with_zones(case: Case, number: int) -> Case:
    """The first zone cut across into so many: the same roof."""
    whole = case.zones[0]
    length = whole.length_mm // number
    cut = tuple(
        whole.model_copy(
            update={
                "name": f"{whole.name}_{k}",
                "x_mm": whole.x_mm + k * length,
                "length_mm": length,
                "front_set_back_mm": whole.front_set_back_mm if k == number - 1 else whole.set_back_mm,
                "mass_max_kg": whole.mass_max_kg / number,
            }
        )
        for k in range(number)
    )
    return replace(case, zones=cut + case.zones[1:], obstacles=tuple(_moved(o, whole, cut) for o in case.obstacles))


def _moved(obstacle: Obstacle, whole: Zone, cut: Sequence[Zone]) -> Obstacle:
    if obstacle.zone != whole.name:
        return obstacle
    begun = [zone for zone in cut if zone.x_mm <= obstacle.x_mm]
    return obstacle.model_copy(update={"zone": begun[-1].name})


def _with_bays(case: Case, number: int) -> Case:
    """Its bays over and over, each copy with the boards of the first and a way to it, a little longer each time."""
    bays, boards, ways = list[Bay](case.bays), list[Board](case.boards), list[Way](case.ways)
    for k in range(number - len(bays)):
        bay = case.bays[k % len(case.bays)]
        name = f"{bay.name}_{k}"
        bays.append(bay.model_copy(update={"name": name, "z_mm": None}))
        boards += [board.model_copy(update={"bay": name}) for board in case.boards if board.bay == bay.name]
        way = {"name": f"to_{name}", "start": bay.name, "end": name, "length_mm": 500 + 10 * k, "bore_mm": 60}
        ways.append(next(w for w in case.ways if w.carries == "any").model_copy(update=way))
    return replace(case, bays=tuple(bays), boards=tuple(boards), ways=tuple(ways))


def times(catalogue: Catalogue, number: int) -> Catalogue:
    """Each part so many times, dearer or cheaper, heavier or lighter by a little."""
    draw = Random(number)

    def like(part: Part, k: int) -> Part:
        price, mass = (draw.uniform(1 - _LIKE, 1 + _LIKE) for _ in range(2))
        name = f"{part.name}-{k}"
        return part.model_copy(
            update={"name": name, "price": round(part.price * price, 2), "mass_kg": round(part.mass_kg * mass, 3)}
        )

    tables = {
        key: {p.name: p for part in catalogue.of(key).values() for p in (part, *(like(part, k) for k in copies))}
        for key in PARTS
        for copies in (range(1, 1 if key in _NAMED else number),)
    }
    return Catalogue(tables, catalogue.rule_sets)
