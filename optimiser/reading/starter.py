"""The starter case: a vehicle of a kind, size and voltage, with loads, to change into one's own."""

import os
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Literal

from optimiser import older
from optimiser.case import TABLES
from optimiser.physics.surfaces import face_size_mm
from optimiser.reading import starter_files as files
from optimiser.reading.brief import FILE
from optimiser.reading.wording import among

Kind = Literal["van", "trailer"]
SIZES: dict[Kind, tuple[tuple[int, int, int], tuple[int, int, int]]] = {
    "van": ((4500, 5400, 8000), (1700, 2000, 2500)),
    "trailer": ((2400, 4500, 9000), (1400, 2100, 2600)),
}
"""Kind -> least, usual and most length of the body, then of its width [mm] (common practice, no source)."""

VOLTAGES = (12, 24, 48)
USUAL_LOADS = (
    "fridge", "lights", "water_pump", "phones", "roof_fan", "air_heater", "kettle", "laptop", "water_heater",
)  # fmt: skip
STARTER_LOADS = tuple(files.LOADS)
_OPEN = 0.85  # of the largest side of a bay, each way
_MEASURED = 10  # mm that a place is given to


@dataclass(frozen=True)
class Starter:
    """What a starter case is made for. ``length_mm`` and ``width_mm`` are of the body; None: the usual ones."""

    kind: Kind = "van"
    length_mm: int | None = None
    width_mm: int | None = None
    voltage: int = 12
    loads: tuple[str, ...] = USUAL_LOADS

    @property
    def length(self) -> int:
        """Of the body [mm]."""
        return self.length_mm or SIZES[self.kind][0][1]

    @property
    def width(self) -> int:
        """Of the body [mm]."""
        return self.width_mm or SIZES[self.kind][1][1]

    def faults(self) -> Iterator[str]:
        """What cannot be written, and what was expected."""
        for name, size, (least, _, most) in zip(
            ("length", "width"), (self.length, self.width), SIZES[self.kind], strict=True
        ):
            if not least <= size <= most:
                yield f"--{name}: {size} mm; expected {least} to {most} for the body of a {self.kind}"
        if self.voltage not in VOLTAGES:
            yield f"--voltage: {self.voltage} V; expected {', '.join(map(str, VOLTAGES))}"
        for load in self.loads:
            if load not in files.LOADS:
                yield f"--loads: no load {load!r}; expected {among(load, files.LOADS)} (others: in loads.csv)"


USUAL = Starter()


@dataclass(frozen=True)
class _Bay:
    """A bay of the usual vehicle: its size, its boards, and what else its row says, from ``air`` on."""

    name: str
    size: tuple[int, int, int]  # along x, along y, upwards
    middle: tuple[float, float]  # shares of the body's length from the rear, of half its width to the left
    air: str
    rest: str
    z_mm: int
    boards: tuple[tuple[str, str, str, str, str, str, str, str, tuple[str, float, float]], ...]
    """name, kind, length, width, depth, reach, sight, outside wall, and where: its face, shares of the room left over
    that are to the left of it and below; x or y before a size: it grows with its bay"""


