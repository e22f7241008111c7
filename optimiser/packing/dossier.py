"""Everything that is made from one build, before it is a page or files."""

from collections.abc import Callable
from dataclasses import dataclass

from optimiser import pipeline
from optimiser.auditing import Finding
from optimiser.basis.money import CostAndMass
from optimiser.builds import Build, digest
from optimiser.commissioning import Check, Report, test_sheet
from optimiser.drawing import Sheet, drawings, in_frames
from optimiser.drawing.templates import Template, board_templates
from optimiser.fitted import Fit
from optimiser.fixings import fixings
from optimiser.packing.options import Decided, Option, options, proven_as, what_decides
from optimiser.pipeline import Choice, Comparison, Ended, Extent, Inputs, claimed_as, doubts, interruptible, never
from optimiser.plots import Plot, plots
from optimiser.reading import input_hash
from optimiser.schedules import OptionLine, Quotation, Schedule, quotation, schedules
from optimiser.solve import Halt, Stop, Watch


@dataclass(frozen=True)
class Version:
    """What a pack was made from: short hashes of case with catalogue, and of the build."""

    inputs: str
    build: str

    @property
    def text(self) -> str:
        """As it stands on the quotation and below each drawing."""
        return f"case and catalogue {self.inputs}, build {self.build}"


@dataclass(frozen=True)
class Dossier:
    """One build, drawn, listed and calculated. ``report``: readings checked against it, if there were any."""

    inputs: Inputs
    fit: Fit
    findings: tuple[Finding, ...]
    version: Version
    options: tuple[Option, ...]
    sheets: tuple[Sheet, ...]
    templates: tuple[Template, ...]
    plots: tuple[Plot, ...]
    schedules: tuple[Schedule, ...]
    quotation: Quotation
    checks: tuple[Check, ...]
    report: Report | None
    proven: str  # what the build was proven to be in this run; empty if that is not known
    claimed: str  # what its file says that it was proven to be, where that can be true
    doubts: tuple[str, ...]  # that it was made from these inputs


def version_of(inputs: Inputs, fit: Fit) -> Version:
    """The hashes, the first 12 places of each: enough to tell two versions apart."""
    short = 12
    return Version(input_hash(inputs.folder, inputs.catalogue)[:short], digest(fit.build)[:short])


def dossier(inputs: Inputs, options: tuple[Option, ...], report: Report | None = None, *, proven: str = "") -> Dossier:
    """All of it for the chosen option; ``proven``: what this run proved of it, as `options.proven_as` says it."""
    own = next(option for option in options if option.chosen)
    fit, findings, holes = own.fit, own.findings, fixings(own.fit)
    version = version_of(inputs, fit)
    others = tuple(_line(own, option) for option in options if not option.chosen)
    sheets = drawings(fit, findings, holes)
    in_frames(sheets, fit.case.brief.title, (("case and catalogue", version.inputs), ("build", version.build)))
    return Dossier(
        inputs=inputs,
        fit=fit,
        findings=findings,
        version=version,
        options=options,
        sheets=sheets,
        templates=board_templates(fit, holes),
        plots=plots(fit, findings),
        schedules=schedules(fit, findings, holes),
        quotation=quotation(fit, findings, options=others, version=version.text),
        checks=test_sheet(fit, findings),
        report=report,
        proven=proven,
        claimed=claimed_as(inputs, fit.build),
        doubts=doubts(inputs, fit.build),
    )


def _line(own: Option, option: Option) -> OptionLine:
    return OptionLine(
        name=f"option {option.number}",
        cents=option.worth.cents - own.worth.cents,
        grams=option.worth.grams - own.worth.grams,
        line=option.line,
    )


# --- from an audited build to a dossier: the front, what decides its options, then all that is made of the build


@dataclass(frozen=True)
class Wanted:
    """What a pack is to hold beside the build. ``extent``: how much of the front; None: nothing of it."""

    extent: Extent | None
    explain: bool


def make(
    inputs: Inputs,
    build: Build,
    wanted: Wanted,
    stop: Stop,
    watch: Watch,
    tell: Callable[[Choice], None],
    begin: Callable[[str], None],
    turn: Callable[[str], None],
    report: Report | None = None,
    *,
    ended: Ended = never,
) -> tuple[Dossier, Comparison | None]:
    """The dossier of a build that the audit has passed, and the comparison its options are of.

    Ctrl-C ends all that is asked of the solver with what was found so far, and so does ``ended``. ``tell`` hears of
    each option, ``begin`` and ``turn`` of what is asked about them.
    """

    def ask(halt: Halt) -> tuple[Comparison | None, dict[CostAndMass, Decided]]:
        if not wanted.extent:
            return None, {}
        found = pipeline.compare(
            inputs, ("cost", "mass"), wanted.extent, stop, watch, tell, like=build, ended=lambda: halt.asked
        )
        if not wanted.explain:
            return found, {}
        return found, what_decides(inputs, found, stop, watch, begin, turn, lambda: halt.asked)

    found, decided = interruptible(ask, ended)
    beside = options(inputs, build, found, decided)
    return dossier(inputs, beside, report, proven=proven_as(beside, found)), found
