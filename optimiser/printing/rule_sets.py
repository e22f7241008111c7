"""Rule sets side by side, or one of them in full."""

from collections.abc import Iterator

from rich.console import RenderableType
from rich.table import Table

from optimiser.cautions import CAUTIONS
from optimiser.pipeline.rule_sets import Differs, SideBySide
from optimiser.printing.as_json import CAUTION
from optimiser.printing.objects_rules import RuleFigureObject, RuleSetObject, RuleSetsObject, RuleValueObject
from optimiser.printing.wording import known_line, rule_table, states_of, table
from optimiser.rules import KNOWN, RuleSet

_MARKS: dict[Differs, str] = {"nothing": "", "value": "*", "source": "+"}


def rule_sets_sheet(found: SideBySide) -> list[RenderableType]:
    """What each is for, its figures, where those that differ come from, and the cautions."""
    parts: list[RenderableType] = [line for one in found.rule_sets for line in _about(one)]
    if found.figures:
        parts.append(_in_full(found) if found.alone else _beside(found))
    else:
        parts.append(f"No figure differs from those of {found.base.name}.")
    if found.differing:
        parts.append(f"* another value than in {found.base.name}; + the same value by another source")
    if not found.alone and found.differing:
        parts.append(_sources(found))
    return [*parts, "", *(known_line(one) for one in found.rule_sets), *CAUTIONS]


def _about(rule_set: RuleSet) -> Iterator[str]:
    edition = rule_set.edition
    if edition is None:
        yield f"{rule_set.name}: the catalogue does not say what it is for"
        return
    yield f"{rule_set.name}: {edition.title}; for {edition.region}"
    yield f"  Figures of: {edition.edition}"
    months = f"{edition.months} ({edition.state}: {edition.source})" if edition.months else "not known"
    yield f"  Serves what is built: {months}"
    if edition.remark:
        yield f"  Note: {edition.remark}"


def _beside(found: SideBySide) -> Table:
    """A row a figure, a column a rule set."""
    made = table("Figures side by side", "figure", *(f">{one.name}" for one in found.rule_sets), "unit")
    for figure in found.figures:
        made.add_row(figure, *(_marked(found, one, figure) for one in found.rule_sets), KNOWN[figure].unit)
    return made


def _in_full(found: SideBySide) -> Table:
    """The figures of one, with the base's value where that is another."""
    (one,) = found.rule_sets
    if one is found.base:
        return rule_table(one)
    heads = ("figure", ">value", f">{found.base.name}", "unit", "state", "source")
    made = table(f"Figures of rule set {one.name}", *heads)
    for name in found.figures:
        figure, other = one.figures[name], found.base.figures[name]
        differs = f"{other.value:g}" if other.value != figure.value else ""
        made.add_row(name, _marked(found, one, name), differs, figure.unit, figure.state, figure.source)
    return made


def _sources(found: SideBySide) -> Table:
    """Where each figure that differs comes from, the base's first."""
    made = table("Where they differ", "figure", "rule set", ">value", "unit", "state", "source")
    for name in found.differing:
        for one in found.rule_sets:
            if one is found.base or found.differs(one, name) != "nothing":
                figure = one.figures[name]
                made.add_row(name, one.name, _marked(found, one, name), figure.unit, figure.state, figure.source)
    return made


def _marked(found: SideBySide, one: RuleSet, figure: str) -> str:
    return f"{one.figures[figure].value:g}{_MARKS[found.differs(one, figure)]}"


def rule_sets_object(found: SideBySide) -> RuleSetsObject:
    """The same for programs."""
    return {
        "base": found.base.name,
        "rule_sets": [_set_object(one) for one in found.rule_sets],
        "figures": [_figure_object(found, figure) for figure in found.figures],
        "caution": CAUTION,
    }


def _set_object(rule_set: RuleSet) -> RuleSetObject:
    edition = rule_set.edition
    return {
        "name": rule_set.name,
        "title": edition.title if edition else None,
        "region": edition.region if edition else None,
        "edition": edition.edition if edition else None,
        "built_from": edition.built_from if edition else None,
        "built_to": edition.built_to if edition else None,
        "months_source": edition.source if edition and edition.months else None,
        "months_state": edition.state if edition and edition.months else None,
        "remark": edition.remark if edition else None,
        "states": states_of(rule_set),
    }


def _figure_object(found: SideBySide, name: str) -> RuleFigureObject:
    known = KNOWN[name]
    figures = {one.name: one.figures[name] for one in found.rule_sets}
    values: list[RuleValueObject] = [
        {
            "rule_set": one.name,
            "value": figures[one.name].value,
            "differs": found.differs(one, name),
            "state": figures[one.name].state,
            "source": figures[one.name].source,
        }
        for one in found.rule_sets
    ]
    return {"figure": name, "unit": known.unit, "says": known.says, "values": values}
