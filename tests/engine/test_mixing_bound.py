"""What no rounds can be better than: never above the best there is, and above nothing where people meet once."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.fairness import Attribute
from clubapp.engine.mixing import Aim, Answer, Problem, score, violations
from clubapp.engine.mixing_bound import bound, least_uneven, least_unfair
from clubapp.engine.words import Athlete
from tests.engine.test_mixing import DAY, children, ways
from tests.strategies import examples


@examples(4)
@given(
    st.sampled_from([(4, 2, 2), (4, 2, 3), (5, 2, 2), (6, 3, 2), (6, 2, 2), (3, 3, 2)]), st.integers(0, 50), st.data()
)
def test_nothing_is_better_than_the_bound(shape: tuple[int, int, int], seed: int, data: st.DataObject) -> None:
    count, groups, rounds = shape
    pair = (frozenset({"c00", "c01"}),)
    problem = Problem(
        children(count, seed), DAY, groups, rounds, aim=data.draw(st.sampled_from(Aim)),
        together=pair * data.draw(st.booleans()), apart=(frozenset({"c00", "c02"}),) * data.draw(st.booleans()),
    )  # fmt: skip
    answers = (Answer(turns) for turns in product(ways(problem.ids, problem.sizes), repeat=rounds))
    found = [score(problem, answer) for answer in answers if not violations(problem, answer)]
    assert bound(problem) <= min(found, default=float("inf"))


def test_who_meets_many_cannot_stay_among_its_own() -> None:
    """One fast child of four, pairs, three rounds: it is with each of the others once."""
    values = [0.0, 0.0, 0.0, 4.0]
    athletes = tuple(Athlete(f"c{at}", {"v": value}) for at, value in enumerate(values))
    problem = Problem(athletes, DAY, 2, 3, balance=(Attribute("v"),))
    # Its pair has mean 2, the other 0, in units of the standard deviation, the root of 3.
    assert least_unfair(problem, 0) == pytest.approx(2 / 3**0.5)
    assert bound(problem) == pytest.approx(2 / 3**0.5)
    # Whoever it is with, also always the same one, its pair differs from the other no less.
    assert least_unfair(problem, 2) == pytest.approx(2 / 3**0.5)


def test_more_repeats_leave_more_room() -> None:
    problem = Problem(children(24), DAY, 6, 7)
    found = [least_unfair(problem, repeats) for repeats in (0, 3, 10, 40)]
    assert found == sorted(found, reverse=True)
    assert found[0] > 1.4
    assert found[-1] < found[0] / 2


def test_too_few_others_for_so_many_meetings() -> None:
    problem = Problem(children(6), DAY, 2, 3)
    assert least_unfair(problem, 0) == float("inf")
    assert bound(problem) >= 4000.0


def test_totals_that_do_not_share_out() -> None:
    athletes = tuple(Athlete(f"c{at}", {"skill": float(at == 0)}) for at in range(4))
    problem = Problem(athletes, DAY, 2, 2, balance=(Attribute("skill"),), aim=Aim.FAIR)
    # One point in two pairs: means of 1/2 and 0; the standard deviation is the root of 3/16.
    assert least_uneven(problem) == pytest.approx(0.5 / (3 / 16) ** 0.5)
    even = replace(problem, athletes=tuple(Athlete(f"c{at}", {"skill": float(at < 2)}) for at in range(4)))
    assert least_uneven(even) == 0.0
    assert least_uneven(replace(problem, athletes=athletes[:3], groups=2)) == 0.0
    third = replace(problem, athletes=tuple(Athlete(f"c{at}", {"skill": at / 7}) for at in range(4)))
    assert least_uneven(third) == 0.0
    alike = replace(problem, athletes=tuple(Athlete(f"c{at}", {"skill": 3.0}) for at in range(4)))
    assert (least_uneven(alike), least_unfair(alike, 0)) == (0.0, 0.0)


def test_one_group_is_never_far_from_itself() -> None:
    assert bound(Problem(children(4), DAY, 1, 1)) == score(
        Problem(children(4), DAY, 1, 1), Answer((((*sorted(child.id for child in children(4)),),),))
    )
