"""A finding: one requirement checked on one build, with the numbers on both sides."""

from dataclasses import dataclass
from math import floor, isclose, isinf, log10

from optimiser.requirements import MOST, REGISTER, named

# The same figure reached by two orders of adding floats differs in its last digits. A limit that is met
# exactly (a panel right on its set-back) must not be called a breach for that.
TOLERANCE = 1e-6
_NOISE = 1e-9  # the same beside a limit of 0, where nothing is relative

_DIGITS = 3  # significant ones shown of the smaller side
_DECIMALS = 3  # at most, as long as they tell the two sides of a breach apart
_DECIMALS_MOST = 9


@dataclass(frozen=True)
class Finding:
    """What a requirement allows and what the build does."""

    name: str  # in the register, without place
    place: str
    limit: float
    actual: float
    unit: str
    ok: bool
    of: str = ""  # which of what is at its place it speaks of, as "the + core of main"; empty: of all of it

    @property
    def requirement(self) -> str:
        """Full name, with its place."""
        return named(self.name, self.place)

    @property
    def margin(self) -> float:
        """Room left, in the unit; below 0 what is missing."""
        room = self.limit - self.actual if REGISTER[self.name].sense == MOST else self.actual - self.limit
        return max(room, 0.0) if self.ok else -abs(room)

    @property
    def sentence(self) -> str:
        """The register's sentence, with the numbers in it."""
        requirement = REGISTER[self.name]
        if requirement.yes_no:
            words = requirement.sentence if self.ok else requirement.broken
            return words.format(place=self.place, actual=f"{self.actual:g}")
        limit, actual = self.numbers
        words = requirement.absent if self.absent else requirement.sentence
        return words.format(place=self.place, limit=limit, actual=actual, of=self.of or self.place)

    @property
    def absent(self) -> bool:
        """Whether it is broken because what it speaks of is not there: no figure, or one without end."""
        return bool(REGISTER[self.name].absent) and not self.ok and (self.actual == 0 or isinf(self.actual))

    @property
    def numbers(self) -> tuple[str, str]:
        """Limit and actual as shown: never alike in a breach."""
        if REGISTER[self.name].yes_no:
            return "yes", "yes" if self.ok else "no"
        money = self.unit == "money"
        decimals = 2 if money else _decimals(self.limit, self.actual)
        limit, actual = _text(self.limit, decimals), _text(self.actual, decimals)
        while not self.ok and limit == actual and decimals < _DECIMALS_MOST:
            decimals += 1
            limit, actual = _text(self.limit, decimals), _text(self.actual, decimals)
        if self.absent and self.actual == 0:
            actual = "none"
        return (limit, actual) if money else (_bare(limit), _bare(actual))


def checked(name: str, place: str = "", *, limit: float, actual: float, of: str = "") -> Finding:
    """A finding judged by the register's sense."""
    beyond = actual - limit if REGISTER[name].sense == MOST else limit - actual
    ok = beyond <= 0 or isclose(actual, limit, rel_tol=TOLERANCE, abs_tol=_NOISE)
    return judged(name, place, limit=limit, actual=actual, ok=ok, of=of)


def judged(name: str, place: str = "", *, limit: float, actual: float, ok: bool, of: str = "") -> Finding:
    """A finding whose verdict is more than a comparison (a count that must be met exactly)."""
    return Finding(name, place, float(limit), float(actual), REGISTER[name].unit, bool(ok), of)


def _decimals(*values: float) -> int:
    smallest = min((abs(v) for v in values if abs(v) > _NOISE and not isinf(v)), default=1.0)
    return min(max(0, _DIGITS - 1 - floor(log10(smallest))), _DECIMALS)


def _text(value: float, decimals: int) -> str:
    if isinf(value):
        return "unlimited" if value > 0 else "less than any"
    return f"{value:.{decimals}f}"


def _bare(text: str) -> str:
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
