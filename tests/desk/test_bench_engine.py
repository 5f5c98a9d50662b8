"""The engine's bench says what it measures: ratios of one run, on instances that any reader can make again."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from clubapp.desk.bench import busy, engine, fitting, large, mixes, small, squads, turns
from clubapp.desk.bench.effort import BestKnown, Effort, longer, middle, over
from clubapp.engine import groups as engine_groups

SHORT = Effort(minutes=0.005, instances=1)


def test_an_instance_is_the_same_every_time_and_has_its_rules() -> None:
    problem = squads.ruled(24, 6, seed=3)
    assert problem == squads.ruled(24, 6, seed=3)
    assert problem != squads.ruled(24, 6, seed=4)
    assert (len(problem.together), len(problem.apart), problem.not_alone) == (3, 4, squads.NOT_ALONE)
    assert sum("first_timer:yes" in child.kinds for child in problem.athletes) == 3


def test_longer_search_ends_when_its_minutes_are_over_and_can_be_taken_up_again(tmp_path: Path) -> None:
    seeds: list[int] = []

    def search(seed: int) -> float:
        seeds.append(seed)
        sum(range(20_000))
        return 1.0 if len(seeds) == 3 else 2.0

    known = BestKnown(tmp_path / "best.json")
    assert longer(Effort(minutes=0.0, known=known), "one", 3.0, search) == 3.0
    assert seeds == []
    assert longer(Effort(minutes=1e-3, known=known), "one", 3.0, search) == 1.0
    assert seeds == sorted(set(seeds))
    score, minutes = known.of("one")
    assert (score, minutes >= 0.0) == (1.0, True)
    known.keep("one", 1.0, 5.0)
    assert longer(Effort(minutes=5.0, known=known), "one", 3.0, lambda _: pytest.fail("searched again")) == 1.0
    assert longer(Effort(minutes=0.0, known=known), "another", 3.0, search) == 3.0


def test_one_row_may_be_asked_for() -> None:
    (row,) = engine.rows(SHORT, "threes")
    assert row.name == "mixing 15 in threes x 7"


def test_a_score_over_the_best_is_a_ratio_also_where_the_best_is_zero() -> None:
    assert over(0.3, 0.2) == pytest.approx(1.5)
    assert over(0.0, 0.0) == 1.0
    assert middle([3, 1, 2]) == 2
    assert middle([4, 1]) == 2.5


def test_the_diary_knows_when_a_score_was_reached() -> None:
    diary = small.Diary()
    diary(0.5, 0.0)
    diary(0.3, 0.1)
    diary(0.4, 0.2)
    assert diary.when(0.5) <= diary.when(0.3) < float("inf")
    assert diary.when(0.2) == float("inf")


def test_a_small_instance_is_held_against_the_best_known() -> None:
    row = small.tried(16, 4, 1, SHORT)
    assert row.best <= row.found.score
    assert row.found_s <= row.found.seconds + 0.5
    figures = small.figures([row])
    assert figures["score_over_best_worst"] == pytest.approx(1.0, abs=0.01)
    assert figures["of_4_groups"] == 1


def test_groups_are_far_better_than_splits_by_lot() -> None:
    figures = large.row(32, 8, SHORT).figures
    assert float(figures["score_over_best_by_lot_worst"]) < 0.5
    assert float(figures["score_over_best_worst"]) >= 1.0


def test_splits_by_lot_are_as_equal_as_can_be() -> None:
    problem = squads.ruled(26, 4, 1)
    lot = large.best_by_lot(problem, 1)
    assert engine_groups.solve(problem, seed=1).score < lot


@pytest.mark.long
def test_rotations_mixing_and_a_running_plan_have_their_rows() -> None:
    walked = turns.row(4, SHORT).figures
    assert walked["proven"] == walked["instances"] == 1
    assert walked["walking_over_best_worst"] == 1.0
    days = mixes.threes(SHORT).figures
    assert (days["repeats_worst"], days["others_met_least"]) == (0, 14)
    kept = mixes.with_rules(SHORT).figures
    assert float(kept["repeats_over_longer_search_worst"]) >= 1.0
    fitted = fitting.row(SHORT).figures
    assert (fitted["proven"], fitted["instances"]) == (1, 1)


@pytest.mark.long
def test_memory_is_that_of_a_process_that_made_a_plan() -> None:
    out = StringIO()
    call_command("bench", "memory", "--format", "json", stdout=out)
    (row,) = json.loads(out.getvalue())
    figures = row["figures"]
    assert figures["imports_solver_or_pandas"] == "no"
    assert figures["imported_mb"] < figures["after_the_plan_mb"] < 250


def test_a_topic_that_is_none_is_refused() -> None:
    with pytest.raises(CommandError):
        call_command("bench", "weather")


@pytest.mark.long
def test_the_bell_goes_on_while_two_clubs_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(busy, "SHOTS", 5)
    monkeypatch.setattr(busy, "PHONES", 3)
    figures = busy.row(busy.GROUPS).figures
    assert figures["still_looking"] == 2
    assert int(figures["groups_made"]) >= 2
    for when in ("quiet", "while_two_look_longer", "while_two_make_groups"):
        assert 0 < float(figures[f"{when}_median_ms"]) <= float(figures[f"{when}_worst_ms"]) < 5000
