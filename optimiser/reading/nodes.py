"""Checks of the ways: every node is known or a junction, and every known node is on a way.

Bays, zone entries and points of the brief share one set of names with the junctions between ways.
"""

from collections import Counter

from optimiser.reading.survey import Survey, points
from optimiser.reading.wording import among, nearest


def check_nodes(survey: Survey) -> None:
    """All checks of nodes that what was read allows."""
    _check_loops(survey)
    _check_roles(survey)
    _check_dangling(survey)
    _check_reached(survey)
    _check_spots(survey)


def _ends(survey: Survey) -> list[tuple[int, str, str]] | None:
    """Line, column and node of each end of each way."""
    ends = []
    for column in ("start", "end"):
        cells = survey.cells("ways", column)
        if cells is None:
            return None
        ends += [(line, column, node) for line, node in cells if node]
    return ends


def _check_loops(survey: Survey) -> None:
    starts, ends = survey.cells("ways", "start"), survey.cells("ways", "end")
    for (line, start), (_, end) in zip(starts or (), ends or (), strict=False):
        if start and start == end:
            survey.note("ways", line, "end", f"{end!r} is where the way starts too; expected another node")


def _check_roles(survey: Survey) -> None:
    """A node is a bay, an entry or a point, never two of them."""
    bays = survey.names("bays") or set()
    entries = survey.names("zones", "entry") or set()
    for line, entry in survey.cells("zones", "entry") or ():
        if entry in bays:
            survey.note("zones", line, "entry", f"{entry!r} is a bay too; expected a name of its own")
    for path, point in points(survey.brief).items() if survey.brief else ():
        for role, names in (("bay", bays), ("zone entry", entries)):
            if point in names:
                survey.note_brief(path, f"{point!r} is a {role} too; expected a name of its own")


def _check_dangling(survey: Survey) -> None:
    ends, bays, entries = _ends(survey), survey.names("bays"), survey.names("zones", "entry")
    if ends is None or bays is None or entries is None or survey.brief is None:
        return
    known = bays | entries | set(points(survey.brief).values())
    count = Counter(node for _, _, node in ends)
    for line, column, node in ends:
        if node not in known and count[node] == 1:
            hint = nearest(node, (known | set(count)) - {node})
            wanted = f"{hint}, " if hint else ""
            message = f"{node!r} leads nowhere; expected {wanted}a bay, a zone entry, a point or a second way from it"
            survey.note("ways", line, column, message)


def _check_reached(survey: Survey) -> None:
    ends = _ends(survey)
    if ends is None:
        return
    nodes = {node for _, _, node in ends}
    for line, entry in survey.cells("zones", "entry") or ():
        if entry and entry not in nodes:
            survey.note(
                "zones", line, "entry", f"no way reaches {entry!r}; expected it in ways.csv{_like(entry, nodes)}"
            )
    for path, point in points(survey.brief).items() if survey.brief else ():
        if point not in nodes:
            survey.note_brief(path, f"no way reaches {point!r}; expected it in ways.csv{_like(point, nodes)}")


def _check_spots(survey: Survey) -> None:
    """Each names a node, once, that has no place of its own yet."""
    ends, bays = _ends(survey), survey.names("bays") or set()
    nodes = {node for _, _, node in ends or ()}
    first: dict[str, int] = {}
    for line, node in survey.cells("node_positions", "node") or ():
        other = first.setdefault(node, line)
        if node in bays:
            survey.note(
                "node_positions", line, "node", f"{node!r} is a bay; expected its place in bays.csv: x_mm, y_mm, z_mm"
            )
        elif ends is not None and node and node not in nodes:
            known = among(node, nodes - bays)
            survey.note("node_positions", line, "node", f"no way starts or ends at {node!r}; expected {known}")
        elif node and other != line:
            survey.note("node_positions", line, "node", f"{node!r} stands in row {other} too; expected each node once")


def _like(node: str, nodes: set[str]) -> str:
    close = nearest(node, nodes)
    return f", where {close} stands" if close else ""
