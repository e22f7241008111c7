"""Reading what a command was given: case, catalogue, build files. What cannot be used is told, never guessed."""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from optimiser.builds import Build, BuildProblem, from_json
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import cost_and_mass
from optimiser.reading import catalogues_named, input_hash, read_inputs, shipped_cases, shipped_catalogue

SHIPPED = "shipped"  # names the catalogue that comes with the program


class Unusable(Exception):
    """Something a command was given cannot be used; one line a problem."""

    def __init__(self, *lines: str) -> None:
        self.lines = lines
        super().__init__("\n".join(lines))


@dataclass(frozen=True)
class Inputs:
    """What a run is made from."""

    folder: Path
    case: Case
    catalogue: Catalogue


def read(case: str, catalogues: Sequence[str]) -> Inputs:
    """Case and catalogue by folder or shipped name.

    Raises
    ------
    Unusable
        If there is no such case.
    CaseProblems
        With every problem of every file.
    """
    folder = case_folder(case)
    return Inputs(folder, *read_inputs(folder, *catalogues_of(folder, catalogues)))


def catalogues_of(folder: Path, given: Sequence[str]) -> list[Path]:
    """The catalogue folders that were given, or those that the case names, from its own folder on."""
    named = () if given else catalogues_named(folder)
    return catalogue_folders(given or [name if name == SHIPPED else str(folder / name) for name in named])


def catalogue_folders(names: Sequence[str]) -> list[Path]:
    """The folders a catalogue is laid together from, the shipped one by its name or if none is named."""
    return [shipped_catalogue() if name == SHIPPED else Path(name) for name in names or (SHIPPED,)]


def case_folder(name: str) -> Path:
    """The folder of that path, or the shipped case of that name.

    Raises
    ------
    Unusable
        If there is neither.
    """
    folder, shipped = Path(name), _shipped()
    if folder.is_dir():
        return folder
    if name in shipped:
        return shipped[name]
    raise Unusable(f"{name}: no such folder; expected a case folder or a shipped case: {', '.join(shipped)}")


def shipped_names() -> tuple[str, ...]:
    """The cases that come with the program."""
    return tuple(_shipped())


def _shipped() -> dict[str, Path]:
    return {path.name: path for path in sorted(shipped_cases().iterdir()) if path.is_dir()}


def called(inputs: Inputs) -> str:
    """The case as a command takes it: a shipped one by its name, any other by its folder."""
    shipped = inputs.folder.parent == shipped_cases()
    return inputs.folder.name if shipped else shlex.quote(str(inputs.folder))


def read_build(path: Path) -> Build:
    """A build file.

    Raises
    ------
    Unusable
        If it cannot be read or is not a build.
    """
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):  # a pipe may never end
            raise Unusable(f"{path}: no ordinary file; expected a build file")
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise Unusable(f"{path}: cannot be read ({error.strerror}); expected a build file") from None
    except UnicodeDecodeError:
        raise Unusable(f"{path}: not UTF-8; expected a build file") from None
    try:
        return from_json(text, where=str(path))
    except BuildProblem as problem:
        raise Unusable(*str(problem).splitlines()) from None


def doubts(inputs: Inputs, build: Build) -> tuple[str, ...]:
    """What makes a build look as if it belonged to other inputs; no breach, but worth knowing."""
    found = []
    if build.case != inputs.case.name:
        found.append(f"the build is for case {build.case!r}; it is checked against {inputs.case.name!r} here")
    if build.claim.inputs and build.claim.inputs != input_hash(inputs.folder, inputs.catalogue):
        found.append("case or catalogue have changed since the build was made")
    return tuple(found)


def claimed_as(inputs: Inputs, build: Build) -> str:
    """What a build file says that it is proven to be; empty if its word does not cover this very build.

    It does only for these inputs, and with the cost, mass and bound that the audit calculates: a build altered by hand
    has them no more. Nothing is proven here, and anyone can write such a file.
    """
    claim = build.claim
    if claim.status != "proven" or not claim.inputs or doubts(inputs, build):
        return ""
    total = cost_and_mass(inputs.case, inputs.catalogue, build)
    if (claim.cost_cents, claim.mass_g) != (total.cents, total.grams):
        return ""
    if claim.want.startswith("front of "):
        return f"to be a point of the {claim.want}"
    best = {"cheapest": total.cents, "lightest": total.grams}.get(claim.want)
    return f"the {claim.want}" if best is not None and best == claim.bound else ""
