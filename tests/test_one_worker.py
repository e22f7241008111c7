"""One worker proves what two prove, and with little work: it takes both searches in turns."""

import pytest
from ortools.sat.python import cp_model

from optimiser import pipeline
from optimiser.solve import WANTS, Halt, Question, Solved, Stop, search

SEEDS = (1, 2, 3)  # of one alone, chance decides
MOST = 5.0


class Worked(Halt):
    """Ends nothing; adds up the work of solvers as they end, in the solver's own measure, which no other load moves."""

    def __init__(self) -> None:
        super().__init__()
        self.work = 0.0

    def forget(self, solver: cp_model.CpSolver) -> None:
        """One has ended."""
        self.work += solver.response_proto.deterministic_time
        super().forget(solver)


def test_a_search_that_gives_up_before_its_time_is_gone_on_with(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of eight weights the lightest seven, at least 40 in all: the first search is let do next to nothing."""
    made = list[cp_model.CpSolver]()

    def solver(stop: Stop, seconds: float, how: str) -> cp_model.CpSolver:
        made.append(cp_model.CpSolver())
        if len(made) == 1:
            made[0].parameters.max_deterministic_time = 1e-9
            made[0].parameters.cp_model_presolve = False
        return made[-1]

    monkeypatch.setattr(search, "_solver", solver)
    model = cp_model.CpModel()
    weights = (3, 5, 7, 9, 11, 13, 17, 19)
    taken = [model.new_bool_var(str(weight)) for weight in weights]
    total = sum(weight * flag for weight, flag in zip(weights, taken, strict=True))
    model.add(total >= 40)
    found = search.search(model, search.aim(total, sum(taken)), stop=Stop(60, 1, 1))

    assert len(made) == 2
    assert isinstance(found, search.Best) and found.proven
    assert (found.value(total), found.value(sum(taken))) == (
        40,
        4,
    )  # 3 + 7 + 11 + 19 and the like; three odd make no 40


@pytest.mark.slow
def test_one_worker_proves_what_two_prove_with_little_work() -> None:
    """1.4 units of the solver's own measure for three seeds; one search by itself may stall at many times that.

    What two need is no yardstick: 0.35 to 0.65, as the one or the other of them ends the race.
    """
    inputs = pipeline.read("tiny-trailer", ())
    costs = set()
    for workers in (1, 2):
        halt = Worked()
        for seed in SEEDS:
            question = Question(inputs.case, inputs.catalogue)
            found = question.best(WANTS["cheapest"], stop=Stop(600, seed, workers), halt=halt)
            assert isinstance(found, Solved)
            costs.add(found.cost_cents)
        assert halt.work <= MOST
    assert len(costs) == 1
