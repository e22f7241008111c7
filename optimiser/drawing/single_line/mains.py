"""The mains of a single-line diagram, on a sheet of its own: supply, inlet, mains box, converters, circuits, earth.

Of what is in a mains box with breakers of its own the catalogue says how many circuits it takes and the largest inlet:
all ratings are blanks. One that the build fills has its devices drawn.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimiser.connections import CHARGERS, SLOTS
from optimiser.drawing.shapes import TEXT_MM, Box, Point, text_mm
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.earth import EARTH_MM, draw_earth, draw_neutral, earth_mm, neutral_mm
from optimiser.drawing.single_line.fills import BLANK
from optimiser.drawing.single_line.rows import Cable, Diagram, Inside, Item, Part, or_absent, stacked, widest
from optimiser.drawing.single_line.symbols import Draw
from optimiser.drawing.single_line.words import Lines

_RUN_MM = 18.0  # from a converter's middle down to the texts of its run
_UPPER_MM = _RUN_MM + 13.0  # the box's upper edge below a converter's middle
_BAR_MM = 23.0  # of a side's bar below the upper edge of the box
_BREAKER_MM = 10.5  # of an upright breaker's middle above the bar
_RESIDUAL_MM = 10.0  # of a residual-current breaker's middle below the bar
_DEEP_MM = 54.0  # the box
_SIDE_DEVICE_MM = 16.0  # a residual-current device between a breaker and its bar
_CABLE_MM = 8.0  # of the texts of a circuit's cable
_SIDE_GAP_MM = 8.0
_ABOVE_MM = 38.0  # of the way to the mains box above a converter's middle, where it stands there
_BACK_MM = 12.0  # of its wire on the way back to the box's left
_LEFT_MM = 4.0  # from there to the box
_HEAD_MM = 13.0  # from a wire that goes up to a converter's middle
_BY_INVERTER, _CHANGES = "residual_inverter", "changeover"
_UPRIGHT: dict[str, Draw] = {
    "breaker": symbols.upright_breaker,
    "residual": symbols.upright_residual,
    "combined": symbols.residual_breaker,
}
SIDES = {"hook_up": "hook-up side", "inverter": "inverter side"}


def has_mains(diagram: Diagram) -> bool:
    """Whether there is anything to draw."""
    brief, build = diagram.fit.case.brief, diagram.fit.build
    laid = any(run.cable.kind == "mains" for run in diagram.words.laid.values())
    bodies = any(map(build.slot, ("mains_box", "mains_charger", "inverter")))
    return bool(bodies or brief.inlet or brief.circuits or laid)


@dataclass
class _Mains:
    diagram: Diagram
    changes: Point | None = None  # where the changeover takes in hook-up

    @property
    def filled(self) -> bool:
        """Whether the build fills the box."""
        return self.diagram.fit.case.brief.fills_mains_box

    @property
    def more(self) -> float:
        """Above the bar, for a residual-current device of the inverter's side below its breaker [mm]."""
        return _SIDE_DEVICE_MM * sum(place in self.diagram.fit.breakers for place in (_BY_INVERTER, _CHANGES))

    @property
    def bar(self) -> float:
        """Where the bars of the sides are."""
        return -_UPPER_MM - _BAR_MM - self.more

    @property
    def lower(self) -> float:
        """The box's lower edge."""
        return -_UPPER_MM - _DEEP_MM - self.more

    def upright(self, place: str) -> Draw:
        """The symbol of what stands in an upright wire there: a box to be filled in, if the build does not say."""
        device = self.diagram.fit.breakers.get(place)
        if not self.filled:
            return fills.upright_breaker
        return _UPRIGHT[device.kind] if device else symbols.upright_absent

    def up(self, run: str, x: float, guard: Lines, top: float, *, inverter: bool = False) -> None:
        """A run in the box and above it: its guard, the run's texts, to ``top``."""
        diagram, bottom = self.diagram, (x, self.bar)
        on_side = [place for place in (_BY_INVERTER, _CHANGES) if inverter and place in diagram.fit.breakers]
        for k, place in enumerate(on_side):
            draw = symbols.changeover if place == _CHANGES else symbols.upright_residual
            side, words = diagram.place(draw, x, self.bar + 9.0 + k * _SIDE_DEVICE_MM), diagram.words.breaker(place)
            diagram.stack(words, x + 6, side.box.middle[1] + stacked(words) / 2, start=True, head=False)
            diagram.wire(bottom, side["bottom"], dash="dashed")
            bottom = side["top"]
            if place == _CHANGES:
                self.changes = side["left"]
        box = diagram.place(self.upright(run), x, self.bar + self.more * inverter + _BREAKER_MM)
        diagram.stack(guard, x + 6, box.box.middle[1] + stacked(guard) / 2, start=True, head=False)
        diagram.wire(bottom, box["bottom"], dash="dashed")
        diagram.dot((x, self.bar))
        diagram.wire(box["top"], (x, top), dash="dashed")
        diagram.drawn.add(run)
        diagram.stack(diagram.words.run(run), x + 1.5, -_RUN_MM, start=True)
        if inverter and not self.filled:
            diagram.to_fill(fills.INVERTER_OUT)


