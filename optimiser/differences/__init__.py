"""What changes from one build to another, in a fitter's words."""

from optimiser.builds import Build
from optimiser.catalogue import Catalogue
from optimiser.differences import bank, roof, runs, slots
from optimiser.differences.beside import Row, Totals, side_by_side, totals
from optimiser.differences.change import Change, Order
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
    return f"{lead}{_within(room, [change.text for change in told])}{end}{tail}"


def _within(room: int, texts: list[str]) -> str:
    """As many texts as there is room for, at least one, and how many more there are."""
    for shown in range(len(texts), 0, -1):
        more = len(texts) - shown
        rest = [f"... and {more} smaller change{'s' * (more != 1)}"] if more else []
        line = "; ".join([*texts[:shown], *rest])
        if len(line) <= room:
            return line
    return line
