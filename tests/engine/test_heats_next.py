"""Places, ties, and who goes through."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.heats_next import Finish, Rule, State, advance, finals, places
from tests.strategies import examples

A = (Finish("a", 6100), Finish("b", 6300), Finish("c", 6500), Finish("d", state=State.NOT_STARTED))
B = (Finish("e", 6200), Finish("f", 6250), Finish("g", 6500), Finish("h", 6600))


def test_equals_share_the_better_place_and_the_next_is_left_out() -> None:
    heat = (Finish("a", 6100), Finish("b", 6100), Finish("c", 6200), Finish("d", 6000, State.DISQUALIFIED))
    assert places(heat) == {"a": 1, "b": 1, "c": 3}


def test_what_was_seen_at_the_line_comes_before_the_watch() -> None:
    assert places((Finish("a", 6100, order=2), Finish("b", 6150, order=1), Finish("c", 6000))) == {
        "b": 1,
        "a": 2,
        "c": 3,
    }
    assert places((Finish("a", order=1),)) == {"a": 1}


def test_a_finish_says_something() -> None:
    with pytest.raises(ValueError, match="without a time"):
        Finish("a")
    with pytest.raises(ValueError, match="somebody"):
        Rule(0)
    with pytest.raises(ValueError, match="somebody"):
        Rule(-1, 3)


def test_winners_rank_first_then_seconds_then_the_quickest_others() -> None:
    through = advance([A, B], Rule(2, 1, lanes=6))
    assert through.by_place == ("a", "e", "f", "b")
    assert through.by_time == ("c", "g")  # equal times, and a lane for both
    assert (through.ranked, through.level) == (("a", "e", "f", "b", "c", "g"), ())


def test_a_lot_decides_where_equals_have_no_lane() -> None:
    lots = {advance([A, B], Rule(2, 1, lanes=5), seed=seed).by_time for seed in range(20)}
    assert lots == {("c",), ("g",)}
    told = advance([A, B], Rule(2, 1, lanes=5))
    assert told.level == ("c", "g")
    assert "lots" in told.notes[0]


def test_equals_for_the_last_place_cost_a_place_on_time() -> None:
    tied = (Finish("a", 6100), Finish("b", 6300), Finish("c", 6300), Finish("d", 6310))
    through = advance([tied, B], Rule(2, 1))
    assert set(through.by_place) == {"a", "b", "c", "e", "f"}
    assert through.by_time == ()
    assert "costs" in through.notes[0]


def test_heats_timed_in_different_ways_send_nobody_through_on_time() -> None:
    through = advance([A, B], Rule(1, 2), one_clock=False)
    assert (through.by_place, through.by_time) == (("a", "e"), ())
    assert "different ways" in through.notes[0]


def test_a_place_without_a_time_ranks_behind_the_timed_of_that_place() -> None:
    assert advance([(Finish("z", order=1),), B], Rule(1)).ranked == ("e", "z")


def test_with_few_others_all_go_through() -> None:
    assert advance([A, B], Rule(1, 9)).by_time == ("f", "b", "c", "g", "h")


@examples(30)
@given(
    st.lists(st.lists(st.integers(5000, 5020), min_size=1, max_size=8), min_size=1, max_size=4),
    st.integers(0, 3),
    st.integers(0, 4),
    st.integers(4, 12),
)
def test_whoever_goes_through_beat_whoever_does_not(
    times: list[list[int]], by_place: int, by_time: int, lanes: int
) -> None:
    if by_place + by_time == 0:
        return
    heats = [[Finish(f"{h}-{at}", ms) for at, ms in enumerate(row)] for h, row in enumerate(times)]
    through = advance(heats, Rule(by_place, by_time, lanes))
    assert len(set(through.ranked)) == len(through.ranked)
    own = {one.id: one.ms or 0 for heat in heats for one in heat}
    slowest = max((own[child] for child in through.by_time), default=0)
    for heat in heats:
        standing = places(heat)
        assert all(one.id in through.by_place for one in heat if standing[one.id] <= by_place)
        if through.by_time:
            assert all(one.ms is None or one.ms >= slowest for one in heat if one.id not in through.ranked)


def test_a_final_for_everybody() -> None:
    assert finals("abcdefg", 6) == (("a", "b", "c", "d", "e"), ("f", "g"))
    assert finals("abcdefgh", 4) == (tuple("abcd"), tuple("efgh"))
    assert finals("abc", 2) == (("a", "b"), ("c",))
    assert finals("a", 4) == (("a",),)
    with pytest.raises(ValueError, match="two lanes"):
        finals("ab", 1)
