"""What the functions of the library give: each a sheet as the command prints it, one JSON object and an exit code."""

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any, TypeVar

from rich.console import RenderableType

from optimiser import printing
from optimiser.auditing import Finding, breaches
from optimiser.builds import Build
from optimiser.checking import Overview
from optimiser.commissioning import Check, Expectation, Report
from optimiser.explaining import Glance
from optimiser.fitted import Fit, fit_of
from optimiser.packing import Dossier, pack_lines, pack_object
from optimiser.pipeline import Answer, Comparison, Explanation, Inputs, PartTrial, Sweep, Trial, save
from optimiser.pipeline.many.sweeping import ManySwept
from optimiser.printing import commissioning as sheets
from optimiser.yearly import YearFigures

T = TypeVar("T", bound="OfCase")


class Result:
    """What a notebook shows as the sheet that the command prints."""

    @property
    def code(self) -> int:
        """Exit code of the command."""
        return 0

    @property
    def remarks(self) -> list[str]:
        """What the command tells on stderr after the sheet."""
        return []

    def sheet(self) -> Sequence[RenderableType]:
        """What the command prints, in pieces."""
        raise NotImplementedError

    def object(self) -> Any:
        """What the command prints with ``--json``, as typed in `optimiser.printing.objects`."""
        raise NotImplementedError

    def text(self, width: int = printing.WIDTH) -> str:
        """The sheet as text, in lines of at most so many characters where words allow."""
        return printing.rendered(self.sheet(), width)

    def json(self) -> str:
        """The object as a line of JSON."""
        return printing.as_text(self.object())

    def _repr_html_(self) -> str:
        return printing.as_html(*self.sheet())


@dataclass(frozen=True)
class New(Result):
    """A case that was written."""

    folder: Path

    def sheet(self) -> Sequence[RenderableType]:
        return [f"{self.folder} is there. Change what is yours, then: optimiser check {self.folder}"]

    def object(self) -> Any:
        return printing.new_object(self.folder)


@dataclass(frozen=True, kw_only=True)
class OfCase(Result):
    """What was found out from case and catalogue, ``inputs``."""

    inputs: Inputs


def of_case(kind: type[T], case: Inputs, found: Any, **more: Any) -> T:
    """The same result as a kind that shows itself."""
    return kind(**{field.name: getattr(found, field.name) for field in fields(found)}, inputs=case, **more)


@dataclass(frozen=True)
class Checked(Overview, OfCase):
    """A case in figures, and warnings (``oddities``)."""

    def sheet(self) -> Sequence[RenderableType]:
        return [*printing.overview_lines(self)]

    def object(self) -> Any:
        return printing.overview_object(self)


@dataclass(frozen=True, kw_only=True)
class Addresses(OfCase):
    """Every value of a case by the address that `what_if` and `sweep` take."""

    values: dict[str, str]

    def sheet(self) -> Sequence[RenderableType]:
        return [f"{address}={value}" for address, value in self.values.items()]

    def text(self, width: int = printing.WIDTH) -> str:
        return "".join(f"{line}\n" for line in self.sheet())

    def object(self) -> Any:
        return self.values


@dataclass(frozen=True)
class Built(Answer, OfCase):
    """The best build that was found, audited. ``status`` says whether it is proven to be the best.

    ``glance``: what an impossible case has to give up, as far as a moment shows it.
    """

    written: Path | None = field(default=None, kw_only=True)  # where it is
    glance: Glance | None = field(default=None, kw_only=True)

    def sheet(self) -> Sequence[RenderableType]:
        return printing.answer_sheet(self.inputs, self, self.glance)

    def object(self) -> Any:
        return printing.answer_object(self, self.glance)

    @property
    def remarks(self) -> list[str]:
        return printing.fault_lines((*self.findings, *(self.glance.refused if self.glance else ())))

    def save(self, path: str | Path) -> bool:
        """Write the build file, all of it or nothing; whether there was a valid build to write.

        Raises
        ------
        Unusable
            If it cannot be written.
        """
        return save(Path(path), self)


@dataclass(frozen=True)
class Compared(Comparison, OfCase):
    """The builds worth showing (``choices``), and what changes from each to the next (``steps``)."""

    written: tuple[Path, ...] = field(default=(), kw_only=True)  # where each of them is

    def sheet(self) -> Sequence[RenderableType]:
        return printing.comparison_sheet(self.inputs, self)

    def object(self) -> Any:
        return printing.comparison_object(self)

    @property
    def remarks(self) -> list[str]:
        return [line for choice in self.choices for line in printing.fault_lines(choice.findings)]


@dataclass(frozen=True)
class Explained(Explanation, OfCase):
    """Why there is no build (``why``), or what decides the best ones (``deciding``)."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.explanation_sheet(self.inputs, self)

    def object(self) -> Any:
        return printing.explanation_object(self)

    @property
    def remarks(self) -> list[str]:
        return printing.fault_lines(self.refused)


@dataclass(frozen=True)
class Tried(Trial, OfCase):
    """The best build as asked (``before``) and as changed (``after``), side by side."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.trial_sheet(self.inputs, self)

    def object(self) -> Any:
        return printing.trial_object(self)

    @property
    def remarks(self) -> list[str]:
        findings = (self.before.findings, self.after.findings) if self.status == "breach" else ()
        return [line for found in findings for line in printing.fault_lines(found)]


