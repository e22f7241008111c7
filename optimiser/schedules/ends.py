"""What stands at either end of a run, where that is, and the label that goes there."""

from typing import NamedTuple

from optimiser.builds import Fitted
from optimiser.connections import CONNECTIONS, Connection, connection_of
from optimiser.fitted import Fit
from optimiser.fitted.channels import channels
from optimiser.fitted.wiring import RoutedRun
from optimiser.parts import Body, Fuse

NONE_GIVEN = "-"


class End(NamedTuple):
    """One end of a run."""

    what: str  # slot, or what else the cable ends at
    node: str

    @property
    def text(self) -> str:
        """Both, or the one where they are the same."""
        return self.what if self.what == self.node else f"{self.what}, {self.node}"


def ends_of(fit: Fit, laid: RoutedRun) -> tuple[End, End]:
    """What the start and the end of a run are fixed to."""
    run = laid.run
    start, end = _things(fit, run.name)
    return End(start, run.start), End(end, run.end)


def _things(fit: Fit, name: str) -> tuple[str, str]:
    family, _, rest = name.partition("_")
    if family == "solar":
        array = next(array for array in fit.build.arrays if array.name == rest)
        return (
            f"gland of roof plane {array.roof_plane}" if array.roof_plane else "socket of the portable panel"
        ), array.regulator
    if family == "outlet":
        return "mains_box", f"outlets of {rest}"
    if family == "circuit":
        return "fuse panel of the 12 V loads", f"loads of {rest}"
    if family == "pass":
        return f"entry {rest}", "the cable's point"
    connection = connection_of(name)
    start = "step_down" if name == "dc_loads" and fit.system_v != 12 else connection.start
    return _side(fit, connection, start), _side(fit, connection, connection.end)


def _side(fit: Fit, connection: Connection, end: str) -> str:
    """A slot, with the side of it where it has two; or what a point is."""
    points = {
        "alternator": "tow connector" if fit.case.towed else "alternator or starter battery",
        "dc_panel": "fuse panel of the 12 V loads",
    }
    if end != connection.serves or sum(c.kind == "dc" and c.serves == end for c in CONNECTIONS.values()) < 2:
        return points.get(end, end)
    return f"{end}, {'bank' if connection.end == 'busbar' else 'feed'} side"


def label(fit: Fit, laid: RoutedRun, mark: str, other: str) -> str:
    """What is written at one end of a piece: its mark, where the other end is, and what it is."""
    size = f"{laid.cable.section_mm2:g} mm2" if laid.cable.section_mm2 else laid.cable.kind
    mains = f", mains {fit.case.brief.place.mains_v:g} V" if laid.cable.kind == "mains" else ""
    return f"{mark} {laid.run.name}: to {other} ({size}{mains})"


def terminal(fit: Fit, laid: RoutedRun, slot: str, pole: str) -> str:
    """What a lug goes on at one end of a piece, and the largest conductor that takes; the part says which hole."""
    if not laid.cable.paired:
        return NONE_GIVEN
    if not slot:
        start, end = ends_of(fit, laid)
        point = start if start.node not in fit.case.bay_of else end
        return "no lug: joint to the panels' leads" if point.what.startswith("gland of") else point.what
    holder = fit.main_holder
    if slot == "bank" and pole == "+" and holder and holder.on_terminal:
        return takes("main_fuse", holder)
    if slot == "shunt_row":
        ours = [c for c in channels(fit) if c.current and c.current.run == laid.run.name]
        return ", ".join(takes(f"shunt A{channel.number}", channel.shunt) for channel in ours) or slot
    if slot == "fuse_row":
        return takes(slot, fit.part(laid.fuse.holder, Body) if laid.fuse else None)
    fitted = fit.build.slot(slot)
    return takes(slot, fit.module if slot == "bank" else fit.at(slot, Body) if fitted and fitted.part else None)


def takes(slot: str, part: Body | None) -> str:
    """A body, and the largest conductor that its terminal takes, where that is known."""
    return f"{slot}, takes {part.terminal_mm2:g} mm2" if part and part.terminal_mm2 > 0 else slot


def place_of(fit: Fit, fitted: Fitted) -> str:
    """Where a body stands, as the build says it; what sits on the battery's terminal has no place on a board."""
    holder = fit.main_holder
    if fitted.slot == "main_fuse" and holder and holder.on_terminal:
        return f"on the bank's terminal, {fitted.board}"
    return f"{fitted.board}, x {fitted.x_mm}, y {fitted.y_mm}"


def module_fuse_place(fit: Fit) -> str:
    """Where the fuses of a bank's modules go: one for each string, with no cable before it."""
    fitted = fit.build.slot("bank")
    return f"on the terminal of each string of modules{f', {fitted.board}' if fitted else ''}"


def holder_of(fit: Fit, run: str, fuse: Fuse) -> str:
    """What holds a fuse: its holder, or the panel that it has a way of."""
    return fit.dc_panel.name if fit.dc_panel and connection_of(run).guard == "panel" else fuse.holder


def fuse_place(fit: Fit, run: str) -> str:
    """Where the fuse of a run goes; holders of the fuse row in the order of their runs."""
    guard = connection_of(run).guard
    if guard == "main_fuse":
        fitted = fit.build.slot("main_fuse")
        return place_of(fit, fitted) if fitted else ""
    if guard == "feed":
        point = fit.case.brief.alternator.point if fit.case.brief.alternator else "its feed"
        return f"at {point}, close to the starter battery or the feed; the survey gives no board"
    if guard == "panel" and fit.dc_panel:
        return f"a way of the fuse panel at {fit.case.brief.dc_panel_point}"
    if guard == "panel":
        return f"at {fit.case.brief.dc_panel_point}, in or beside the fuse panel of the 12 V loads"
    inside, row = [one.name for one in fit.row_runs], fit.build.slot("fuse_row")
    place = f"fuse_row, {inside.index(run) + 1} of {len(inside)}"
    return f"{place}: {place_of(fit, row)}" if row else place
