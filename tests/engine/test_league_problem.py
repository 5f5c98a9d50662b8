from __future__ import annotations

import pytest

from clubapp.engine.league_problem import Answer, Fixture, Kind, Problem


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"sides": ("a",)}, "not for 1"),
        ({"sides": ("a", "a")}, "nobody twice"),
        ({"sides": tuple("abcdefghij"), "kind": Kind.PAIRS}, "4, 8, 12, 16, 20, 24"),
        ({"pitches": 0}, "a pitch"),
        ({"slots": 0}, "a pitch"),
        ({"kind": Kind.PAIRS, "again": True}, "once through"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Problem(**{"sides": tuple("abcd"), "pitches": 1, **wrong})  # type: ignore[arg-type]


def test_who_plays() -> None:
    one = Fixture(1, ("a", "b"), ("c", "d"))
    assert one.players == ("a", "b", "c", "d")
    assert Answer(((one,), (one,))).fixtures == (one, one)


def test_what_can_be_played_is_taken_as_it_is() -> None:
    assert Problem(tuple("abcd"), 2, Kind.TEAMS, 3, again=True).slots == 3
    assert not Problem(tuple("abcd"), 1, Kind.PAIRS).again