def draw_mains(diagram: Diagram, *, above: bool = False) -> None:
    """Draw it all; ``above``: the way to the mains box stands above it, where all beside each other is too wide."""
    mains, fit = _Mains(diagram), diagram.fit
    edge, x = _entering(mains, above=above)
    hook_up = [run for run in ("mains_feed", "inverter_in") if diagram.laid(run)]
    circuits = fit.case.circuits_from("hook_up")
    out = None
    if fit.case.brief.inlet or hook_up or circuits:
        start = x
        x = start + max(2.0, 0.0 if hook_up else widest([SIDES["hook_up"]]) + 4)
        x, out = _risers(mains, start + 4, hook_up)
        x = max(x, _circuits(mains, "hook_up", start))
        if "inverter_in" in hook_up:  # the bar ends where its last riser stands
            ends = [c for c in (out and out[0], _circuits_mm(diagram, "hook_up") + start) if c]
            _bar(mains, "hook_up", start, max(ends))
            x = max(x, *ends)
        else:
            _bar(mains, "hook_up", start, x)
        x += _SIDE_GAP_MM
    hook_up_end = x - _SIDE_GAP_MM
    if diagram.laid("inverter_out") or fit.inverter or fit.case.circuits_from("inverter"):
        x = _inverter_side(mains, x, out)
    if mains.changes:  # from the end of the hook-up side's bar
        diagram.wire((hook_up_end, mains.bar), (hook_up_end, mains.changes[1]), mains.changes, dash="dashed")
    draw_earth(diagram, edge + 4, mains.lower)
    box = Box(edge, mains.lower, x + 4, -_UPPER_MM)
    diagram.sheet.rect(box, layer="outline", dash="chain", weight=0.25)
    _undrawn_chargers(diagram, x)
    if above:
        draw_neutral(diagram, diagram.sheet.extent().x1 - neutral_mm(diagram), _ABOVE_MM + 13)
    else:
        draw_neutral(diagram, edge, mains.lower - EARTH_MM - (_CABLE_MM if mains.filled else 0.0))


def _entering(mains: _Mains, *, above: bool) -> tuple[float, float]:
    """Supply, lead, inlet and its run, the first things in the box; gives the left edge of the box and of its sides."""
    diagram, inlet = mains.diagram, mains.diagram.fit.case.brief.inlet
    box_words = diagram.words.mains_box()
    edge = 0.0
    if inlet:
        diagram.to_fill(fills.INLET)
        lead = Inside(fills.plug, ["hook-up lead", "to be filled in"], 12.0, fills.HALF_MM)
        volt = f"{diagram.fit.case.brief.place.mains_v:g} V"
        words = ["inlet", f"{inlet.rating_a:g} A, {volt}", f"at {inlet.point}", "its body:", BLANK]
        supply = ["hook-up supply", f"{volt}, {BLANK} A", f"its RCD {BLANK} mA"]
        if generator := diagram.fit.case.brief.generator:
            supply.append(f"or generator of {generator.watt_w:g} W")
        items: list[Item] = [
            Part(fills.empty, supply, down=fills.HALF_MM, dash="dashed"),
            Cable([], (lead,), dash="dashed"),
            Part(symbols.inlet, words, down=3.0),
            diagram.cable("mains_inlet", dash="dashed"),
        ]
        widths = [item.width for item in items if item]
        drawn = diagram.row(items, widths, 0.0, _ABOVE_MM if above else mains.bar, None)
        edge = _LEFT_MM if above else sum(widths)
        end, right = (edge, mains.bar), sum(widths)
        back = [(right, _ABOVE_MM), (right, _BACK_MM), (0.0, _BACK_MM), (0.0, mains.bar)] if above else []
        if drawn.end:
            diagram.wire(drawn.end, *back, end, dash="dashed")
    diagram.stack(box_words, edge + 3, -_UPPER_MM - 1.5, start=True)
    if diagram.fit.build.slot("mains_box") and not mains.filled:
        diagram.to_fill(fills.BREAKERS)
    inside = 0.0
    if inlet:
        cable = Cable([], tuple(_of_inlet(mains, inlet.rating_a)), dash="dashed")
        placed = diagram.row([cable], [cable.width], edge, mains.bar, end if diagram.laid("mains_inlet") else None)
        inside = max(cable.width, earth_mm() + 6)
        if placed.end:
            diagram.wire(placed.end, (edge + inside, mains.bar), dash="dashed")
    return edge, edge + max(inside, earth_mm() + 6, 0.0 if inlet else widest(box_words) + 8)


