"""Children on the numbers of a table: what is kept up step by step is what it would be reckoned anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine.mixing import Problem, table_for
from clubapp.engine.mixing_ground import RULE, ground_of
from clubapp.engine.mixing_placing import MEAN, _begun, placed
from tests.engine.test_mixing import DAY, children

ATHLETES = tuple(replace(one, kinds=frozenset({"k"} if at < 11 else {})) for at, one in enumerate(children(23)))
PLAIN = Problem(ATHLETES, DAY, 6, 7)
RULES = {
    "none": PLAIN,
    "kinds": replace(PLAIN, not_alone=("k",)),
    "pairs": replace(PLAIN, apart=(frozenset({"c00", "c05", "c09"}),)),
    "ages": replace(PLAIN, within_years=1.5),
    "all": replace(PLAIN, not_alone=("k",), within_years=1.5, apart=(frozenset({"c00", "c05", "c09"}),)),
}


@pytest.mark.parametrize("problem", RULES.values(), ids=RULES)
def test_what_is_kept_up_is_what_it_would_be_anew(problem: Problem) -> None:
    table, ground, lot = table_for(problem), ground_of(problem), np.random.default_rng(5)
    assert table is not None
    chains = _begun(ground, table, lot)
    for step in range(60):
        one, other = lot.choice(23, 2, replace=False)
        chains.exchange(int(one), int(other), 2 * RULE * lot.random(len(chains.cost)))
        if step % 20 == 0:
            chains.follow()
    for at in range(0, len(chains.cost), 7):
        seats = np.empty_like(table)
        seats[:, chains.order[:, at]] = table
        fair, met = ground.fairness(seats), ground.met(seats)
        broken = (met * ground.rule).sum() / 2 + RULE * ground.lonely(seats).sum()
        assert chains.worst[at] == pytest.approx(fair.max() + broken, rel=1e-5)
        assert chains.cost[at] == pytest.approx(fair.max() + MEAN * fair.mean() + broken, rel=1e-5)
        if problem.apart or problem.within_years:
            assert (chains.order[chains.number[:, at], at] == np.arange(23)).all()


def test_same_seed_same_placing_and_never_worse_with_more_steps() -> None:
    table, ground = table_for(PLAIN), ground_of(PLAIN)
    assert table is not None
    assert (placed(ground, table, 300, 3) == placed(ground, table, 300, 3)).all()
    few, more = (ground.fairness(placed(ground, table, steps, 3)).max() for steps in (20, 2000))
    assert more < few
    assert sorted(placed(ground, table, 5, 1)[0].tolist()) == sorted(table[0].tolist())