_BAYS: dict[Kind, tuple[_Bay, ...]] = {
    "van": (
        _Bay("garage", (1300, 1000, 650), (0.13, 0), "sealed,no,yes,yes", "150,5,5,3,450,200,2000,400", 560, (
            ("floor", "floor", "x900", "y600", "400", "yes", "no", "no", ("floor", 0.9, 0.9)),
            ("wall", "wall", "x900", "450", "y250", "yes", "yes", "yes", ("right", 0.5, 0.5)),
        )),
        _Bay("bench", (950, 500, 380), (0.667, 0.55), "sealed,yes,yes,yes", "90,5,8,3,250,100,900,300", 560, (
            ("floor", "floor", "x900", "y460", "350", "yes", "no", "no", ("floor", 0.5, 0.5)),
            ("end", "wall", "y450", "350", "x150", "yes", "no", "no", ("front", 0.5, 0.5)),
        )),
        _Bay("cupboard", (600, 450, 1000), (0.5185, -0.65), "cabin,yes,no,yes", "40,5,8,3,700,200,900,300", 600, (
            ("back", "wall", "x580", "900", "y350", "yes", "yes", "yes", ("right", 0.5, 0.5)),
            ("side", "wall", "y430", "900", "x250", "yes", "yes", "no", ("front", 0.5, 0.5)),
        )),
    ),
    "trailer": (
        _Bay("boot", (500, 1500, 450), (0.92, 0), "outside,no,yes,no", "100,5,2,3,300,150,900,300", 560, (
            ("floor", "floor", "x460", "y1400", "400", "yes", "no", "no", ("floor", 0.5, 0.5)),
        )),
        _Bay("bench", (1100, 600, 420), (0.45, 0.65), "sealed,yes,yes,yes", "120,5,8,3,300,150,1200,300", 560, (
            ("floor", "floor", "x1050", "y550", "380", "yes", "no", "no", ("floor", 0.5, 0.5)),
            ("end", "wall", "y560", "390", "x250", "yes", "no", "no", ("front", 0.5, 0.5)),
        )),
        _Bay("cupboard", (700, 500, 1000), (0.55, -0.7), "cabin,yes,no,yes", "60,5,8,3,700,200,1200,300", 600, (
            ("back", "wall", "x680", "900", "y400", "yes", "yes", "yes", ("right", 0.5, 0.5)),
            ("side", "wall", "y480", "900", "x300", "yes", "yes", "no", ("front", 0.5, 0.5)),
        )),
    ),
}  # fmt: skip
_WAYS: dict[Kind, tuple[tuple[str, str, str, str], ...]] = {
    "van": (
        ("gland_drop", "roof_gland", "cupboard", "40,55,low,no"),
        ("panel_drop", "cupboard", "dc_panel", "50,40,low,no"),
        ("cupboard_foot", "cupboard", "floor_middle", "70,40,any,yes"),
        ("floor_rear", "floor_middle", "garage", "70,40,any,yes"),
        ("floor_left", "floor_middle", "bench", "70,40,any,yes"),
        ("cab_floor", "engine", "bench", "60,50,low,no"),
        ("bench_garage", "bench", "garage", "80,40,low,no"),
        ("inlet_hole", "inlet", "garage", "32,40,mains,no"),
    ),
    "trailer": (
        ("gland_drop", "roof_gland", "cupboard", "40,55,low,no"),
        ("panel_drop", "cupboard", "dc_panel", "50,40,low,no"),
        ("cupboard_foot", "cupboard", "floor_middle", "70,40,any,yes"),
        ("floor_left", "floor_middle", "bench", "70,40,any,yes"),
        ("floor_front", "floor_middle", "boot", "70,40,low,no"),
        ("drawbar", "tow_plug", "boot", "60,50,low,no"),
        ("inlet_hole", "inlet", "cupboard", "40,40,mains,no"),
    ),
}  # fmt: skip
"""Name, start, end, and the row from its bore on."""

_OPENINGS: dict[Kind, tuple[tuple[str, str, str, float, float], ...]] = {
    "van": (
        ("gland_drop", "cupboard", "ceiling", 0.2, 0.8),
        ("panel_drop", "cupboard", "rear", 0.5, 0.9),
        ("cupboard_foot", "cupboard", "floor", 0.2, 0.8),
        ("floor_rear", "garage", "front", 0.7, 0.15),
        ("bench_garage", "garage", "front", 0.2, 0.15),
        ("inlet_hole", "garage", "right", 0.92, 0.4),
        ("floor_left", "bench", "right", 0.5, 0.2),
        ("cab_floor", "bench", "right", 0.2, 0.2),
        ("bench_garage", "bench", "right", 0.8, 0.2),
    ),
    "trailer": (
        ("gland_drop", "cupboard", "ceiling", 0.2, 0.8),
        ("panel_drop", "cupboard", "rear", 0.5, 0.9),
        ("cupboard_foot", "cupboard", "floor", 0.2, 0.8),
        ("inlet_hole", "cupboard", "rear", 0.2, 0.2),
        ("floor_left", "bench", "right", 0.5, 0.2),
        ("floor_front", "boot", "rear", 0.5, 0.2),
        ("drawbar", "boot", "front", 0.5, 0.2),
    ),
}
"""Way, bay, face, and how far its middle is from the left and the lower edge of that, as shares of the face."""