def _of_inlet(mains: _Mains, inlet_a: float) -> Iterator[Inside]:
    """What stands between the inlet's cable and the bar of the hook-up side, first what is at the cable."""
    if not mains.filled:
        yield Inside(fills.breaker, ["main switch, RCD", f"type {BLANK}, {BLANK} A", f"{BLANK} mA"], 16.0, 4.0)
        yield Inside(fills.breaker, ["breaker of inlet", f"{BLANK} A,", f"for {inlet_a:g} A"], 16.0, 4.0)
        return
    words, fitted = mains.diagram.words, mains.diagram.fit.breakers
    main = fitted.get("mains_inlet")
    draw, down = (symbols.breaker, 4.0) if main else (symbols.absent, 6.5)
    yield Inside(draw, words.breaker("mains_inlet"), 16.0, down)
    if main and main.kind == "combined":
        yield Inside(symbols.residual_device, ["of the same"], 18.0, 4.0)
    if "residual_hook_up" in fitted:
        yield Inside(symbols.residual_device, words.breaker("residual_hook_up"), 18.0, 4.0)


def _guard(mains: _Mains, run: str, what: Lines) -> Lines:
    """What is said of the device of a run: ``what``, if the build does not fill the box."""
    return mains.diagram.words.breaker(run) if mains.filled else what


def _risers(mains: _Mains, x: float, runs: Sequence[str]) -> tuple[float, tuple[float, float] | None]:
    """Runs up from the hook-up side, each with its converter; gives where they end, and of an inverter-charger where
    its wire comes in and what is to the right of it."""
    diagram, out = mains.diagram, None
    for run in runs:
        of = "charger" if run == "mains_feed" else "inverter"
        guard = _guard(mains, run, [f"breaker of {of}", f"{BLANK} A"])
        if run == "mains_feed":
            words = diagram.words.charger("mains_charger")
            fitted = "mains_charger" in diagram.fit.chargers
            head = diagram.place(or_absent(symbols.MAINS_CHARGER, fitted=fitted), x + _HEAD_MM, 0.0)
            diagram.wire((x, 0.0), head["left"], dash="dashed")
            diagram.stack(words, x + _HEAD_MM + 8, stacked(words) / 2, start=True)
            mains.up(run, x, guard, 0.0)
            wide = max(_HEAD_MM + 8 + widest(words), 6 + widest(guard), 2 + widest(diagram.words.run(run)))
            x += wide + 6
        else:
            wide = max(6 + widest(guard), 2 + widest(diagram.words.run(run)), 2 * _HEAD_MM)
            mains.up(run, x, guard, -12.0)
            out = x, x + wide + 4
            x += wide + 4
    return x, out


def _inverter_side(mains: _Mains, x: float, coming: tuple[float, float] | None) -> float:
    """The inverter, its run and the side of the box that it feeds; gives where all that ends."""
    diagram, fit = mains.diagram, mains.diagram.fit
    words = diagram.words.inverter()
    start, joint, y = x, x + 4.0, -4.0
    if fit.inverter or diagram.laid("inverter_out"):
        transfers = bool(fit.inverter and fit.inverter.transfers)
        draw = or_absent(symbols.inverter_charger if transfers else symbols.INVERTER, fitted=bool(fit.inverter))
        at = coming[0] + _HEAD_MM if coming else x + 8
        joint = max(at + 10, x + 4)
        head = diagram.place(draw, at, 0.0)
        y = head["out"][1]
        if coming:
            into = head["in"]
            top = (coming[0], -12.0)
            diagram.wire(top, (coming[0], into[1]), into, dash="dashed")
        diagram.stack(words, joint + 3, max(stacked(words) / 2, y + 3.4 + stacked(words)), start=True)
        if diagram.laid("inverter_out"):
            diagram.wire(head["out"], (joint, y), dash="dashed")
    guard = _guard(mains, "inverter_out", ["protects cable and", f"circuits: {BLANK} A"])
    end = joint + 4
    if diagram.laid("inverter_out"):
        mains.up("inverter_out", joint, guard, y, inverter=True)
        end = joint + max(6 + widest(guard), 3 + widest(words), 2 + widest(diagram.words.run("inverter_out")))
    elif fit.inverter:
        end = joint + 3 + widest(words)
    last = _circuits(mains, "inverter", start)
    if fit.case.circuits_from("inverter") or diagram.laid("inverter_out"):
        _bar(mains, "inverter", start, max(last, joint + 4 if diagram.laid("inverter_out") else last))
    return max(end, last)


