"""`manage.py rotation` on good files: what comes out, and that it keeps what was asked."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from clubapp.engine import groups
from clubapp.engine.limits import Limit
from clubapp.engine.words import BIBS
from tests.rotation.command import children, roster, rotation, stations, written
from tests.rules.house import ROOT

KEYS = ["status", "reasons", "groups", "rounds", "fairness", "walking_m", "timetable", "seconds"]


def without_seconds(plan: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in plan.items() if key != "seconds"}


def test_an_evening_with_places(tmp_path: Path) -> None:
    said = rotation(
        roster(tmp_path), "--stations", stations(tmp_path), "--groups", 6, "--max-hard-run", 1, "--format", "json",
        "--on", "2016-04-09",
    )  # fmt: skip
    plan = said.plan
    assert (said.status, said.err) == (0, "")
    assert list(plan) == KEYS
    assert plan["status"] in ("BEST", "GOOD")
    assert sorted(child for group in plan["groups"] for child in group["athletes"]) == [f"c{at:02}" for at in range(24)]
    names = [group["name"] for group in plan["groups"]]
    assert names == list(BIBS[:6])
    assert [turn["round"] for turn in plan["rounds"]] == [1, 2, 3, 4, 5, 6]
    for bib in names:
        path = [place for turn in plan["rounds"] for place, there in turn["at"].items() if bib in there]
        assert len(set(path)) == 6
        hard = [place in ("Sprint lane", "Jumps", "Zigzag") for place in path]
        assert not any(a and b for a, b in pairwise(hard))
    assert all(turn["resting"] == [] for turn in plan["rounds"])
    assert plan["walking_m"] > 0
    assert [entry["kind"] for entry in plan["timetable"]] == ["work", *["change", "work"] * 5]
    assert {entry["seconds"] for entry in plan["timetable"]} == {300, 60}


def test_pairs_and_kinds_are_kept(tmp_path: Path) -> None:
    plan = rotation(
        roster(tmp_path), "--groups", 5, "--not-alone", "sex:f", "--not-alone", "first_timer:yes", "--age-gap", 2,
        "--format", "json", "--on", "2016-04-09",
    ).plan  # fmt: skip
    rows = {row[0]: row for row in children(24)}
    group_of = {child: group["name"] for group in plan["groups"] for child in group["athletes"]}
    assert group_of["c00"] == group_of["c01"]
    assert group_of["c02"] != group_of["c03"]
    for group in plan["groups"]:
        assert sum(rows[child][4].lower() == "f" for child in group["athletes"]) != 1
        assert sum(rows[child][6] == "yes" for child in group["athletes"]) != 1
        born = {child: date.fromisoformat(rows[child][3]) for child in group["athletes"]}
        for child in born:
            assert min(abs((born[child] - born[mate]).days) for mate in born if mate != child) <= 731


def test_the_fairness_is_the_formula(tmp_path: Path) -> None:
    plan = rotation(roster(tmp_path), "--groups", 4, "--balance", "skill", "--format", "json").plan
    skill = {row[0]: float(row[5]) for row in children(24)}
    means = [sum(skill[child] for child in group["athletes"]) / len(group["athletes"]) for group in plan["groups"]]
    middle = sum(skill.values()) / 24
    sd = (sum((value - middle) ** 2 for value in skill.values()) / 24) ** 0.5
    assert plan["fairness"]["attributes"] == {
        "skill": {"spread": pytest.approx(max(means) - min(means)), "unit": "points"}
    }
    assert plan["fairness"]["score"] == pytest.approx((max(means) - min(means)) / sd)
    assert plan["fairness"]["bound"] <= plan["fairness"]["score"]


def test_equal_runs_differ_in_nothing_but_seconds(tmp_path: Path) -> None:
    arguments = (roster(tmp_path), "--groups", 4, "--format", "json", "--seed", 3, "--on", "2016-04-09")
    assert without_seconds(rotation(*arguments).plan) == without_seconds(rotation(*arguments).plan)


def test_the_seed_draws_the_bibs(tmp_path: Path) -> None:
    drawn = set()
    for seed in range(4):
        plan = rotation(roster(tmp_path, 12), "--groups", 3, "--seed", seed, "--format", "json").plan
        drawn.add(tuple(tuple(group["athletes"]) for group in plan["groups"]))
    assert len(drawn) > 1


def test_minutes_are_filled(tmp_path: Path) -> None:
    plan = rotation(roster(tmp_path), "--stations", 6, "--minutes", 45, "--groups", 6, "--format", "json").plan
    seconds = sum(entry["seconds"] for entry in plan["timetable"])
    assert 45 * 60 - 30 < seconds <= 45 * 60
    assert all(entry["seconds"] % 5 == 0 for entry in plan["timetable"])


def test_work_and_change_as_given_but_no_walk_cut_short(tmp_path: Path) -> None:
    far = written(tmp_path / "far.csv", "name,x_m,y_m", "Here,0,0", "There,120,0")
    plan = rotation(
        roster(tmp_path), "--stations", far, "--groups", 2, "--work", 240, "--change", 45, "--format", "json"
    ).plan
    assert plan["timetable"] == [
        {"kind": "work", "seconds": 240, "round": 1},
        {"kind": "change", "seconds": 100, "round": 1},
        {"kind": "work", "seconds": 240, "round": 2},
    ]
    assert plan["walking_m"] == 240.0


def test_more_groups_than_stations_rest_in_turn(tmp_path: Path) -> None:
    plan = rotation(roster(tmp_path), "--stations", 4, "--groups", 6, "--format", "json").plan
    assert [len(turn["resting"]) for turn in plan["rounds"]] == [2, 2, 2, 2]
    assert list(plan["rounds"][0]["at"]) == ["1", "2", "3", "4"]


def test_a_table_for_a_spreadsheet(tmp_path: Path) -> None:
    said = rotation(roster(tmp_path, 8), "--groups", 2, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert list(rows[0]) == ["id", "name", "group", "round_1", "round_2"]
    assert sorted(row["id"] for row in rows) == [f"c{at:02}" for at in range(8)]
    assert {(row["group"], row["round_1"], row["round_2"]) for row in rows} == {("Red", "1", "2"), ("Blue", "2", "1")}


def test_a_sheet_to_read(tmp_path: Path) -> None:
    said = rotation(roster(tmp_path), "--stations", 3, "--groups", 4, "--on", "9/4/2016")
    assert said.out.startswith("Saturday 9 April 2016: 24 children, 4 groups, 3 stations, 3 rounds\n")
    for part in ("Red ", "Round 3", "resting", "work, round 1", "All of it takes 17:00.", "Fairness 0.", "Walking: "):
        assert part in said.out
    assert said.status == 0


def test_the_sheet_tells_of_gaps_and_of_both_ends_of_a_trade(tmp_path: Path) -> None:
    line = written(
        tmp_path / "line.csv", "name,x_m,y_m,intensity", "A,0,0,hard", "B,5,0,hard", "C,10,0,hard", "D,60,0,easy",
        "E,65,0,easy", "F,70,0,easy",
    )  # fmt: skip
    some = written(tmp_path / "some.csv", "id,speed_s", *(f"n{at},{6 + at / 7:.2f}" for at in range(11)), "Edie,")
    said = rotation(some, "--stations", line, "--groups", 6, "--max-hard-run", 1, "--balance", "speed_s")
    assert "speed_s is not known of Edie" in said.out
    assert "hard stations in a row instead of 1 it would be" in said.out


def test_names_only_with_nothing_to_balance(tmp_path: Path) -> None:
    names = written(tmp_path / "names.csv", "given_name", "Ada", "Bo", "Cleo", "Dov")
    said = rotation(names, "--groups", 2, "--balance", "", "--format", "json")
    assert said.status == 0
    assert sorted(child for group in said.plan["groups"] for child in group["athletes"]) == ["Ada", "Bo", "Cleo", "Dov"]
    assert said.plan["fairness"]["score"] == 0
    assert "Fairness" not in rotation(names, "--groups", 2, "--balance", "").out


def test_a_column_of_ones_own_can_be_balanced(tmp_path: Path) -> None:
    jumps = written(tmp_path / "jumps.csv", "id;jump_cm", "a;120,5", "b;110", "c;100", "d;130")
    plan = rotation(jumps, "--groups", 2, "--balance", "jump_cm", "--format", "json").plan
    assert plan["fairness"]["attributes"]["jump_cm"]["unit"] == "cm"


@pytest.mark.parametrize(("asked", "workers"), [((), 1), (("--careful",), max(2, os.cpu_count() or 1))])
def test_careful_thinks_with_all_cores(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, asked: tuple[str, ...], workers: int
) -> None:
    limits, solve = list[Limit](), groups.solve
    monkeypatch.setattr(groups, "solve", lambda *a, limit, **k: limits.append(limit) or solve(*a, limit=limit, **k))
    said = rotation(roster(tmp_path, 6), "--groups", 2, *asked, "--format", "json")
    assert said.plan["status"] == "BEST"
    assert [limit.workers for limit in limits] == [workers]


def test_from_a_terminal_with_no_database(tmp_path: Path) -> None:
    environment = {**os.environ, "FIELDBELL_DATA": str(tmp_path / "data")}
    command = [sys.executable, "manage.py", "rotation", str(roster(tmp_path, 8)), "--groups", "2", "--format", "json"]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("{")
    assert not (tmp_path / "data" / "fieldbell.sqlite3").exists()
