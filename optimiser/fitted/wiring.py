"""The runs a build must have, from its parts and the brief alone, and the runs it has."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from optimiser.basis import loads, money, paths, sun, volts
from optimiser.builds import PanelArray, Run
from optimiser.case import Way
from optimiser.fitted.fit import Fit, once
from optimiser.parts import Body, Cable, Fuse
from optimiser.physics import cable as wires

Feed = Literal["", "bank", "busbar", "alternator", "panel"]  # what drives a fault current; "": no fuse here


OUTPUTS = {"alternator_charger": "alternator"}
"""Slot of a charger -> its run to the busbars, where that is called otherwise."""


@dataclass(frozen=True, kw_only=True)
class RequiredRun:
    """A run a build must have. An end is None where the part it belongs to is missing."""

    name: str
    start: str | None
    end: str | None
    kind: Literal["dc", "solar", "mains", "data"]
    amps: float = 0.0
    drop_a: float | None = None  # that its drop is calculated at, if not at ``amps``
    behind: tuple[tuple[str, float], ...] = ()  # runs between bank and it, and what they carry: their drop adds to its
    volt: float = 0.0  # that its drop is a share of
    share: float = 0.0
    feed: Feed = ""
    stands_a: float = 0.0  # what it must stand beside its load: an unfused run behind a limited source
    ends: tuple[str, ...] = ()  # slots whose terminals it goes on
    terminal_mm2: tuple[float, ...] = ()  # terminals of parts that have no slot of their own


@dataclass(frozen=True)
class RoutedRun:
    """A run as it lies."""

    run: Run
    cable: Cable
    fuse: Fuse | None
    ways: tuple[Way, ...]
    core_steps: tuple[int, ...]  # each core of a pair is cut to, the positive one first, or its one cable; of 100 mm
    least_steps: int  # of its ways and the allowances at its ends, wherever bodies stand

    @property
    def total_steps(self) -> int:
        """Of all that is cut for it."""
        return sum(self.core_steps)

    @property
    def one_way_m(self) -> float:
        """Half of what its current goes out and back: of a pair as long as both cores are on average [m]."""
        return self.total_steps / len(self.core_steps) * money.STEP_MM / 1000

    @property
    def cut_words(self) -> str:
        """What its cores are cut to, + and -, or the one length of all of them [m]."""
        return "/".join(f"{steps * money.STEP_MM / 1000:.1f}" for steps in dict.fromkeys(self.core_steps))

    def loop_ohm(self, conductor_c: float) -> float:
        """Resistance out and back [ohm]."""
        return self._loop_ohm(self.one_way_m, conductor_c)

    def least_loop_ohm(self, conductor_c: float) -> float:
        """The same of the least that it may be cut to: it holds a fault back no more than that for sure [ohm]."""
        return self._loop_ohm(min(*self.core_steps, self.least_steps) * money.STEP_MM / 1000, conductor_c)

    def _loop_ohm(self, one_way_m: float, conductor_c: float) -> float:
        return 2 * wires.resistance_ohm(
            ohm_per_km_20c=self.cable.ohm_per_km, length_m=one_way_m, conductor_c=conductor_c
        )


@once
def routed_runs(fit: Fit) -> Mapping[str, RoutedRun]:
    """Name -> each run of the build."""
    way_of = {way.name: way for way in fit.case.ways}
    found = {}
    for run in fit.build.runs:
        ways = tuple(way_of[name] for name in run.ways)
        least = money.cut_steps(paths.run_length_mm(fit.case, run.start, run.end, sum(way.length_mm for way in ways)))
        cut = least if run.cut_mm is None else money.cut_steps(run.cut_mm)
        back = cut if run.back_mm is None else money.cut_steps(run.back_mm)
        cable, fuse = fit.part(run.cable, Cable), fit.part(run.fuse, Fuse) if run.fuse else None
        found[run.name] = RoutedRun(run, cable, fuse, ways, (cut, back)[: money.cores(cable)], least)
    return found


@once
def required_runs(fit: Fit) -> Mapping[str, RequiredRun]:
    """Name -> each run there must be."""
    groups = (_bank, _solar, _chargers, _loads, _mains, _outlets, _data, _circuits, _outside)
    return {wanted.name: wanted for group in groups for wanted in group(fit)}


def source_v_of(fit: Fit, wanted: RequiredRun) -> int:
    """System voltage of what drives a fault in a run: a battery, or what feeds the 12 V panel [V]."""
    alternator = fit.case.brief.alternator
    if wanted.feed == "panel":
        return 12
    return alternator.system_v if wanted.feed == "alternator" and alternator else fit.system_v


def terminals(fit: Fit, wanted: RequiredRun) -> list[float]:
    """Largest conductor each of a run's terminals takes, of those that have one [mm2]."""
    bodies = [fit.at(slot, Body) for slot in wanted.ends]
    return [t for t in (*(b.terminal_mm2 for b in bodies if b), *wanted.terminal_mm2) if t > 0]


