"""What a customer asks: what it costs, what it runs, and for how long."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from hashlib import sha256
from math import ceil, floor, isinf, log10
from typing import Any
from unicodedata import category

from optimiser.auditing import Finding
from optimiser.basis.money import CostAndMass
from optimiser.case import Case
from optimiser.differences.change import plain
from optimiser.drawing import Sheet, in_frames, to_svg
from optimiser.fitted import Fit
from optimiser.packing.dossier import Dossier
from optimiser.packing.options import Option
from optimiser.parts import Panel
from optimiser.printing.findings import apart, overloads
from optimiser.printing.wording import kg, money
from optimiser.schedules import Quotation
from optimiser.units import GRAMS

_DIGITS, _DIGITS_MOST = 2, 7  # of the days without sun: more would promise what no weather keeps


@dataclass(frozen=True)
class Tile:
    """A figure that matters most, its name, and what must be known of it; ``link``: the words that lead to the rest."""

    name: str
    figure: str
    note: str = ""
    link: str = ""


def tiles(fit: Fit, findings: Iterable[Finding], worth: CostAndMass, quoted: Quotation) -> list[Tile]:
    """The few figures that matter most: those of what the customer gets rounded down, the mass up."""
    return list(_tiles(fit, {finding.requirement: finding for finding in findings}, worth, quoted))


def _tiles(fit: Fit, found: Mapping[str, Finding], worth: CostAndMass, quoted: Quotation) -> Iterator[Tile]:
    bank, left_out = fit.build.bank, len(quoted.exclusions)
    price = money(worth.cents, fit.case.brief.currency)
    yield Tile("price, labour included", price, f"{left_out} things are not in it:", "the list “Not included”")
    yield Tile("mass added", f"{rounded_up_kg(worth.grams)} kg")
    watts = sum(fit.part(placed.panel, Panel).watt_w for placed in fit.build.panels)
    yield Tile("panels on the roof", f"{watts:g} W")
    yield Tile("battery", f"{fit.module.capacity_ah * bank.parallel:g} Ah at {fit.build.system_v} V")
    if "inverter.power" in found:
        yield Tile("230 V power on a hot day", f"{found['inverter.power'].numbers[1]} W")
    if "energy.autonomy" in found:
        yield Tile("days without sun", days(found["energy.autonomy"]))


def rounded_up_kg(grams: int) -> str:
    """A mass to the tenth of a kilogram, never less than it is."""
    return f"{ceil(grams / (GRAMS / 10)) / 10:.1f}"


def days(autonomy: Finding) -> str:
    """How long the battery lasts, rounded down to two digits; to more where two would say less than was asked for."""
    given = autonomy.actual
    if isinf(given) or given <= 0:
        return autonomy.numbers[1]
    for digits in range(_DIGITS, _DIGITS_MOST):
        shown = Decimal(given).quantize(Decimal(1).scaleb(floor(log10(given)) + 1 - digits), ROUND_FLOOR)
        if float(shown) >= autonomy.limit:
            return f"{shown:f}"
    return autonomy.numbers[1]  # as good as its limit


def currency_told(currency: str) -> str:
    """What a currency's word is, unless it is written as a code of ISO 4217 (three capitals) or a currency's sign."""
    if re.fullmatch("[A-Z]{3}", currency) or all(category(letter) == "Sc" for letter in currency):
        return ""
    return f"“{currency}” is the word of this case and its catalogue for their unit of money; it is no currency's code."


def loads(case: Case) -> list[tuple[str, ...]]:
    """Each load as the brief has it; further hours of one in rows of their own, without what it draws again."""
    rows, told = list[tuple[str, ...]](), set[str]()
    for load in case.load_rows:
        what = [load.name.replace("_", " "), "mains" if load.supply == "mains" else "12 V", f"{load.watt_w:g}"]
        if load.name in told:
            what = [f"{what[0]}, also", "", ""]
        told.add(load.name)
        hours = (str(load.from_h), str(load.to_h), f"{load.duty_pct:g}")
        rows.append((*what, *hours, ", ".join(name.replace("_", " ") for name in load.scenarios)))
    return rows


def lasting(fit: Fit, findings: Iterable[Finding]) -> list[str]:
    """How far the battery falls in each scenario, and how long it lasts without sun: the audit's figures in words."""
    return list(_lasting(fit, {finding.requirement: finding for finding in findings}))


