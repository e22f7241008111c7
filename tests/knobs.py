"""One value of a handmade world changed, by its name."""

from dataclasses import replace
from functools import reduce
from typing import Any

from optimiser.case import TABLES, Brief, Table
from optimiser.catalogue import Catalogue
from optimiser.parts import Part
from tests.handmade import World

Change = tuple[str, Any]
_KEYS = {"arrays": "name", "fitted": "slot", "runs": "name", "entries": "purpose", "vents": "bay", "measuring": "shunt"}
_BRIEF = ("limits", "place", "vehicle", "alternator", "inlet", "generator", "portable", "preferences")


def altered(old: World, *changes: Change) -> World:
    """The same world with several things changed, one after the other."""
    return reduce(lambda made, change: changed(made, *change), changes, old)


def changed(old: World, knob: str, value: Any) -> World:
    """The same world with one thing changed.

    ``limits.budget``, ``brief.inlet``, ``rules.drop_share``, ``zones.roof.set_back_mm`` (any table of the
    case), ``parts.module-100.charge_a``, ``build.system_v``, ``bank.parallel``, ``panels.0.x_mm``,
    ``runs.main.fuse``, ``more.regulators`` (a part beside the others); an item set to None is taken out.
    """
    head, _, rest = knob.partition(".")
    if head == "rules":
        figure = replace(old.case.rules.figures[rest], value=value)
        rules = replace(old.case.rules, figures=old.case.rules.figures | {rest: figure})
        return replace(old, case=replace(old.case, rules=rules))
    if head == "brief" or head in _BRIEF:
        return replace(old, case=replace(old.case, brief=_brief_with(old.case.brief, head, rest, value)))
    if head == "more":
        tables = dict(old.catalogue.tables)
        tables[rest] = {**tables[rest], value.name: value}
        return replace(old, catalogue=Catalogue(tables, old.catalogue.rule_sets))
    if head == "parts":
        return replace(old, catalogue=_catalogue_with(old.catalogue, rest, value))
    if head in (*TABLES, "load_spans"):
        rows = getattr(old.case, head)
        return replace(old, case=_replaced(old.case, head, _rows_with(rows, "name", rest, value)))
    if head in _KEYS or head == "panels":
        rows = _rows_with(getattr(old.build, head), _KEYS.get(head, ""), rest, value)
        return replace(old, build=_replaced(old.build, head, rows))
    owner = old.build if head == "build" else getattr(old.build, head)
    new = _replaced(owner, rest, value)
    return replace(old, build=new if head == "build" else _replaced(old.build, head, new))


def _replaced(owner: Any, field: str, value: Any) -> Any:
    return replace(owner, **{field: value})


def _brief_with(brief: Brief, head: str, field: str, value: Any) -> Brief:
    if head == "brief":
        return brief.model_copy(update={field: value})
    return brief.model_copy(update={head: getattr(brief, head).model_copy(update={field: value})})


def _catalogue_with(old: Catalogue, path: str, value: Any) -> Catalogue:
    name, _, field = path.rpartition(".")  # names may hold a dot

    def copy(part: Part) -> Part:
        return part.model_copy(update={field: value}) if part.name == name else part

    tables = {key: {n: copy(part) for n, part in rows.items()} for key, rows in old.tables.items()}
    return Catalogue(tables, old.rule_sets)


def _rows_with(rows: tuple[Any, ...], key: str, path: str, value: Any) -> tuple[Any, ...]:
    """``path`` is ``which.field``, or ``which`` alone to take the row out, or empty for all rows anew."""
    if not path:
        return tuple(value)
    which, _, field = path.partition(".")
    found = []
    for number, row in enumerate(rows):
        if which != (getattr(row, key) if key else str(number)):
            found.append(row)
        elif field:
            found.append(
                row.model_copy(update={field: value}) if isinstance(row, Table) else _replaced(row, field, value)
            )
        elif value is not None:
            found.append(value)
    return tuple(found)