def starter_files(of: Starter) -> dict[str, str]:
    """File name -> text."""
    return {
        "case.toml": _case(of),
        "loads.csv": files.LOADS_HEAD + "".join(f"{load},{files.LOADS[load]}\n" for load in of.loads),
        "scenarios.csv": files.SCENARIOS,
        **_roof(of),
        **_bays(of),
        "ways.csv": files.WAYS_HEAD + "".join(_ways(of)),
        "existing.csv": files.EXISTING,
        "cable_openings.csv": files.OPENINGS_HEAD + "".join(_openings(of)),
        "node_positions.csv": files.NODES_HEAD + "".join(f"{n},{x},{y},{z}\n" for n, (x, y, z) in _points(of).items()),
    }


def _case(of: Starter) -> str:
    used = {files.LOADS[load].split(",")[1] for load in of.loads}
    return files.CASE.substitute(
        title="Small camper van" if of.kind == "van" else "Touring trailer",
        voltage=of.voltage,
        vehicle=_vehicle(of),
        feed="engine" if of.kind == "van" else "tow_plug",
        length=of.length,
        width=of.width,
        plug="plug_a = 50                   # of the plug between the two\n" if of.kind == "trailer" else "",
        circuits="\n".join(text for name, text in files.CIRCUITS.items() if name in used),
    )


def _vehicle(of: Starter) -> str:
    """Masses by the area of the floor, axles by the length."""
    (_, usual_length, _), (_, usual_width, _) = SIZES[of.kind]
    area, length, track = of.length * of.width / (usual_length * usual_width), of.length, of.width - 250
    if of.kind == "van":
        base, payload = round(1450 * area), round(400 * area)
        return files.VAN.substitute(
            front_axle=length - 950, rear_axle=_rounded(0.19 * length), track=track, payload=payload,
            base_front=base, base_rear=base, front_max=base + payload, rear_max=base + payload + 150,
        )  # fmt: skip
    base, payload = round(1000 * area), round(300 * area)
    return files.TRAILER.substitute(
        coupling=length + 1300, axle=_rounded(0.42 * length), track=track, payload=payload, base_axle=base,
        base_hitch=round(0.08 * base), axle_max=base + payload, hitch_min=round(0.05 * base),
        hitch_max=round(0.08 * base + 0.4 * payload),
    )  # fmt: skip


def _roof(of: Starter) -> dict[str, str]:
    """One zone between the front's slope or cab and the rear, and a hatch in its front half."""
    x, length = (0.185, 0.63) if of.kind == "van" else (0.06, 0.78)
    wide = _rounded(0.65 * of.width if of.kind == "van" else of.width - 350)
    start, long = _rounded(x * of.length), _rounded(length * of.length)
    return {
        "zones.csv": files.ZONES.substitute(zone=f"{start},{-wide // 2},{long},{wide}"),
        "obstacles.csv": files.OBSTACLES.substitute(hatch=f"{start + _rounded(0.72 * long)},-240"),
    }


def _bays(of: Starter) -> dict[str, str]:
    bays, boards = files.BAYS_HEAD, files.BOARDS_HEAD
    for bay in _BAYS[of.kind]:
        along, across = _shares(of)
        x, y, _ = _middle(of, bay)
        size = _inside(of, bay)
        opening = (_rounded(_OPEN * side) for side in sorted(size, reverse=True)[:2])
        bays += ",".join(map(str, (bay.name, *size, x, y, *opening, bay.air, bay.rest, bay.z_mm))) + "\n"
        for name, kind, *sizes, reach, sight, outside, (face, *shares) in bay.boards:
            measured = [_measured(one, along, across) for one in sizes]
            room = face_size_mm(size=size, face=face)
            corner = [
                _rounded(share * (r - m) - _MEASURED / 2) for share, r, m in zip(shares, room, measured, strict=False)
            ]
            told = (bay.name, name, kind, *measured, reach, sight, outside, face, *corner)
            boards += ",".join(map(str, told)) + "\n"
    return {"bays.csv": bays, "boards.csv": boards}


