"""The bill of materials: what is bought, what it costs and weighs, in the audit's own cents and grams."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from optimiser.basis import money
from optimiser.basis.money import CostAndMass
from optimiser.fitted import Fit
from optimiser.fitted.cores import ends_to_make
from optimiser.fitted.currents import currents
from optimiser.fitted.links import cable_run, links_of
from optimiser.fitted.old_parts import fitted_again, old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import PARTS, Cable, Entry, Panel, Part, Vent
from optimiser.schedules.table import Column, Row, Schedule
from optimiser.units import CENTS, GRAMS, at_most, exact

Unit = Literal["piece", "end", "m of core", "m"]

STAYS = "existing"
AGAIN = "old one, fitted again"
OLD = "old parts"
CUSTOMERS = "the customer has it"
_MM_IN_M = 1000
_NOTHING = CostAndMass(0, 0)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the bill. Unit prices are in cents; what stays or is the customer's own costs and weighs nothing."""

    kind: str  # catalogue file the part is in, in words
    part: str
    remark: str
    count: float
    unit: Unit
    price: float = 0
    kit: float = 0  # mounting kit of a panel
    sundries: float = 0
    minutes: float = 0
    mass_kg: float = 0
    parts_cents: int = 0
    sundries_cents: int = 0
    worth: CostAndMass = _NOTHING

    @property
    def labour_cents(self) -> int:
        """What is not parts or sundries: labour, and what rounding up to the cent adds."""
        return self.worth.cents - self.parts_cents - self.sundries_cents


@dataclass(frozen=True)
class Sums:
    """What lines come to [cents, g]."""

    parts_cents: int
    sundries_cents: int
    labour_cents: int
    worth: CostAndMass


def lines(fit: Fit) -> tuple[Line, ...]:
    """Every line, in the order of the catalogue's files; cable and its ends after each other."""
    found = [*_parts(fit), *_cables(fit), *_old(fit)]
    place = {kind.replace("_", " "): number for number, kind in enumerate((*PARTS, OLD))}
    return tuple(sorted(found, key=lambda line: place[line.kind]))


def sums(found: Iterable[Line]) -> Sums:
    """Subtotals and total of lines."""
    all_lines = list(found)
    return Sums(
        sum(line.parts_cents for line in all_lines),
        sum(line.sundries_cents for line in all_lines),
        sum(line.labour_cents for line in all_lines),
        CostAndMass(sum(line.worth.cents for line in all_lines), sum(line.worth.grams for line in all_lines)),
    )


def materials(fit: Fit) -> Schedule:
    """The bill as a schedule."""
    currency, found = fit.case.brief.currency, lines(fit)
    total = sums(found)
    return Schedule(
        key="materials",
        title="Bill of materials",
        columns=_columns(currency),
        rows=tuple(_row(line) for line in found),
        totals=(
            "total", "", "", None, None, "", None, None, None, None,
            total.parts_cents, total.sundries_cents, total.labour_cents, total.worth.cents,
            None, total.worth.grams / GRAMS,
        ),
        notes=(
            f"Labour at {fit.case.brief.labour_per_h:g} {currency} an hour, rounded up to the cent for each item.",
            f"Cable is cut, priced and weighed in steps of {money.STEP_MM} mm, each core of a d.c. run by itself, all "
            "links of the bank as one core, each step rounded up to the cent and the gram; what rounding adds to a "
            "price stands with the labour.",
            "The prices are the catalogue's; add tax and margin as you do.",
            f"Not in the build, so neither bought, priced nor weighed here: {'; '.join(not_in_the_build(fit))}.",
        ),
    )  # fmt: skip


def _columns(currency: str) -> tuple[Column, ...]:
    def money_column(title: str) -> Column:
        return Column(title, currency, "money")

    each = [money_column(f"{what} each") for what in ("price", "mounting kit", "sundries")]
    amounts = [money_column(what) for what in ("parts", "sundries", "labour", "total")]
    return (
        Column("class"), Column("part"), Column("remark"), Column("count", "", "whole"),
        Column("length", "m", "number", 1), Column("each is a"), *each,
        Column("labour each", "min", "number", None), *amounts, Column("mass each", "kg", "number", None),
        Column("mass", "kg", "number", 3),
    )  # fmt: skip