@dataclass(frozen=True)
class PartTried(PartTrial, OfCase):
    """The best build as asked (``before``) and with parts or without them (``after``), or what leaves none."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.part_sheet(self.inputs, self)

    def object(self) -> Any:
        return printing.part_object(self)

    @property
    def remarks(self) -> list[str]:
        findings = (self.before.findings, self.after.findings, self.refused) if self.status == "breach" else ()
        return [line for found in findings for line in printing.fault_lines(found)]


@dataclass(frozen=True)
class Curve(Sweep, OfCase):
    """The best build at each value of a range (``rows``)."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.sweep_sheet(self.inputs, self)

    def object(self) -> Any:
        return printing.sweep_object(self)

    @property
    def remarks(self) -> list[str]:
        return [line for row in self.rows for line in printing.fault_lines(row.answer.findings)]


@dataclass(frozen=True)
class Many(ManySwept, Result):
    """The best build of many cases, each with every setting: one of the ``rows`` each."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.many_sheet(self)

    def object(self) -> Any:
        return printing.many_object(self)


@dataclass(frozen=True, kw_only=True)
class Audited(OfCase):
    """Every requirement checked against one build; ``breaches`` are those that do not hold.

    ``doubts``: what makes the build look as if it belonged to other inputs.
    """

    build: Build
    findings: tuple[Finding, ...]
    name: str = "build"  # of its file
    doubts: tuple[str, ...] = ()

    @property
    def breaches(self) -> tuple[Finding, ...]:
        return breaches(self.findings)

    @property
    def fit(self) -> Fit:
        """The build with its parts looked up."""
        return fit_of(self.inputs.case, self.inputs.catalogue, self.build)

    @property
    def code(self) -> int:
        return int(bool(self.breaches))

    @property
    def remarks(self) -> list[str]:
        return [f"{self.name}: {doubt}" for doubt in self.doubts]

    def sheet(self) -> Sequence[RenderableType]:
        return printing.audit_sheet(self.inputs, self.build, self.findings)

    def object(self) -> Any:
        return printing.audit_object(self.inputs, self.build, self.findings)


@dataclass(frozen=True, kw_only=True)
class OfBuild(Result):
    """What was made from a build that was audited first."""

    audited: Audited

    @property
    def refused(self) -> tuple[Finding, ...]:
        """Breaches of the build: from one that has any, nothing is calculated."""
        return self.audited.breaches

    @property
    def code(self) -> int:
        return int(bool(self.refused))

    @property
    def remarks(self) -> list[str]:
        return [*self.audited.remarks, *(sheets.refused_lines(self.refused) if self.refused else [])]


@dataclass(frozen=True, kw_only=True)
class Packed(OfBuild):
    """A job pack that was written, its ``files`` by name; ``front``: what its options are of."""

    folder: Path
    files: tuple[str, ...]
    made: Dossier
    front: Comparison | None

    @property
    def code(self) -> int:
        out_of_band = self.made.report is not None and self.made.report.status == "out of band"
        return 1 if out_of_band else self.front.code if self.front else 0

    def sheet(self) -> Sequence[RenderableType]:
        return pack_lines(self.made, self.front, self.folder, self.files)

    def object(self) -> Any:
        return pack_object(self.made, self.front, self.folder, self.files)


@dataclass(frozen=True, kw_only=True)
class Foreseen(OfBuild):
    """What meters should show (``found``); None if the build was refused."""

    found: Expectation | None

    def sheet(self) -> Sequence[RenderableType]:
        return sheets.expectation_sheet(self.audited.fit, self.found) if self.found else []

    def object(self) -> Any:
        return printing.expectation_object(self.found, self.refused)


@dataclass(frozen=True, kw_only=True)
class Lived(OfBuild):
    """Years of weather through a build (``found``); None if it was refused. ``written``: its files."""

    found: YearFigures | None
    written: tuple[Path, ...] = ()

    def sheet(self) -> Sequence[RenderableType]:
        return printing.year_sheet(self.audited.fit, self.found) if self.found else []

    def object(self) -> Any:
        return printing.year_object(self.found, self.refused)


@dataclass(frozen=True, kw_only=True)
class Commissioned(OfBuild):
    """Readings checked against the design (``report``), or the test sheet to fill in (``checks``)."""

    report: Report | None = None
    checks: tuple[Check, ...] = ()

    @property
    def code(self) -> int:
        return int(bool(self.refused) or (self.report is not None and self.report.status == "out of band"))

    def sheet(self) -> Sequence[RenderableType]:
        if self.refused:
            return []
        fit = self.audited.fit
        return sheets.report_sheet(fit, self.report) if self.report else sheets.blank_sheet(fit, self.checks)

    def object(self) -> Any:
        return printing.readings_object(self.report, self.refused, self.checks)
