"""`python -m clubapp.rotation.away`: reads a pickled question from standard input and writes the pickled answer.

Knows the engine alone, so that it starts fast; only our own server speaks to it, over a pipe.
"""

from __future__ import annotations

import pickle
import sys

from clubapp.engine import groups as engine_groups


def main() -> None:
    problem, outcome, rules, seed = pickle.load(sys.stdin.buffer)
    costs = engine_groups.rule_costs(problem, outcome, seed=seed, rules=rules)
    sys.stdout.buffer.write(pickle.dumps(costs))


if __name__ == "__main__":
    main()
