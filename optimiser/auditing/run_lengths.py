"""Whether runs inside a bay reach from body to body as these stand."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, held
from optimiser.basis.money import STEP_MM
from optimiser.fitted.fit import Fit
from optimiser.fitted.standing import standing
from optimiser.fitted.wiring import laid_runs, wanted_runs


def check_run_lengths(fit: Fit) -> Iterator[Finding]:
    """Power runs between two bodies of one board: from edge to edge along its sides, within what is cut."""
    bodies, laid = {body.slot: body for body in standing(fit) if not body.fixture}, laid_runs(fit)
    for name, wanted in wanted_runs(fit).items():
        ends = ("bank", "busbar") if name == "main" else wanted.ends
        if wanted.kind == "data" or name not in laid or len(ends) != 2 or not all(end in bodies for end in ends):
            continue
        one, other = (bodies[end] for end in ends)
        if one.board.place == other.board.place:
            yield held("run.length", name, limit=laid[name].steps * STEP_MM, actual=one.rect.around_corner(other.rect))