def _row(line: Line) -> Row:
    counted = line.unit in ("piece", "end")
    return (
        line.kind, line.part, line.remark, line.count if counted else None, None if counted else line.count, line.unit,
        line.price, line.kit, line.sundries, line.minutes,
        line.parts_cents, line.sundries_cents, line.labour_cents, line.worth.cents,
        line.mass_kg, line.worth.grams / GRAMS,
    )  # fmt: skip


# --- pieces ------------------------------------------------------------------------------------------


def _parts(fit: Fit) -> Iterator[Line]:
    counts: Counter[tuple[str, str]] = Counter()
    for placed in fit.build.panels:
        counts[placed.panel, ""] += 1
    for content in fit.contents:
        counts[content.part.name, STAYS if content.existing else ""] += content.count
    for vent in fit.build.vents:
        counts[fit.part(vent.vent, Vent).name, ""] += vent.count
    for entry in fit.build.entries:
        counts[fit.part(entry.entry, Entry).name, ""] += entry.count
    if fit.case.brief.portable:
        counts[fit.case.brief.portable.panel, CUSTOMERS] += 1
    for name, count in fitted_again(fit):
        counts[name, ""] -= count
        counts[name, AGAIN] += count
    for (name, remark), count in sorted((+counts).items()):
        yield _part_line(fit, fit.part(name, Part), remark, count)


def _part_line(fit: Fit, part: Part, remark: str, count: int) -> Line:
    if remark and remark != AGAIN:  # not bought
        return Line(kind=_kind(fit, part), part=part.name, remark=remark, count=count, unit="piece")
    panel = part if isinstance(part, Panel) else None
    kit = exact(panel.mount_price, CENTS) if panel else 0
    bought, sundries = not remark, exact(part.sundries, CENTS)
    price = exact(part.price, CENTS) if bought else 0
    each = money.part_worth(part, fit.case.brief.labour_per_h)
    return Line(
        kind=_kind(fit, part),
        part=part.name,
        remark=remark,
        count=count,
        unit="piece",
        price=price,
        kit=kit,
        sundries=sundries,
        minutes=part.minutes,
        mass_kg=part.mass_kg + (panel.mount_mass_kg if panel else 0),
        parts_cents=(price + kit) * count,
        sundries_cents=sundries * count,
        worth=CostAndMass(each.cents - (0 if bought else exact(part.price, CENTS)), each.grams).times(count),
    )


def _kind(fit: Fit, part: Part) -> str:
    return next(key for key, table in fit.catalogue.tables.items() if part.name in table).replace("_", " ")


def _old(fit: Fit) -> Iterator[Line]:
    """What is taken out: labour, less what is sold."""
    rate = fit.case.brief.labour_per_h
    for use in old_uses(fit):
        value, out = at_most(use.row.value, CENTS), money.taken_out(use.row, use.part, rate)
        ways = [(use.again, "fitted again"), (use.gone, "sold" if value else "to waste")]
        yield Line(
            kind=OLD,
            part=use.row.name,
            remark=f"taken out; {', '.join(f'{count} {what}' for count, what in ways if count)}",
            count=use.row.count,
            unit="piece",
            price=-value,
            minutes=use.row.minutes,
            mass_kg=out.grams / GRAMS,
            parts_cents=-value * use.gone,
            worth=CostAndMass((out.cents + value) * use.row.count - value * use.gone, out.grams * use.row.count),
        )


# --- by the metre ------------------------------------------------------------------------------------


def _cables(fit: Fit) -> Iterator[Line]:
    steps: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    for run in routed_runs(fit).values():
        steps[run.cable.name] += run.total_steps
        ends[run.cable.name] += ends_to_make(fit, run)
    for name in sorted(steps):
        cable = fit.part(name, Cable)
        yield _metres(fit, cable, steps[name])
        yield _ends(fit, cable, ends[name])
    if (links := links_of(fit)) and (main := cable_run(fit)):
        each = money.core_worth_a_step(main.cable, fit.case.brief.labour_per_h)
        metres = links.steps * money.STEP_MM / _MM_IN_M
        yield _of_length(fit, main.cable, metres, each.times(links.steps), "links of the bank, one core")
        yield _ends(fit, main.cable, links.ends, " for links of the bank")


def _metres(fit: Fit, cable: Cable, steps: int) -> Line:
    metres = steps * money.STEP_MM / _MM_IN_M
    worth = money.core_worth_a_step(cable, fit.case.brief.labour_per_h).times(steps)
    return _of_length(fit, cable, metres, worth, "cut lengths of all runs together")


