"""Which group is at which station in which round: the rotation."""

from __future__ import annotations

from clubapp.engine.rotation_plain import plain
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_rules import Costs, costs, score, violations, walking_m

__all__ = ["Answer", "Costs", "Problem", "costs", "plain", "score", "violations", "walking_m"]