def _bank(fit: Fit) -> Iterator[RequiredRun]:
    rules, volt = fit.case.rules, float(fit.system_v)
    yield RequiredRun(
        name="main", start=fit.node("bank"), end=fit.node("busbar"), kind="dc", amps=fit.main_a,
        drop_a=fit.draw_a, volt=volt,
        share=rules["drop_share_inverter"], feed="bank", ends=("main_fuse", "isolator", "busbar"),
        terminal_mm2=(fit.module.terminal_mm2, fit.module_holder.terminal_mm2 if fit.module_holder else 0.0),
    )  # fmt: skip
    if fit.inverter:
        amps = volts.inverter_input_a(fit.inverter, fit.inverter.watt_25c_w)
        yield RequiredRun(
            name="inverter", start=fit.node("busbar"), end=fit.node("inverter"), kind="dc", amps=amps,
            behind=(("main", fit.draw_a),), volt=volt, share=rules["drop_share_inverter"], feed="busbar",
            ends=("busbar", "inverter"),
        )  # fmt: skip


def _solar(fit: Fit) -> Iterator[RequiredRun]:
    for slot, regulator in fit.regulators.items():
        yield _to_busbar(fit, slot, regulator.out_a)
    for array in fit.build.arrays:
        panel = fit.panel_of(array)
        yield RequiredRun(
            name=f"solar_{array.name}", start=roof_plane_entry(fit, array), end=fit.node(array.regulator), kind="solar",
            amps=volts.solar_current_a(fit.case, panel, parallel=array.parallel),
            volt=array.series * sun.hot_vmp_v(fit.case, panel), share=fit.case.rules["drop_share_solar"],
            ends=(array.regulator,),
        )  # fmt: skip


def roof_plane_entry(fit: Fit, array: PanelArray) -> str | None:
    """Node where an array's cables come in."""
    if array.roof_plane:
        return fit.case.roof_planes[array.roof_plane][0].entry
    return fit.case.brief.portable.point if fit.case.brief.portable else None


def _to_busbar(fit: Fit, slot: str, amps: float, *, name: str = "") -> RequiredRun:
    return RequiredRun(
        name=name or slot, start=fit.node(slot), end=fit.node("busbar"), kind="dc", amps=amps,
        volt=float(fit.system_v), share=fit.case.rules["drop_share"], feed="busbar", ends=(slot, "busbar"),
    )  # fmt: skip


def _chargers(fit: Fit) -> Iterator[RequiredRun]:
    for slot in fit.chargers:
        yield _to_busbar(fit, slot, fit.charger_a(slot), name=OUTPUTS.get(slot, slot))
    charger, alternator = fit.alternator_charger, fit.case.brief.alternator
    if charger:
        yield RequiredRun(
            name="alternator_feed", start=alternator.point if alternator else None,
            end=fit.node("alternator_charger"), kind="dc", amps=volts.feed_current_a(charger),
            volt=float(charger.input_v), share=fit.case.rules["drop_share_feed"], feed="alternator",
            ends=("alternator_charger",),
        )  # fmt: skip


def _loads(fit: Fit) -> Iterator[RequiredRun]:
    share, busbar, point = fit.case.rules["drop_share"], fit.node("busbar"), fit.case.brief.dc_panel_point
    own_12_v = fit.system_v == 12
    if not own_12_v:
        yield RequiredRun(
            name="step_down", start=busbar, end=busbar, kind="dc", amps=fit.loads_a, behind=(("main", fit.draw_a),),
            volt=float(fit.system_v), share=share, feed="busbar", ends=("busbar", "step_down"),
        )  # fmt: skip
    yield RequiredRun(
        name="dc_loads", start=busbar, end=point, kind="dc", amps=fit.peaks.dc_w / 12,
        behind=_before_panel(fit), volt=12.0, share=share,
        feed="busbar" if own_12_v else "", ends=("busbar" if own_12_v else "step_down",),
        terminal_mm2=(fit.dc_panel.feed_mm2,) if fit.dc_panel else (),
        stands_a=volts.step_down_fault_a(fit.step_down) if fit.step_down else 0.0,
    )  # fmt: skip


def _circuits(fit: Fit) -> Iterator[RequiredRun]:
    """From the fuse panel to what each 12 V circuit ends at, but those that are wired already."""
    point, share = fit.case.brief.dc_panel_point, fit.case.rules["drop_share"]
    for circuit in fit.case.brief.dc_circuits:
        if not circuit.wired:
            yield RequiredRun(
                name=f"circuit_{circuit.name}", start=point, end=circuit.point, kind="dc",
                amps=loads.circuit_w(fit.case, circuit.name) / 12,
                behind=(*_before_panel(fit), ("dc_loads", fit.peaks.dc_w / 12)), volt=12.0, share=share, feed="panel",
                terminal_mm2=(fit.dc_panel.terminal_mm2,) if fit.dc_panel else (),
            )  # fmt: skip


