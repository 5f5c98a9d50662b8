"""Lane draws by rank group on eight lanes.

Source: World Athletics Technical Rules TR20.4, as reported for the 2023 change by sportskeeda.com ("Budapest 2023, six
things"), insidethegames.biz (article 1139993) and sportfulltime.co.uk (30 May 2024); the form before it also at
nmfriidretthamar2019.no (seeding). That inner lanes stay empty is IAAF Rule 166 (2016-17).
"""

from __future__ import annotations

import random

import pytest

from clubapp.engine.heats_lanes import LaneDraw, draw_lanes, lane_groups

RULE = {
    LaneDraw.OLD: ({3, 4, 5, 6}, {7, 8}, {1, 2}),
    LaneDraw.STRAIGHT: ({3, 4, 5, 6}, {2, 7}, {1, 8}),
    LaneDraw.BEND: ({5, 6, 7}, {3, 4, 8}, {1, 2}),
    LaneDraw.LAP: ({4, 5, 6, 7}, {3, 8}, {1, 2}),
}


@pytest.mark.parametrize("draw", RULE)
def test_ranks_draw_the_lanes_of_their_group(draw: LaneDraw) -> None:
    assert tuple(map(set, lane_groups(draw, 8))) == RULE[draw]
    ranked = list("abcdefgh")
    for seed in range(50):
        lane = {child: lane for lane, child in draw_lanes(ranked, 8, draw, random.Random(f"{seed}"))}
        at = 0
        for group in RULE[draw]:
            assert {lane[child] for child in ranked[at : at + len(group)]} == group
            at += len(group)


def test_within_a_group_every_order_is_drawn() -> None:
    lots = [random.Random(f"{seed}") for seed in range(400)]
    drawn = {tuple(draw_lanes(list("abcdefgh"), 8, LaneDraw.STRAIGHT, lot)[2:6]) for lot in lots}
    assert len(drawn) == 24


def test_by_pure_lot_the_inner_lanes_stay_empty() -> None:
    assert [lane for lane, _ in draw_lanes(list("abcde"), 8, LaneDraw.LOT, random.Random(1))] == [4, 5, 6, 7, 8]