def _lasting(fit: Fit, found: Mapping[str, Finding]) -> Iterator[str]:
    for scenario in fit.case.scenarios:
        limit, lowest = found[f"energy.floor[{scenario.name}]"].numbers
        line = (
            f"{plain(scenario.name)}: begins at {scenario.start_pct:g} % of the battery; at the end of its lowest hour "
            f"{lowest} % is left, and it may never be below {limit} %."
        )
        returns = found.get(f"energy.returns[{scenario.name}]")
        yield f"{line} It ends at {returns.numbers[1]} %." if returns else line
    if "energy.autonomy" in found:
        autonomy = found["energy.autonomy"]
        lasts, limit = days(autonomy), autonomy.numbers[0]
        yield f"Without sun, driving and hook-up a full battery lasts {lasts} days; {limit} were asked for."
    hook_up = fit.case.circuits_from("hook_up")
    if hook_up:
        yield f"Only on hook-up: {', '.join(map(plain, hook_up))}."
    yield from apart(fit.case)
    yield from overloads(fit.case, found.values())
    if fit.case.brief.inlet and fit.inverter and fit.inverter.reached and not fit.inverter.passed:
        yield "On hook-up, change the sockets of the inverter over to it by hand; else they run from the battery."
    if fit.case.brief.inlet and fit.inverter and not fit.inverter.reached:
        yield "Sockets of the inverter run from the battery on hook-up too; the mains charger fills it meanwhile."


# --- the options as data for the page's script: figures, differences, and drawings that options share written once


OTHER = "not this pack's build", "only to compare"
"""On sheets of other options: such a sheet may be of several of them, and nobody shall build from it by mistake."""
_HELD = "drawing-key"  # in place of ids until the drawing is known


def offers(made: Dossier) -> tuple[dict[str, str], list[dict[str, Any]]]:
    """Drawings by key, and the options that name them."""
    shared: dict[str, str] = {}
    shown = [_offer(made, option, shared) for option in made.options]
    return shared, shown


def _offer(made: Dossier, option: Option, shared: dict[str, str]) -> dict[str, Any]:
    currency = made.fit.case.brief.currency
    sheets = drawings_of(made, option)
    return {
        "name": f"Option {option.number}" if len(made.options) > 1 else "This build",
        "number": option.number,
        "cost": money(option.worth.cents, currency),
        "mass": kg(option.worth.grams),
        "chosen": option.chosen,
        "line": f"{option.line[0].upper()}{option.line[1:]}.",
        "rows": [[row.what, row.before, row.after] for row in option.rows],
        "decided": option.decided,
        "deciders": list(option.deciders),
        "drawings": [[sheet.title, _put(sheet, shared), paper_words(sheet)] for sheet in sheets]
        if len(made.options) > 1
        else [],
    }


def paper_words(sheet: Sheet) -> str:
    """What the page's style knows of the paper a drawing is printed on."""
    return sheet.paper if sheet.fits else f"{sheet.paper} over"


def drawings_of(made: Dossier, option: Option) -> Sequence[Sheet]:
    """The drawings of an option; those of the pack's own build are there already."""
    if option.chosen:
        return made.sheets
    sheets = tuple(map(replace, option.sheets))  # their frames are this dossier's
    in_frames(sheets, made.fit.case.brief.title, (("case and catalogue", made.version.inputs), OTHER))
    return sheets


def _put(sheet: Sheet, shared: dict[str, str]) -> str:
    svg = to_svg(replace(sheet, key=_HELD))
    key = f"d{sha256(svg.encode()).hexdigest()[:10]}"
    shared.setdefault(key, svg.replace(_HELD, key))
    return key
