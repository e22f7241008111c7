"""Published packings as goals of the code that lays out roofs: how many it proves, and in what time.

Pallets are panels of one type on a bare zone, knapsacks panels of many types, lying one way or turned. The files lie
beside the checkout; what is not there is told as such. Some published values were proven wrong since: see `better`.
"""

import csv
import json
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

from optimiser.model.packing import Item, PackResult, Sheet, most_value
from optimiser.model.packing import Stop as PackingStop
from tests.bench.apart import Died, apart

SHARED = Path(__file__).resolve().parents[3] / "shared" / "benchmarks"
FILES = {"pallets": "pallet_loading.csv", "knapsacks": "packing_knapsack.json"}


@dataclass(frozen=True)
class Instance:
    """A sheet and what may lie on it; ``published`` was printed, and if ``checked`` it is an optimum."""

    group: str
    name: str
    sheet: Sheet
    items: tuple[Item, ...]
    published: int
    checked: bool


@dataclass(frozen=True)
class Packed:
    """What came of it. ``found`` lies there, checked by plain geometry; ``bound`` is what none is above.

    ``state``: proven; open; better, where more lies there than was published; wrong, where an optimum that others have
    proven is missed by a proof of ours.
    """

    group: str
    instance: str
    state: str
    published: int
    found: int | None = None
    bound: int | None = None
    seconds: float | None = None
    cpu_s: float | None = None
    why: str = ""


def instances() -> Iterator[Instance]:
    """All of the files that are at hand, those with turning as well."""
    if (SHARED / FILES["pallets"]).exists():
        yield from _pallets((SHARED / FILES["pallets"]).read_text(encoding="utf-8"))
    if (SHARED / FILES["knapsacks"]).exists():
        yield from _knapsacks(json.loads((SHARED / FILES["knapsacks"]).read_text(encoding="utf-8"))["instances"])


def _pallets(text: str) -> Iterator[Instance]:
    for row in csv.DictReader(text.splitlines()):
        box = Item(name="box", length=int(row["l"]), width=int(row["w"]))
        sheet = Sheet(length=int(row["L"]), width=int(row["W"]))
        checked = row["verified_by_us"] == "yes"
        yield Instance("pallets", row["name"], sheet, (box,), int(row["optimum"]), checked)


def _knapsacks(given: Sequence[dict[str, Any]]) -> Iterator[Instance]:
    for row in given:
        for way, turns in (("fixed", (False,)), ("rotated", (False, True))):
            if way in row:
                items = tuple(
                    Item(name=f"item-{k}", length=w, width=h, turns=turns, value=value, most=most)
                    for k, (w, h, most, value) in enumerate(row["items_w_h_max_value"])
                )
                sheet, known = Sheet(length=row["W"], width=row["H"]), row[way]
                checked = known["verified_by_us"] == "yes"
                yield Instance(f"knapsacks {way}", row["name"], sheet, items, known["published"], checked)


def missing() -> list[str]:
    """Files that are not at hand."""
    return [
        f"{SHARED / name}: not there, so no {group}" for group, name in FILES.items() if not (SHARED / name).exists()
    ]


def rows(given: Sequence[Instance], seconds: float) -> Iterator[Packed]:
    """Each in a process of its own."""
    for instance in given:
        run = apart(_packed, instance, seconds, seconds=seconds)
        if isinstance(run, Died):
            yield Packed(instance.group, instance.name, "crash", instance.published, why=run.why)
        else:
            result, took_s = run.value
            yield Packed(
                instance.group, instance.name, state(instance, result), instance.published,
                result.value, result.bound, took_s, run.cpu_s,
            )  # fmt: skip


def _packed(instance: Instance, seconds: float) -> tuple[PackResult, float]:
    started = time.monotonic()
    result = most_value(instance.sheet, instance.items, stop=PackingStop(work=seconds, seconds=seconds))
    return result, time.monotonic() - started


def state(instance: Instance, result: PackResult) -> str:
    """How a result stands to what was published."""
    if result.value > instance.published:
        return "better, proven" if result.proven else "better"
    if instance.checked and result.bound < instance.published:
        return "wrong"
    return "proven" if result.proven else "open"


def log_lines(found: Sequence[Packed], *, day: str, seconds: float) -> Iterator[str]:
    """An entry of the log for each group: how many are proven, and in what time."""
    for group in dict.fromkeys(row.group for row in found):
        ours = [row for row in found if row.group == group]
        took = sorted(row.seconds or 0.0 for row in ours if row.state.endswith("proven"))
        times = f" in median {median(took):.2f} s, worst {took[-1]:.1f} s" if took else ""
        left = ", ".join(
            f"{row.instance} {row.found} to {row.bound}" for row in ours if not row.state.endswith("proven")
        )
        yield (
            f"- {day}, published packing by the roof's code, {group}: {len(took)} of {len(ours)} proven within "
            f"{seconds:g} s{times}; not proven: {left or 'none'}"
        )
