"""Long sums beside the server come out as they would in it."""

from __future__ import annotations

import pickle
import subprocess
from functools import partial

import pytest

from clubapp.rotation import building
from clubapp.rotation.aside import answered, aside
from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import everybody_here, groups, made


def test_the_answer_comes_back() -> None:
    assert aside(partial(sorted, [3, 1, 2], reverse=True)) == [3, 2, 1]


def test_a_mistake_there_is_a_mistake_here() -> None:
    with pytest.raises(subprocess.CalledProcessError):
        answered(pickle.dumps(partial(int, "three")))


def test_a_big_squad_gets_the_same_groups_as_it_would_in_here(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    everybody_here(cast, children=12)
    monkeypatch.setattr(building, "MOST_IN_HERE", 11)
    made(cast, groups=3)
    beside = groups(cast.session)
    monkeypatch.setattr(building, "MOST_IN_HERE", 12)
    made(cast, groups=3)
    assert groups(cast.session) == beside
    assert len({str(plan.proof["groups"]) for plan in Plan.objects.all()}) == 1
