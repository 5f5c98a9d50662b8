from __future__ import annotations

import random

import pytest

from clubapp.engine.heats_lanes import LaneDraw, draw_lanes, lane_groups, wrong_lanes


@pytest.mark.parametrize("draw", LaneDraw)
@pytest.mark.parametrize("lanes", range(1, 13))
def test_every_lane_is_in_one_group_and_every_draw_keeps_them(draw: LaneDraw, lanes: int) -> None:
    groups = lane_groups(draw, lanes)
    assert sorted(lane for group in groups for lane in group) == list(range(1, lanes + 1))
    for count in range(1, lanes + 1):
        ranked = [f"r{rank:02}" for rank in range(count)]
        places = draw_lanes(ranked, lanes, draw, random.Random(f"{lanes} {count}"))
        assert wrong_lanes(ranked, places, lanes, draw) == []
        assert [lane for lane, _ in places] == sorted(lane for lane, _ in places)


def test_by_lot_the_inner_lanes_stay_empty() -> None:
    places = draw_lanes(["a", "b", "c"], 6, LaneDraw.LOT, random.Random(1))
    assert [lane for lane, _ in places] == [4, 5, 6]


def test_a_lot_gives_every_lane_its_turn() -> None:
    seen = {draw_lanes(["a", "b", "c", "d"], 4, LaneDraw.LOT, random.Random(f"{seed}")) for seed in range(400)}
    assert len(seen) == 24


def test_wrong_lanes_are_named() -> None:
    ranked = ["a", "b"]
    assert "share a lane" in wrong_lanes(ranked, [(1, "a"), (1, "b")], 8, LaneDraw.LOT)[0]
    assert "not there" in wrong_lanes(ranked, [(1, "a"), (9, "b")], 8, LaneDraw.LOT)[0]
    assert "not held" in wrong_lanes(ranked, [(1, "a"), (8, "b")], 8, LaneDraw.STRAIGHT)[0]
