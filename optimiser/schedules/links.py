"""The links of the bank in cutting list, bill and labels: a mark for each, B1, B2 ..., and what it joins."""

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.basis import money
from optimiser.fitted import Fit
from optimiser.fitted.links import in_words, links_of
from optimiser.schedules.ends import takes

RUN = "links of the bank"
"""What they stand under where runs have their names."""


class Link(NamedTuple):
    """A link with its mark, what it goes from and to, and how long it is. [mm]"""

    mark: str
    start: str
    end: str
    terminals: tuple[str, str]
    drawn_mm: int
    ends_mm: int

    @property
    def cut_mm(self) -> int:
        """As drawn and with its ends."""
        return self.drawn_mm + self.ends_mm


def link_list(fit: Fit) -> list[Link]:
    """String by string, then from string to string; in the order in which the modules are joined."""
    found = links_of(fit)
    if found is None:
        return []
    both = [(*joined, found.in_string_mm) for joined in _in_strings(fit)]
    both += [(*joined, found.rail_mm) for joined in _rails(fit)]
    return [
        Link(f"B{number}", start, end, (_on(fit, start), _on(fit, end)), drawn_mm, found.ends_mm)
        for number, (start, end, drawn_mm) in enumerate(both, start=1)
    ]


def _in_strings(fit: Fit) -> Iterator[tuple[str, str]]:
    bank = fit.build.bank
    for string in range(1, bank.parallel + 1):
        of = f"string {string}, " if bank.parallel > 1 else ""
        for module in range(1, bank.series):
            yield f"{of}module {module} +", f"{of}module {module + 1} -"


def _rails(fit: Fit) -> Iterator[tuple[str, str]]:
    for pole in "+-":
        for string in range(1, fit.build.bank.parallel):
            yield f"string {string} {pole}", f"string {string + 1} {pole}"


def _on(fit: Fit, end: str) -> str:
    """What its lug goes on: a module's stud, or the holder of a string's fuse."""
    fused = fit.module_holder if end.startswith("string") and "module" not in end and end.endswith("+") else None
    return takes("module fuse" if fused else "module", fused or fit.module)


def link_note(fit: Fit) -> str:
    """What whoever cuts them must know."""
    found = links_of(fit)
    assert found
    series = (
        "; + of a module to - of the next is taken as far apart as any two of its terminals" if found.in_strings else ""
    )
    spare_mm, fuses = found.steps * money.STEP_MM - found.total_mm, found.parallel - 1
    fed = (
        f" WARNING: behind the strings' fuses a fault with resistance may draw through {fuses} of them before one "
        "opens: cover the links and keep them apart."
        if fit.build.bank.fuse and fuses > 1
        else ""
    )
    size = ", ".join(in_words(fit))
    return (
        f"B1 to B{found.count}: {RUN}, of the main run's cable: {size}, square along the block from terminal to "
        f"terminal{series}. Modules stand the same way round and are joined {found.order}. Links of one kind are "
        f"equally long (common practice, no source), and no terminal has more than two lugs. Bought as "
        f"{found.steps * money.STEP_MM} mm of one core: {spare_mm} mm are left.{fed}"
    )
