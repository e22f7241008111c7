"""Changes to a build that a fitter might try, and what goes with them. Knows no model, and no requirement either.

A change leaves a build whose runs lead from body to body; whether it holds is for the audit to say.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import product
from random import Random

from optimiser import builds as b
from optimiser.basis import paths
from optimiser.basis.money import STEP_MM, cut_steps
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.connections import ROWS, SLOTS, role_of
from optimiser.fitted.drawn import reach_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Standing, standing
from optimiser.fitted.wiring import RequiredRun, required_runs, routed_runs
from optimiser.parts import Fuse, Holder, Orientation, Part

Change = Callable[[], b.Build | None]

ORIENTATIONS: tuple[Orientation, ...] = ("flat", "side", "end")
AT_BUSBAR = ("busbar", *(name for name, slot in SLOTS.items() if slot.at_busbar))  # in one bay, as no cable joins them
OPTIONAL = ("alternator_charger", "mains_charger", "inverter")
_MORE = tuple(product((0, 0, 0, 1), repeat=2))  # steps that each core is longer than it must be
MOST = {"modules": 8, "vents": 4, "shunts": 4, "series": 8}  # what a proof looks at, as the guide for developers says


@dataclass
class Bench:
    """A case with its parts, and chance."""

    case: Case
    catalogue: Catalogue
    rng: Random
    known: dict[tuple[str, str], tuple[paths.Path, ...]] = field(default_factory=dict)

    def fit(self, build: b.Build) -> Fit:
        """The build with its parts looked up."""
        return Fit(self.case, self.catalogue, build)

    def parts(self, *keys: str) -> list[Part]:
        """All of these files of the catalogue."""
        return [part for key in keys for part in self.catalogue.of(key).values()]

    def fillers(self, slot: str) -> list[Part]:
        """All that may fill it."""
        return self.parts(*SLOTS[role_of(slot)].files)

    def routes(self, start: str, end: str) -> tuple[paths.Path, ...]:
        """The paths that a run may take."""
        key = (start, end)
        if key not in self.known:
            self.known[key] = paths.shortest(self.case, paths.network(self.case), *key)
        return self.known[key]

    # --- what goes with a change -----------------------------------------------------------------------

    def completed(self, build: b.Build) -> b.Build | None:
        """The same with what its parts bring along: switch, step-down, holder, runs; None if some run has no path."""
        build = replace(build, claim=b.Claim(), runs=tuple(r for r in build.runs if self._speaks(build, r.name)))
        build = self._with_slot(build, "switch", build.slot("inverter") is not None)
        build = self._with_slot(build, "step_down", build.system_v != 12)
        build = self._with_holder(build)
        old = {run.name: run for run in build.runs}
        runs = [self._laid(old.get(name), wanted) for name, wanted in required_runs(self.fit(build)).items()]
        if any(run is None for run in runs):
            return None
        build = self._with_holder(replace(build, runs=tuple(run for run in runs if run)))
        return self._cut(build)

    def _cut(self, build: b.Build) -> b.Build:
        """Each core to where it has to reach, or a little longer."""
        fit = self.fit(build)
        cut = {
            name: [
                STEP_MM * (cut_steps(mm) + more)
                for mm, more in zip(reach_mm(fit, laid), self.rng.choice(_MORE), strict=False)
            ]
            for name, laid in routed_runs(fit).items()
        }
        return replace(build, runs=tuple(_cut_to(run, cut[run.name]) for run in build.runs))

    def _speaks(self, build: b.Build, run: str) -> bool:
        return not run.startswith("solar_") or run in {f"solar_{a.name}" for a in build.arrays}

    def _with_slot(self, build: b.Build, slot: str, wanted: bool) -> b.Build:
        if wanted == (build.slot(slot) is not None):
            return build
        if not wanted:
            return replace(build, fitted=tuple(f for f in build.fitted if f.slot != slot))
        part, beside = self.rng.choice(self.fillers(slot)), build.slot("busbar")
        assert beside
        return replace(build, fitted=(*build.fitted, b.Fitted(slot, part.name, beside.board, 0, 0)))

    def _with_holder(self, build: b.Build) -> b.Build:
        """The holder of the main fuse; one for the bank's terminal is on the bank's board."""
        main, bank, there = build.run("main"), build.slot("bank"), build.slot("main_fuse")
        assert bank and there
        fuse = self.catalogue.find(main.fuse) if main else None
        holder = self.catalogue.find(fuse.holder) if isinstance(fuse, Fuse) else self.catalogue.find(there.part)
        assert isinstance(holder, Holder)
        if holder.on_terminal:
            there = b.Fitted("main_fuse", holder.name, bank.board, 0, 0)
        return with_fitted(build, replace(there, part=holder.name))

    def _laid(self, old: b.Run | None, wanted: RequiredRun) -> b.Run | None:
        if wanted.start is None or wanted.end is None:
            return None
        routes = self.routes(wanted.start, wanted.end)
        if not routes:
            return None
        run = old or b.Run(wanted.name, wanted.start, wanted.end, (), "")
        if (run.start, run.end) != (wanted.start, wanted.end) or old is None:
            path = self.rng.choice(routes)
            run = replace(run, start=wanted.start, end=wanted.end, ways=tuple(way.name for way in path.ways))
        cables = [c for c in self.catalogue.of("cables").values() if c.kind == wanted.kind]
        if run.cable not in [c.name for c in cables]:
            run = replace(run, cable=self.rng.choice(cables).name)
        if bool(run.fuse) != bool(wanted.feed):
            run = replace(run, fuse=self.rng.choice(self.parts("fuses")).name if wanted.feed else "")
        return run

    # --- changes ---------------------------------------------------------------------------------------

    def changes(self, build: b.Build) -> dict[str, Change]:
        """One for each thing in the bays that can be changed, drawn anew when it is called."""
        found: dict[str, Change] = {}
        for fitted in build.fitted:
            slot = fitted.slot
            found[f"move:{slot}"] = partial(self.moved, build, fitted)
            if fitted.part and not fitted.existing and slot != "main_fuse":
                found[f"part:{slot}"] = partial(self.swapped, build, fitted)
            if slot in OPTIONAL and not fitted.existing:
                found[f"without:{slot}"] = partial(without, build, slot)
        for slot in OPTIONAL:
            if not build.slot(slot):
                found[f"with:{slot}"] = partial(self.added, build, slot)
        for run in build.runs:
            found[f"cable:{run.name}"] = partial(self.other_cable, build, run)
            found[f"route:{run.name}"] = partial(self.other_route, build, run)
            if run.fuse:
                found[f"fuse:{run.name}"] = partial(self.other_fuse, build, run)
        found["bank"] = partial(self.other_bank, build)
        found["vents"] = partial(self.other_vents, build)
        found["shunts"] = partial(self.other_shunts, build)
        found["entries"] = partial(self.other_entries, build)
        return found

    def swapped(self, build: b.Build, fitted: b.Fitted) -> b.Build:
        """Another part of its kind."""
        part = self.rng.choice(self.fillers(fitted.slot))
        return self.stood(with_fitted(build, replace(fitted, part=part.name)), fitted.slot, anywhere=False)

    def added(self, build: b.Build, slot: str) -> b.Build:
        """Something the build could do without."""
        part, board = self.rng.choice(self.fillers(slot)), self.rng.choice(self.case.boards)
        build = replace(build, fitted=(*build.fitted, b.Fitted(slot, part.name, board.place, 0, 0)))
        return self.stood(build, slot)

    def moved(self, build: b.Build, fitted: b.Fitted) -> b.Build | None:
        """Elsewhere, or rotated; what no cable joins to the busbars goes with them."""
        if fitted.existing:
            return None
        board = self.rng.choice(self.case.boards).place
        if fitted.slot not in AT_BUSBAR:
            return self.stood(with_fitted(build, replace(fitted, board=board)), fitted.slot)
        bay = self.case.board_of[board].bay
        boards = [x.place for x in self.case.boards if x.bay == bay]
        if self.case.board_of[fitted.board].bay == bay:
            return self.stood(with_fitted(build, replace(fitted, board=board)), fitted.slot)
        for slot in AT_BUSBAR:
            if there := build.slot(slot):
                build = with_fitted(build, replace(there, board=self.rng.choice(boards)))
        for slot in AT_BUSBAR:
            if build.slot(slot):
                build = self.stood(build, slot)
        return build

    def other_cable(self, build: b.Build, run: b.Run) -> b.Build:
        """Of the same kind."""
        kind = self.catalogue.of("cables")[run.cable].kind
        cables = [c.name for c in self.catalogue.of("cables").values() if c.kind == kind]
        return with_run(build, replace(run, cable=self.rng.choice(cables)))

    def other_fuse(self, build: b.Build, run: b.Run) -> b.Build:
        """Any."""
        build = with_run(build, replace(run, fuse=self.rng.choice(self.parts("fuses")).name))
        slot = "main_fuse" if run.name == "main" else "fuse_row"
        return self.stood(self._with_holder(build), slot, anywhere=False)

    def other_route(self, build: b.Build, run: b.Run) -> b.Build:
        """Between the same ends."""
        path = self.rng.choice(self.routes(run.start, run.end))
        return with_run(build, replace(run, ways=tuple(way.name for way in path.ways)))

    def other_bank(self, build: b.Build) -> b.Build:
        """Another module, number or block, a fuse for each string or none."""
        rng, bank = self.rng, build.bank
        volt = rng.choice(self.case.brief.system_voltages) if rng.random() < 0.3 else build.system_v
        if rng.random() < 0.7:
            module = rng.choice(list(self.catalogue.of("modules").values()))
            series = max(1, round(volt / 12 * 12.8 / module.nominal_v))
            parallel = rng.randint(1, max(1, min(module.parallel_max, MOST["modules"] // series)))
            bank = replace(bank, module=module.name, series=series, parallel=parallel)
        count = bank.series * bank.parallel
        rows = rng.choice([r for r in range(1, count + 1) if count % r == 0])
        fuses = [f.name for f in self.catalogue.of("fuses").values() if self._on_terminal(f)]
        fuse = rng.choice(["", *fuses]) if bank.parallel > 1 else ""
        new = replace(bank, rows=rows, columns=count // rows, fuse=fuse)
        return self.stood(replace(build, bank=new, system_v=volt), "bank", anywhere=False)

    def _on_terminal(self, fuse: Fuse) -> bool:
        return self.catalogue.of("holders")[fuse.holder].on_terminal

    def other_vents(self, build: b.Build) -> b.Build:
        """One more or one less."""
        key = (self.rng.choice(self.case.bays).name, self.rng.choice(self.parts("vents")).name)
        counts = {(v.bay, v.vent): v.count for v in build.vents}
        counts[key] = stepped(self.rng, counts.get(key, 0), MOST["vents"])
        return replace(build, vents=tuple(b.FittedVent(*k, n) for k, n in sorted(counts.items()) if n))

    def other_shunts(self, build: b.Build) -> b.Build:
        """One more or one less."""
        counts, name = {m.shunt: m.count for m in build.measuring}, self.rng.choice(self.parts("shunts")).name
        counts[name] = stepped(self.rng, counts.get(name, 0), MOST["shunts"])
        build = replace(build, measuring=tuple(b.Measuring(k, n) for k, n in counts.items() if n))
        return self.stood(build, "shunt_row", anywhere=False)

    def other_entries(self, build: b.Build) -> b.Build:
        """Another gland or pass-through for one purpose, or another wall."""
        purposes = [a.roof_plane for a in build.arrays if a.roof_plane] + [
            p.name for p in self.case.brief.pass_throughs
        ]
        if not purposes:
            return build
        purpose, outside = self.rng.choice(purposes), {p.name for p in self.case.brief.pass_throughs}
        kind = "pass_through" if purpose in outside else "gland"
        entry = self.rng.choice([e for e in self.catalogue.of("entries").values() if e.kind == kind])
        board = self.rng.choice(self.case.boards).place if kind == "pass_through" else ""
        count = 1 if board else self.rng.randint(1, 4)
        others = tuple(e for e in build.entries if e.purpose != purpose)
        return replace(build, entries=(*others, b.FittedEntry(purpose, entry.name, count, board)))

    # --- places ----------------------------------------------------------------------------------------

    def stood(self, build: b.Build, slot: str, *, anywhere: bool = True) -> b.Build:
        """In a free place of its board, where there is one: pushed against others, or anywhere; else as it was."""
        fitted = build.slot(slot)
        holder = self.catalogue.find(fitted.part) if fitted else None
        if fitted is None or fitted.existing or (isinstance(holder, Holder) and holder.on_terminal):
            return build
        others = [s for s in standing(self.fit(build)) if s.slot != slot and s.board.place == fitted.board]
        poses = [(fitted.orientation, fitted.rotated), *product(ORIENTATIONS, (False, True))][
            0 if not anywhere else 1 :
        ]
        if anywhere or self.rng.random() < 0.3:
            self.rng.shuffle(poses)
        for orientation, rotated in poses:
            if slot in ROWS and orientation != "flat":
                continue
            posed = replace(fitted, orientation=orientation, rotated=rotated)
            ours = next((s for s in standing(self.fit(with_fitted(build, posed))) if s.slot == slot), None)
            corners = list(free_corners(ours, others)) if ours else []
            if (fitted.x_mm, fitted.y_mm) in corners and not anywhere:
                return with_fitted(build, posed)
            if corners:
                x_mm, y_mm = self.rng.choice(corners)
                return with_fitted(build, replace(posed, x_mm=x_mm, y_mm=y_mm))
        return build


def of(panel: b.PlacedPanel) -> str:
    """The array a panel belongs to."""
    return panel.string.rpartition(".")[0]


def stepped(rng: Random, count: int, most: int) -> int:
    """One more or one less, within what there may be."""
    return min(most, max(0, count + rng.choice((-1, 1))))


def with_fitted(build: b.Build, new: b.Fitted) -> b.Build:
    """Another body in its slot."""
    return replace(build, fitted=tuple(new if f.slot == new.slot else f for f in build.fitted))


def with_run(build: b.Build, new: b.Run) -> b.Build:
    """Another run of its name."""
    return replace(build, runs=tuple(new if r.name == new.name else r for r in build.runs))


def without(build: b.Build, slot: str) -> b.Build:
    """A slot left empty, with the array that ended there."""
    arrays = tuple(a for a in build.arrays if a.regulator != slot)
    names = {a.name for a in arrays}
    panels = tuple(p for p in build.panels if of(p) in names)
    lights = {a.roof_plane for a in arrays}
    gone = {a.roof_plane for a in build.arrays} - lights
    entries = tuple(e for e in build.entries if e.purpose not in gone)
    fitted = tuple(f for f in build.fitted if f.slot != slot)
    return replace(build, fitted=fitted, arrays=arrays, panels=panels, entries=entries)


def _cut_to(run: b.Run, cores_mm: Sequence[int]) -> b.Run:
    return replace(run, cut_mm=cores_mm[0], back_mm=cores_mm[1] if len(cores_mm) > 1 else None)


def free_corners(ours: Standing, others: Sequence[Standing]) -> Iterator[tuple[int, int]]:
    """Where a body has room for itself and the clearances, pushed against edges or neighbours."""
    foot, board = ours.foot, ours.board
    xs = {foot.clear_x_mm, board.length_mm - foot.length_mm - foot.clear_x_mm, ours.rect.x0}
    ys = {foot.clear_y_mm, board.width_mm - foot.width_mm - foot.clear_y_mm, ours.rect.y0}
    for o in others:
        gap_x, gap_y = max(foot.clear_x_mm, o.foot.clear_x_mm), max(foot.clear_y_mm, o.foot.clear_y_mm)
        xs |= {o.rect.x1 + gap_x, o.rect.x0 - gap_x - foot.length_mm}
        ys |= {o.rect.y1 + gap_y, o.rect.y0 - gap_y - foot.width_mm}
    for x, y in product(sorted(xs), sorted(ys)):
        inside = (
            foot.clear_x_mm <= x <= board.length_mm - foot.length_mm - foot.clear_x_mm
            and foot.clear_y_mm <= y <= board.width_mm - foot.width_mm - foot.clear_y_mm
        )
        rect = type(ours.rect).sized(x, y, foot.length_mm, foot.width_mm)
        if inside and all(
            rect.gap_x(o.rect) >= max(foot.clear_x_mm, o.foot.clear_x_mm)
            or rect.gap_y(o.rect) >= max(foot.clear_y_mm, o.foot.clear_y_mm)
            for o in others
        ):
            yield x, y
