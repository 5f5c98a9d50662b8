"""The one door to the constraint solver: make a model, run it, read the result in our own words.

OR-Tools is imported at the first model, not with this module, so that the web application starts without it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from clubapp.engine.limits import Limit

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver


class Proof(StrEnum):
    BEST = "best"  # the answer is proven best, or is one where nothing was to be minimised
    FOUND = "found"  # an answer, and a bound
    NONE = "none"  # proven: there is no answer
    UNKNOWN = "unknown"  # neither an answer nor a proof within the limit


@dataclass(frozen=True)
class Run:
    """objective and bound: in the model's own integers; 0 without an objective or an answer.

    core: positions of the assumptions that clash, where there is no answer because of them.
    """

    proof: Proof
    objective: float
    bound: float
    core: tuple[int, ...]
    _solver: CpSolver

    @property
    def found(self) -> bool:
        return self.proof in (Proof.BEST, Proof.FOUND)

    def value(self, variable: Any) -> int:
        """The integer a variable or an expression has in the answer."""
        return int(self._solver.value(variable))

    def true(self, literal: Any) -> bool:
        """Whether a literal holds in the answer."""
        return bool(self._solver.boolean_value(literal))


def new_model() -> CpModel:
    """An empty model."""
    from ortools.sat.python import cp_model

    return cp_model.CpModel()


def hint(model: CpModel, values: Iterable[tuple[Any, int]]) -> None:
    """A start for the search: (variable, value) pairs, each variable once."""
    for variable, value in values:
        model.add_hint(variable, value)


def run(model: CpModel, limit: Limit, seed: int = 0, assume: Sequence[Any] = (), linear: int = 1) -> Run:
    """Solve. A deterministic limit gives the same answer for the same model and seed on any machine.

    assume: literals taken as true; where they clash the run names some that do, not always the fewest.
    linear: 2 puts the whole model into the linear relaxation, which pays where that is tight, as with flows.
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = seed
    solver.parameters.linearization_level = linear
    # Left to itself a team of workers has nobody who looks at the whole relaxation.
    solver.parameters.subsolvers.extend(["max_lp", "quick_restart"] if linear > 1 and limit.workers > 1 else [])
    solver.parameters.num_workers = 1 if assume else limit.workers
    if limit.wall_seconds is None:
        solver.parameters.max_deterministic_time = limit.deterministic
    else:
        solver.parameters.max_time_in_seconds = limit.wall_seconds
    if assume:
        model.clear_assumptions()
        model.add_assumptions(list(assume))
    status = solver.solve(model)
    proofs = {
        cp_model.OPTIMAL: Proof.BEST,
        cp_model.FEASIBLE: Proof.FOUND,
        cp_model.INFEASIBLE: Proof.NONE,
        cp_model.UNKNOWN: Proof.UNKNOWN,
    }
    if status not in proofs:
        raise ValueError(f"the model is not valid: {model.validate()}")
    proof = proofs[status]
    known = proof in (Proof.BEST, Proof.FOUND)
    core: tuple[int, ...] = ()
    if proof is Proof.NONE and assume:
        clashing = set(solver.sufficient_assumptions_for_infeasibility())
        core = tuple(at for at, literal in enumerate(assume) if literal.index in clashing)
    return Run(
        proof=proof,
        objective=solver.objective_value if known else 0.0,
        bound=solver.best_objective_bound if known else 0.0,
        core=core,
        _solver=solver,
    )