def _of_length(fit: Fit, cable: Cable, metres: float, worth: CostAndMass, remark: str) -> Line:
    return Line(
        kind=_kind(fit, cable),
        part=cable.name,
        remark=remark,
        count=metres,
        unit="m of core" if cable.paired else "m",
        price=cable.price * CENTS,
        sundries=cable.sundries * CENTS,
        minutes=cable.minutes,
        mass_kg=cable.mass_kg,
        parts_cents=at_most(cable.price * metres, CENTS),
        sundries_cents=at_most(cable.sundries * metres, CENTS),
        worth=worth,
    )


def _ends(fit: Fit, cable: Cable, ends: int, of: str = "") -> Line:
    price = exact(cable.end_price, CENTS)
    size = f"{cable.section_mm2:g} mm2 " if cable.section_mm2 else ""
    return Line(
        kind=_kind(fit, cable),
        part=cable.name,
        remark=f"{size}{'lugs' if cable.paired else 'ends made off'}{of}",
        count=ends,
        unit="end",
        price=price,
        minutes=cable.end_minutes,
        parts_cents=price * ends,
        worth=money.cable_end_worth(cable, fit.case.brief.labour_per_h).times(ends),
    )


# --- what a build does not hold, though the vehicle needs it: in no bill, no mass, no price -----------


Applies = Callable[[Fit], bool]


def _roof(fit: Fit) -> bool:
    return any(array.roof_plane for array in fit.build.arrays)


def _fed_by_tow(fit: Fit) -> bool:
    return bool(fit.case.towed and fit.case.brief.alternator and fit.alternator_charger)


def _own_box(fit: Fit) -> bool:
    """Whether the mains box comes with breakers of its own."""
    return fit.build.slot("mains_box") is not None and not fit.case.brief.fills_mains_box


NOT_IN_THE_BUILD: tuple[tuple[str, Applies], ...] = (
    ("leads and connectors from the panels to the roof glands", _roof),
    (
        "branch connectors that join strings in parallel",
        lambda fit: any(array.roof_plane and array.parallel > 1 for array in fit.build.arrays),
    ),
    (
        "cores of its own for each string in parallel: they share one run, so one channel shows their sum",
        lambda fit: any(count > 1 for count in Counter(current.run for current in currents(fit)).values()),
    ),
    ("a disconnector between panels and regulators", lambda fit: bool(fit.build.arrays)),
    ("restraint of the bank: straps, brackets, trays", lambda _: True),
    ("earthing and bonding conductors", lambda _: True),
    ("the signal wire of the charger fed by the engine", lambda fit: fit.alternator_charger is not None),
    ("the tow connector, and the towing vehicle's own cable to it with its fuse", _fed_by_tow),
    ("the body of the mains inlet, and its hook-up lead", lambda fit: fit.case.brief.inlet is not None),
    ("the body of the socket for the portable panel", lambda fit: fit.case.brief.portable is not None),
    ("mains sockets and their boxes", lambda fit: bool(fit.case.brief.circuits)),
    ("cables of mains final circuits", lambda fit: _own_box(fit) and bool(fit.case.brief.circuits)),
    (
        "ratings of the breakers in the mains box, and a main switch or residual-current device before them",
        _own_box,
    ),
    (
        "what joins neutral to earth, in each state exactly once",
        lambda fit: bool(fit.inverter or fit.case.brief.inlet) and not fit.case.brief.fills_mains_box,
    ),
    ("the link of neutral and earth on the inverter's side of the mains box", lambda fit: fit.bond_link),
    (
        "the fuse panel of the 12 V loads, with its fuses and what lies behind them",
        lambda fit: not fit.case.brief.dc_circuits,
    ),
    (
        "what protects the mains cable from the inverter",
        lambda fit: fit.build.run("inverter_out") is not None and not fit.breakers,
    ),
    ("small materials beyond the catalogue's sundries: heat-shrink, ferrules, clips, conduit, labels", lambda _: True),
)
"""Text, and whether it applies to a build (common practice, no source)."""


def not_in_the_build(fit: Fit) -> tuple[str, ...]:
    """The lines that apply to a build, in the order of the list."""
    return tuple(text for text, applies in NOT_IN_THE_BUILD if applies(fit))