def _before_panel(fit: Fit) -> tuple[tuple[str, float], ...]:
    """What the 12 V panel's voltage has come through: nothing that counts behind a step-down, which holds it up."""
    return (("main", fit.draw_a),) if fit.system_v == 12 else ()


def _mains(fit: Fit) -> Iterator[RequiredRun]:
    inlet, box, inverter = fit.case.brief.inlet, fit.node("mains_box"), fit.inverter
    mains_v, share = fit.case.brief.place.mains_v, fit.case.rules["drop_share_mains"]

    def mains(name: str, start: str | None, end: str | None, amps: float, ends: tuple[str, ...]) -> RequiredRun:
        return RequiredRun(
            name=name, start=start, end=end, kind="mains", amps=amps, volt=mains_v, share=share, ends=ends
        )

    if inlet:
        yield mains("mains_inlet", inlet.point, box, inlet.rating_a, ("mains_box",))
    if fit.mains_charger:
        amps = volts.mains_input_w(fit.mains_charger) / mains_v
        yield mains(
            "mains_feed", box if inlet else None, fit.node("mains_charger"), amps, ("mains_box", "mains_charger")
        )
    if inverter and box:
        both = ("inverter", "mains_box")
        passed_a = inlet.rating_a if inlet and inverter.transfers else 0.0  # on hook-up, with no breaker of its own
        amps = max(inverter.watt_25c_w / mains_v, passed_a)
        yield mains("inverter_out", fit.node("inverter"), box, amps, both)
    if inverter and inverter.transfers and inlet:
        yield mains("inverter_in", box, fit.node("inverter"), inlet.rating_a, ("mains_box", "inverter"))


def _outlets(fit: Fit) -> Iterator[RequiredRun]:
    """From the mains box to where each mains circuit ends, but those that are wired already."""
    brief, before = fit.case.brief, {run.name: run.amps for run in _mains(fit)}
    through = ("mains_inlet", "inverter_in", "inverter_out") if "inverter_in" in before else ("inverter_out",)
    if "changeover" in fit.breakers:
        through = max(("mains_inlet",), through, key=lambda ways: _lost_v(fit, before, ways))
    come_by = {"hook_up": ("mains_inlet",), "inverter": through}  # at worst
    for circuit in brief.circuits:
        if not circuit.wired and brief.fills_mains_box:
            yield RequiredRun(
                name=f"outlet_{circuit.name}", start=fit.node("mains_box"), end=circuit.point, kind="mains",
                amps=loads.circuit_w(fit.case, circuit.name) / brief.place.mains_v,
                behind=tuple((name, before[name]) for name in come_by[circuit.source] if name in before),
                volt=brief.place.mains_v, share=fit.case.rules["drop_share_mains"], ends=("mains_box",),
            )  # fmt: skip


def _lost_v(fit: Fit, amps: Mapping[str, float], names: Iterable[str]) -> float:
    """What is lost in runs one behind the other, at what each carries [V]."""
    laid, hot_c = routed_runs(fit), fit.case.rules["conductor_c"]
    return sum(laid[name].loop_ohm(hot_c) * amps.get(name, 0.0) for name in names if name in laid)


def _data(fit: Fit) -> Iterator[RequiredRun]:
    yield RequiredRun(name="display", start=fit.node("busbar"), end=fit.node("display"), kind="data")
    if fit.inverter and fit.build.slot("switch"):
        yield RequiredRun(name="switch", start=fit.node("inverter"), end=fit.node("switch"), kind="data")


def _outside(fit: Fit) -> Iterator[RequiredRun]:
    for wanted in fit.case.brief.pass_throughs:
        boards = [e.board for e in fit.build.entries if e.purpose == wanted.name]
        board = fit.case.board_of.get(boards[0]) if boards else None
        power = wanted.carries == "power"
        yield RequiredRun(
            name=f"pass_{wanted.name}", start=board.bay if board else None, end=wanted.point,
            kind="dc" if power else "data", amps=wanted.current_a if power else 0.0,
            behind=(*_before_panel(fit), ("dc_loads", fit.peaks.dc_w / 12)), volt=12.0,
            share=fit.case.rules["drop_share"], feed="panel" if power and wanted.current_a > 0 else "",
            terminal_mm2=(fit.dc_panel.terminal_mm2,) if fit.dc_panel and power and wanted.current_a > 0 else (),
        )  # fmt: skip