def _columns(diagram: Diagram, source: str) -> list[tuple[Lines, float]]:
    """What is written at each circuit of a side, and how wide it is [mm]."""
    found = [(circuit, _outlet(diagram, circuit)) for circuit in diagram.fit.case.circuits_from(source)]
    return [(words, max(4 + widest(words), 6 + widest(_device(diagram, circuit))) + 3) for circuit, words in found]


def _outlet(diagram: Diagram, circuit: str) -> Lines:
    """What is written below a circuit."""
    brief, sockets = diagram.fit.case.brief, f"sockets {BLANK}"
    if not brief.fills_mains_box:
        return [f"circuit {circuit}", f"cable {BLANK} mm2", sockets]
    if any(one.wired for one in brief.circuits if one.name == circuit):
        return [f"circuit {circuit}", "wired already", "with its breaker"]
    return [f"circuit {circuit}", sockets, *diagram.words.run(f"outlet_{circuit}")]


def _device(diagram: Diagram, circuit: str) -> Lines:
    """What is written at the device of a circuit."""
    brief = diagram.fit.case.brief
    wired = any(one.wired for one in brief.circuits if one.name == circuit)
    return diagram.words.breaker(f"outlet_{circuit}") if brief.fills_mains_box and not wired else list(_RESIDUAL)


_RESIDUAL = ("30 mA, 2 poles", f"{BLANK} A")


def _circuits_mm(diagram: Diagram, source: str) -> float:
    return _label(source) + sum(wide for _, wide in _columns(diagram, source))


def _label(source: str) -> float:
    return text_mm(SIDES[source], TEXT_MM, bold=True) + 6


def _circuits(mains: _Mains, source: str, start: float) -> float:
    """Circuits of a side, from its label on; gives where they end."""
    diagram = mains.diagram
    x = start + _label(source)
    for (words, wide), circuit in zip(_columns(diagram, source), diagram.fit.case.circuits_from(source), strict=True):
        at, run = x + 4, f"outlet_{circuit}"
        draw = mains.upright(run) if run in diagram.fit.breakers or diagram.laid(run) else symbols.residual_breaker
        breaker = diagram.place(draw, at, mains.bar - _RESIDUAL_MM)
        diagram.wire((at, mains.bar), breaker["top"], dash="dashed")
        diagram.dot((at, mains.bar))
        diagram.stack(_device(diagram, circuit), at + 1.5, mains.bar - _RESIDUAL_MM - 9, start=True, head=False)
        diagram.drawn.add(run)
        head = diagram.place(symbols.outgoing, at, mains.lower - 4)
        diagram.wire(breaker["bottom"], head["top"], dash="dashed")
        diagram.stack(words, at - 1.3, mains.lower - 7, start=True)
        diagram.to_fill(fills.MAINS_SOCKETS)
        if diagram.fit.build.slot("mains_box") and not mains.filled:
            diagram.to_fill(fills.MAINS_CABLES)
        x += wide
    return x


def _bar(mains: _Mains, source: str, start: float, end: float) -> None:
    """The bar of a side, its name below it."""
    mains.diagram.sheet.line((start, mains.bar), (end, mains.bar), layer="mains", weight=0.7)
    mains.diagram.stack([SIDES[source]], start + 2, mains.bar - 1.5, start=True)


def _undrawn_chargers(diagram: Diagram, x: float) -> None:
    """Chargers fed by the mains whose run there is not in the build."""
    for slot in CHARGERS:
        if SLOTS[slot].source == "inlet" and slot in diagram.fit.chargers and not diagram.laid("mains_feed"):
            diagram.stack(["mains_feed", f"to {slot}", "not in the build"], x + 6, 4.0, start=True)