def _inside(of: Starter, bay: _Bay) -> tuple[int, int, int]:
    along, across = _shares(of)
    return _rounded(bay.size[0] * along), _rounded(bay.size[1] * across), bay.size[2]


def _openings(of: Starter) -> Iterator[str]:
    inside = {bay.name: _inside(of, bay) for bay in _BAYS[of.kind]}
    for way, bay, face, *shares in _OPENINGS[of.kind]:
        long, high, _ = face_size_mm(size=inside[bay], face=face)
        yield f"{way},{bay},{face},{_rounded(shares[0] * long)},{_rounded(shares[1] * high)},\n"


def _measured(size: str, along: float, across: float) -> int:
    share = {"x": along, "y": across}.get(size[0], 1.0)
    return int(float(size.lstrip("xy")) * share)


def _shares(of: Starter) -> tuple[float, float]:
    """How much larger bays are than the usual ones, along and across: furniture grows less than the vehicle."""
    (_, length, _), (_, width, _) = SIZES[of.kind]
    return min(of.length / length, 1.25), min(of.width / width, 1.1)


def _middle(of: Starter, bay: _Bay) -> tuple[int, int, int]:
    x, y = bay.middle
    return _rounded(x * of.length), _rounded(y * of.width / 2), bay.z_mm + bay.size[2] // 2


def _points(of: Starter) -> dict[str, tuple[int, int, int]]:
    """Node that is no bay -> where it is."""
    x, y, _ = next(_middle(of, bay) for bay in _BAYS[of.kind] if bay.name == "cupboard")
    return {
        "roof_gland": (_rounded(0.46 * of.length), y, 2480),
        "dc_panel": (x + 100, -_rounded(0.4 * of.width), 1500),
        "floor_middle": (x - 100, -100, 520),
        "inlet": (600 if of.kind == "van" else x - 400, 20 - of.width // 2, 800),
        **({"engine": (of.length - 300, 200, 800)} if of.kind == "van" else {"tow_plug": (of.length + 1200, 0, 500)}),
    }


def _ways(of: Starter) -> Iterator[str]:
    """Each as long as going square from middle to middle."""
    at = _points(of) | {bay.name: _middle(of, bay) for bay in _BAYS[of.kind]}
    for name, start, end, rest in _WAYS[of.kind]:
        apart = sum(abs(a - b) for a, b in zip(at[start], at[end], strict=True))
        yield f"{name},{start},{end},{max(300, ceil(apart / 100) * 100)},{rest}\n"


def _rounded(size: float) -> int:
    return round(size / _MEASURED) * _MEASURED


# --- writing ---------------------------------------------------------------------------------------------


def write_starter(folder: Path, of: Starter = USUAL, *, like: Path | None = None) -> None:
    """Write a starter case, or a copy of another, as a new folder, all of it or nothing.

    Raises
    ------
    FileExistsError
        If ``folder`` is there already and holds something, or is no folder.
    """
    target = folder.resolve()
    if target == Path.cwd():
        raise FileExistsError(f"{folder}: is the folder you are in; expected the name of a new one")
    if target.exists() and not (target.is_dir() and not any(target.iterdir())):
        raise FileExistsError(f"{folder}: is there already and not an empty folder; expected a new name")
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.{os.getpid()}.tmp")
    made = {name: text.encode() for name, text in starter_files(of).items()}
    draft.mkdir()
    try:
        tables = [FILE, *(f"{key}.csv" for key in TABLES)]
        for name, content in (_files_of(like, tables) if like else made).items():
            (draft / name).write_bytes(content)
        if target.exists():
            target.rmdir()  # refuses if something came to lie in it meanwhile
        os.rename(draft, target)
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _files_of(case: Path, names: Iterable[str]) -> dict[str, bytes]:
    """The brief and the tables of a case, and nothing else that lies beside them."""
    return {name: path.read_bytes() for name in names if (path := older.file_of(case, name)).is_file()}
