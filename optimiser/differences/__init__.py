"""What changes from one build to another, in a fitter's words."""

from optimiser.builds import Build
from optimiser.catalogue import Catalogue
from optimiser.differences import bank, roof, runs, slots
from optimiser.differences.beside import Row, Totals, side_by_side, totals
from optimiser.differences.change import Change, Order, listed
from optimiser.differences.main_parts import main_parts, shared_and_own
from optimiser.differences.numbering import renumbered

WIDTH = 160


def changes(catalogue: Catalogue, before: Build, after: Build) -> tuple[Change, ...]:
    """All that is otherwise, what is bought first; empty if the builds are the same but for case and claim.

    The order of the lists in a build says nothing, nor does what it calls the part of a slot that holds several.
    What follows of itself is left out: the cable of an array that is new, the strings of panels strung otherwise.
    """
    shared = renumbered(before, after)
    found = [
        *bank.changes(catalogue, before, shared),
        *roof.changes(before, shared),
        *slots.changes(before, shared),
        *slots.small_changes(before, shared),
        *runs.changes(catalogue, before, shared),
    ]
    if shared != after:
        found.append(Change("number", "arrays and regulators numbered otherwise", Order.NUMBER))
    return tuple(sorted(found, key=lambda change: change.order))


def one_line(
    catalogue: Catalogue, before: Build, after: Build, figures: Totals | None = None, *, width: int = WIDTH
) -> str:
    """The most important changes, ``width`` characters of them, then cost and mass whole."""
    told = changes(catalogue, before, after)
    tail = f": {figures.text}" if figures else ""
    if not told:
        return f"no change{tail}"
    only_places = Order.PLACE <= told[0].order <= Order.SHIFT
    lead, end = ("same parts, placed otherwise (", ")") if only_places else ("", "")
    room = width - len(lead) - len(end)
    return f"{lead}{_within(room, told)}{end}{tail}"


def _within(room: int, told: tuple[Change, ...]) -> str:
    """As many changes as there is room for, at least one, and how many more of what there are."""
    for shown in range(len(told), 0, -1):
        line = "; ".join([*(change.text for change in told[:shown]), *_rest(told[shown:])])
        if len(line) <= room:
            return line
    return line


def _rest(told: tuple[Change, ...]) -> list[str]:
    if not told:
        return []
    of = listed(list(dict.fromkeys(change.order.of for change in told)), "other things")
    return [f"... and {len(told)} smaller change{'s' * (len(told) != 1)} of {of}"]
