"""What is to be done: every case with every setting, and what the result of each rests on."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import chain, product
from math import prod

from optimiser.catalogue import Catalogue
from optimiser.moves import MoveProblem, moved, parse_set, parse_sweep
from optimiser.pipeline.inputs import Inputs, Unusable, read
from optimiser.pipeline.program import program_digest
from optimiser.reading import CaseProblems, case_hash
from optimiser.solve import Stop, Want

TASKS_MOST = 100_000
DIGITS = 16  # of a digest: enough to tell two apart, few enough to read
_EXAMPLE = "payload_kg=+0,-10 or autonomy_days=1:3:0.5"


@dataclass(frozen=True)
class RestsOn:
    """Digests of all that a result follows from, but for the limits of the search."""

    case: str
    catalogue: str
    program: str


@dataclass(frozen=True)
class Task:
    """A case with a setting, to be solved. ``inputs`` are those of the case, with nothing set yet."""

    name: str  # of the case, as it was given
    settings: tuple[str, ...]  # as `moves.parse_set` reads them
    want: Want
    stop: Stop
    rests_on: RestsOn
    inputs: Inputs

    @property
    def setting(self) -> str:
        """All that is set, in a line; empty for the case as it is."""
        return " ".join(self.settings)

    @property
    def key(self) -> str:
        """What its row is filed under, whatever the case says by now."""
        return sha256("\n".join((self.name, self.want, *self.settings)).encode()).hexdigest()[:DIGITS]


@dataclass(frozen=True)
class Plan:
    """Every case with every setting: tasks, and the cases that cannot be read, with what is wrong."""

    cases: tuple[str, ...]
    settings: tuple[tuple[str, ...], ...]
    tasks: tuple[Task, ...]
    unread: dict[str, tuple[str, ...]]

    @property
    def size(self) -> int:
        """Rows that shall come of it."""
        return len(self.cases) * len(self.settings)


def plan(cases: Sequence[str], sets: Sequence[str], catalogues: Sequence[str], want: Want, stop: Stop) -> Plan:
    """Every case with every setting.

    Raises
    ------
    Unusable
        If the settings do not read like any, there are too many tasks, no case can be read, or none has what is set.
    """
    settings, names = combinations(sets), tuple(dict.fromkeys(cases))
    if len(names) * len(settings) > TASKS_MOST:
        many = f"{len(names)} cases with {len(settings)} settings each"
        raise Unusable(f"{many}; expected at most {TASKS_MOST} rows, so fewer values")
    vehicles, unread = _read(names, catalogues)
    if not vehicles:
        raise Unusable(*chain.from_iterable(unread.values()))
    _check(vehicles.values(), settings)
    tasks = [
        Task(name, setting, want, stop, rests_on, inputs)
        for name, (inputs, rests_on) in vehicles.items()
        for setting in settings
    ]
    return Plan(names, settings, tuple(tasks), unread)


# --- settings ----------------------------------------------------------------------------------------


def combinations(sets: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Every combination of the values of each address; with nothing to set, the one of nothing.

    ``ADDRESS=CHANGE``, several changes with commas between, a range as FROM:TO:STEP.

    Raises
    ------
    Unusable
        With every text that does not read like that.
    """
    problems, axes = list[str](), dict[str, tuple[str, ...]]()
    for text in sets:
        try:
            address, values = _values(text)
        except MoveProblem as problem:
            problems.append(str(problem))
            continue
        if address in axes:
            problems.append(f"{text}: {address} is set twice; expected all of its values at once, as {_EXAMPLE}")
        axes[address] = values
    if problems:
        raise Unusable(*problems)
    if prod(map(len, axes.values())) > TASKS_MOST:  # before they are listed
        raise Unusable(f"more than {TASKS_MOST} combinations of {', '.join(axes)}; expected fewer values")
    return tuple(product(*axes.values()))


def _values(text: str) -> tuple[str, tuple[str, ...]]:
    whole = parse_set(text)
    pieces = [piece.strip() for piece in whole.change.split(",")]
    if not all(pieces):
        raise MoveProblem(f"{text}: nothing between two commas; expected values, as {_EXAMPLE}")
    found = chain.from_iterable(_settings(whole.address, piece) for piece in pieces)
    return whole.address, tuple(dict.fromkeys(found))


def _settings(address: str, piece: str) -> Iterator[str]:
    """One, or those of a range; a value below 0 is marked as one that nothing is taken from."""
    if ":" not in piece:
        yield f"{address}={piece}"
        return
    for value in parse_sweep(f"{address}={piece}")[1]:
        yield f"{address}={'=' * (value < 0)}{value.normalize():f}"


# --- cases -------------------------------------------------------------------------------------------

Vehicle = tuple[Inputs, RestsOn]


def _read(names: Sequence[str], catalogues: Sequence[str]) -> tuple[dict[str, Vehicle], dict[str, tuple[str, ...]]]:
    """The cases by name, those alike sharing one catalogue; and what is wrong with the others."""
    found, unread, shared = dict[str, Vehicle](), dict[str, tuple[str, ...]](), dict[str, Catalogue]()
    for name in names:
        try:
            inputs = read(name, catalogues)
        except CaseProblems as problems:
            unread[name] = tuple(map(str, problems.problems))
            continue
        except Unusable as problem:
            unread[name] = problem.lines
            continue
        catalogue = shared.setdefault(inputs.catalogue.digest, inputs.catalogue)
        digests = (case_hash(inputs.folder), catalogue.digest, program_digest())
        rests_on = RestsOn(*(digest[:DIGITS] for digest in digests))
        found[name] = replace(inputs, catalogue=catalogue), rests_on
    return found, unread


def _check(vehicles: Collection[Vehicle], settings: Iterable[tuple[str, ...]]) -> None:
    """Settings that none of the cases can have are a slip; what only some of them have is not."""
    problems = [why for text in dict.fromkeys(chain.from_iterable(settings)) if (why := _refused(vehicles, text))]
    if problems:
        raise Unusable(*problems)


def _refused(vehicles: Iterable[Vehicle], text: str) -> str:
    """Why none of them can have it; empty if one can."""
    first = ""
    for inputs, _ in vehicles:
        try:
            changed_inputs(inputs, (text,))
        except MoveProblem as problem:
            first = first or str(problem)
        else:
            return ""
    return first


def changed_inputs(inputs: Inputs, settings: Sequence[str]) -> tuple[Inputs, dict[str, str]]:
    """The inputs with everything set, one after the other, and each value by its full address.

    Raises
    ------
    MoveProblem
        If one of them cannot be set.
    """
    values = dict[str, str]()
    for text in settings:
        move = moved(inputs.case, inputs.catalogue, parse_set(text))
        inputs = replace(inputs, case=move.case, catalogue=move.catalogue)
        values[move.address] = move.after
    return inputs, values
