"""Which requirements cannot hold together, and which to give up: found by asking, with as few questions as can be.

A question is a set of names: can these hold together? The one who asks passes the solver in as a function, so nothing
here knows what a name stands for. Whatever always holds belongs into that function, not among the names.

A question may stay open; it then proves nothing, and what rests on it says so. When time is up, the function may leave
every further question open at once.

* One minimal conflict in an order of preference: QuickXplain (U. Junker, AAAI 2004, from memory). A core that comes
  with a failure answers later questions; it is not gone on from at once, which could lose the preferred conflict.
* Smallest conflict and correction sets: the names of a conflict hit every correction set, and the other way round
  (R. Reiter, Artificial Intelligence 32, 1987, from memory). So hit all of one kind that are known, ask, learn.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from optimiser.explaining.asker import Asker, Fails, Holds, Line, Open
from optimiser.explaining.hitting import Name, lightest_hitting_set, one_each

_FEW = 4  # names given up together


@dataclass(frozen=True)
class Conflict:
    """Names that cannot hold together: proven, whatever the rest says."""

    names: tuple[Name, ...]  # in the order of preference
    minimal: bool  # proven: without any one of them the others hold
    smallest: bool  # proven: no conflict has fewer names (weighs less, where names are weighed)
    undecided: tuple[Name, ...]  # may be too many: whether the others hold without it is not known


def minimal_conflict(names: Sequence[Name], asker: Asker) -> Conflict | Open | None:
    """A conflict with no name too many, the preferred one by the order (first: dearest to keep); None if all hold.

    For k of n names at most 2 + 2k + 2k log2(n/k) questions. Open ones keep their names in; whether each is needed is
    then asked once more, up to k questions, and k again for each that drops out. What stays in doubt is marked, and
    the conflict may be another than the preferred one.
    """
    match asker(frozenset(names)):
        case Holds():
            return None
        case Open() as undecided:
            return undecided

    def needed(part: Sequence[Name], beside: frozenset[Name], *, asked: bool) -> frozenset[Name]:
        """Of ``part``, what makes ``beside`` fail; ``asked`` if that alone is known not to."""
        if not asked and isinstance(asker(beside), Fails):
            return frozenset()
        if len(part) <= 1:
            return frozenset(part)
        dearer, other = part[: len(part) // 2], part[len(part) // 2 :]
        from_other = needed(other, beside.union(dearer), asked=False)
        return from_other | needed(dearer, beside | from_other, asked=not from_other)

    kept = needed(names, frozenset(), asked=True)
    # After open questions some may be too many. Otherwise memory answers all of this, but that nothing fails by itself.
    again = True
    while again:
        again = False
        for name in reversed(names):
            if name in kept and isinstance(answer := asker(kept - {name}), Fails):
                kept, again = answer.core, True
    return conflict_of(kept, names, asker)


def smallest_conflict(
    names: Sequence[Name],
    asker: Asker,
    *,
    known: Conflict,
    go_on: Callable[[], bool],
    weigh: Callable[[Name], int] = one_each,
) -> Conflict:
    """The conflict of fewest names, or lightest, starting from a known one; the best so far once ``go_on`` says no.

    A single name is smallest at once, and k names that are the only conflict take at most one question each. Every
    other way to fail takes some more. Each witness is grown first; what it leaves out is a set that any conflict must
    hit, and when nothing lighter than the best hits all of these, the best is proven.
    """
    best = frozenset(known.names)
    to_hit = [frozenset(names) - witness for witness in asker.witnesses]
    unsure: list[frozenset[Name]] = []
    # One short of a minimal conflict holds: a good place to start from, as its left-out sets overlap least.
    starts = iter([best - {name} for name in known.names] if known.minimal else [])
    proven = False

    def weight(some: frozenset[Name]) -> int:
        return sum(map(weigh, some))

    while go_on():
        unsure = [some for some in unsure if isinstance(asker.recall(some), Open)]
        hit = lightest_hitting_set(to_hit, names, avoid=unsure, weigh=weigh, lighter_than=weight(best))
        if hit is None:
            proven = all(weight(some) >= weight(best) for some in unsure)
            break
        question = next(starts, hit)
        match asker(question):
            case Holds(holds):
                [grown] = asker.run(_grown(holds, names, to_hit))
                to_hit.append(frozenset(names) - grown)
            case Open():
                unsure.append(question)
        best = min([best, *(core for core in asker.cores if core <= set(names))], key=weight)
    return conflict_of(best, names, asker, smallest=proven)


def _grown(witness: frozenset[Name], names: Sequence[Name], to_hit: Sequence[frozenset[Name]]) -> Line[frozenset[Name]]:
    """The witness with names added up to the first that cannot be; first those often left out, to leave out others.

    Adds all at once while nothing speaks against it, as mostly nothing does once the conflicts are known. A failure
    that shows only part of what was asked to be at fault has found one; one that does not leads to bisection. Going on
    behind the first that cannot be added was measured to cost more questions than it saves.
    """
    left = sorted(set(names) - witness, key=lambda name: (-sum(name in some for some in to_hit), names.index(name)))
    low, high, bold = 0, len(left) + 1, True  # so many from the front can be added, so many cannot
    while high - low > 1:
        middle = high - 1 if bold else (low + high) // 2
        bold = False
        match (yield witness.union(left[:middle])):
            case Holds(holds):
                low = next((k for k, name in enumerate(left) if name not in holds), len(left))
            case Fails(core):
                high = max(k for k, name in enumerate(left, 1) if name in core)
                bold = len(core) < len(witness) + middle
            case Open():
                high = middle
    return witness.union(left[:low])


def climbed(names: Sequence[Name], asker: Asker, *, go_on: Callable[[], bool]) -> frozenset[Name]:
    """Names that fail together, found from below; or as far as that was decided.

    Where a witness is quick to find and a proof is slow, so that as few questions as can be fail: while the names kept
    hold together, their witness shows what it leaves out, and something of that is kept from then on: a minimal set to
    give up, looked for a few names at a time, the likeliest first. One proof in the end says of all other names that
    none is needed. Should a question stay open, it is told of all names whether they are enough by themselves.
    """
    everything, kept = frozenset(names), frozenset[Name]()
    while go_on() and isinstance(answer := asker(kept), Holds):
        left = _likeliest(everything - answer.holds, names, asker)
        kept |= next(_corrections(left, names, asker, go_on), frozenset(left))
    if isinstance(asker.recall(kept), Open):
        kept = kept.union(*_corrections(_likeliest(everything - kept, names, asker), names, asker, go_on))
    return kept


def _corrections(
    left: Sequence[Name], names: Sequence[Name], asker: Asker, go_on: Callable[[], bool]
) -> Iterator[frozenset[Name]]:
    """Minimal sets to give up that share no name, each among a few."""
    for k in range(0, len(left), _FEW):
        few = left[k : k + _FEW]
        while few and go_on():
            [gone] = asker.run(within(few, names))
            if not gone:
                break
            yield gone
            few = [name for name in few if name not in gone]


def _likeliest(left: frozenset[Name], names: Sequence[Name], asker: Asker) -> list[Name]:
    """First what most witnesses leave out, as such a build has to; last what is known not to be enough by itself."""
    everything = frozenset(names)

    def rank(name: Name) -> tuple[bool, int, int]:
        in_vain = isinstance(asker.recall(everything - {name}), Fails)
        return in_vain, sum(name in held for held in asker.witnesses), names.index(name)

    return sorted(left, key=rank)


def within(few: Sequence[Name], names: Sequence[Name]) -> Line[frozenset[Name]]:
    """A minimal set to give up among a few; empty if there is none."""
    everything = frozenset(names)
    if not isinstance(answer := (yield everything.difference(few)), Holds):
        return frozenset()
    likeliest_last = [*(name for name in names if name not in few), *reversed(few)]  # so that it is what stays left out
    return everything - (yield from _grown_whole(answer.holds, likeliest_last))


def _grown_whole(witness: frozenset[Name], names: Sequence[Name]) -> Line[frozenset[Name]]:
    """The witness with every name added that can be."""
    held, barred = witness, frozenset[Name]()
    while left := [name for name in names if name not in held and name not in barred]:
        held = yield from _grown(held, [name for name in names if name not in barred], ())
        barred |= set([name for name in left if name not in held][:1])  # the one that could not be added
    return held


def conflict_of(kept: frozenset[Name], names: Sequence[Name], asker: Asker, *, smallest: bool = False) -> Conflict:
    """What is known of names that fail together. A smallest one is minimal: part of it would be a smaller one."""
    needed = {name for name in kept if smallest or isinstance(asker.recall(kept - {name}), Holds)}
    return Conflict(
        names=_in_order(kept, names),
        minimal=needed == kept,
        smallest=smallest or not kept or (len(kept) == 1 and needed == kept),
        undecided=_in_order(kept - needed, names),
    )


def _in_order(some: frozenset[Name], names: Sequence[Name]) -> tuple[Name, ...]:
    return tuple(name for name in names if name in some)


@dataclass(frozen=True)
class Correction:
    """Names to give up."""

    names: tuple[Name, ...]
    enough: bool  # proven: the rest then holds. If not, that stayed open
    minimal: bool  # proven: giving up only some of them is not enough


def correction_sets(
    names: Sequence[Name], asker: Asker, *, at_most: int, go_on: Callable[[], bool]
) -> Iterator[Correction]:
    """Minimal sets to give up, fewest names first; all there are, if ``at_most`` and ``go_on`` allow.

    One question each, and a minimal conflict (see there for its questions) for every other way to fail. If nothing
    fails, the one empty set; if no giving up helps, none. One whose question stays open is told as well, and counts;
    it is told again should a later answer decide it.
    """
    everything = frozenset(names)
    unsure: list[frozenset[Name]] = []
    told: list[frozenset[Name]] = []
    given = 0
    while given < at_most and go_on():
        unsure = [some for some in unsure if isinstance(asker.recall(some), Open)]
        to_hit = [core for core in asker.cores if core <= everything] + unsure
        gone = lightest_hitting_set(to_hit, names, avoid=told)
        if gone is None:
            return
        match asker(everything - gone):
            case Fails():
                minimal_conflict([name for name in names if name not in gone], asker)  # its core is the next to hit
                continue
            case Holds():
                told.append(gone)
                enough = True
            case Open():
                unsure.append(everything - gone)  # as if it failed: to look for others
                enough = False
        given += 1
        fewer_fail = all(isinstance(asker.recall(everything - gone | {name}), Fails) for name in gone)
        yield Correction(_in_order(gone, names), enough, fewer_fail)
