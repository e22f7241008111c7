"""What the shop wants of a build: parts, sections, twins, places and spares. Nothing is said of what it leaves open."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.builds import Build
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.parts import Busbar, Holder, MainsBox


def check(fit: Fit) -> Iterator[Finding]:
    """Each preference that the brief names."""
    yield from _parts(fit)
    yield from _solar_section(fit)
    yield from _types(fit)
    yield from _places(fit)
    yield from _spares(fit)


def _parts(fit: Fit) -> Iterator[Finding]:
    wanted, banned = fit.case.preferences.wanted, fit.case.preferences.banned
    there = _names(fit) if wanted or banned else set()

    def fitted(words: str) -> int:
        return len({part.name for part in fit.catalogue.meant(words)} & there)

    for words in wanted:
        yield checked("preference.wanted", words, limit=1, actual=fitted(words))
    for words in banned:
        yield checked("preference.banned", words, limit=0, actual=fitted(words))


def _names(fit: Fit) -> set[str]:
    """Every part of the build, what is existing and the holders of its fuses among them."""
    build: Build = fit.build
    fuses = {fuse for fuse in (build.bank.fuse, *(run.fuse for run in build.runs)) if fuse}
    return {
        build.bank.module,
        *((build.dc_panel,) if build.dc_panel else ()),
        *(device.breaker for device in build.breakers),
        *(panel.panel for panel in build.panels),
        *(array.panel for array in build.arrays),
        *(array.fuse for array in build.arrays if array.fuse),
        *(fitted.part for fitted in build.fitted),
        *(run.cable for run in build.runs),
        *fuses,
        *(content.part.name for content in fit.contents if isinstance(content.part, Holder)),
        *(vent.vent for vent in build.vents),
        *(shunt.shunt for shunt in build.measuring),
        *(entry.entry for entry in build.entries),
    }


def _solar_section(fit: Fit) -> Iterator[Finding]:
    least = fit.case.preferences.solar_section_mm2
    if least is None:
        return
    laid = routed_runs(fit)
    for name, run in required_runs(fit).items():
        if run.kind == "solar" and name in laid:
            yield checked("preference.solar_section", name, limit=least, actual=laid[name].cable.section_mm2)


def _types(fit: Fit) -> Iterator[Finding]:
    """Of regulators, and of panels that lie on the roof: the portable one is the customer's."""
    liked = fit.case.preferences
    if liked.twins_alike and fit.regulators:
        regulators = {regulator.name for regulator in fit.regulators.values()}
        yield checked("preference.twins", limit=1, actual=len(regulators))
    if liked.panel_types_at_most is not None:
        panels = {panel.panel for panel in fit.build.panels}
        yield checked("preference.panel_types", limit=liked.panel_types_at_most, actual=len(panels))


def _places(fit: Fit) -> Iterator[Finding]:
    for slot, place in fit.case.preferences.places.items():
        fitted = fit.build.slot(slot)
        if fitted:
            bay = fit.case.board_of[fitted.board].bay
            yield checked("preference.place", slot, limit=0, actual=0 if place in (bay, fitted.board) else 1)


def _spares(fit: Fit) -> Iterator[Finding]:
    liked, busbar, box = fit.case.preferences, fit.at("busbar", Busbar), fit.at("mains_box", MainsBox)
    if liked.spare_studs and busbar:
        circuits = sum("busbar" in run.ends for name, run in required_runs(fit).items() if name != "main")
        yield checked("preference.spare_studs", limit=liked.spare_studs, actual=busbar.studs - circuits)
    if liked.spare_circuits and box:
        spare = box.circuits - max(len(fit.case.brief.circuits), 1)
        yield checked("preference.spare_circuits", limit=liked.spare_circuits, actual=spare)
