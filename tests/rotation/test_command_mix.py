"""`manage.py rotation --mix`: new groups in every round."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from itertools import combinations
from pathlib import Path

from clubapp.rotation import commandline, mixed, roster_files
from tests.rotation.command import children, roster, rotation, stations, written


def test_nobody_meets_twice_and_the_other_end_stands_beside(tmp_path: Path) -> None:
    names = written(
        tmp_path / "names.csv",
        "id,skill,apart",
        *(f"n{at:02},{1 + at % 5},{'x' if at < 2 else ''}" for at in range(15)),
    )
    said = rotation(names, "--mix", "--groups", 5, "--rounds", 6, "--balance", "skill", "--format", "json")
    plan = said.plan
    assert said.status == 0
    assert list(plan) == ["status", "reasons", "rounds", "met", "score", "bound", "fair_first", "seconds"]
    pairs = [pair for turn in plan["rounds"] for group in turn["groups"] for pair in combinations(group["athletes"], 2)]
    assert len(pairs) == len(set(pairs)) == 90
    assert ("n00", "n01") not in pairs
    assert plan["met"] == {"least": 12, "most": 12, "repeats": 0}
    assert [group["name"] for group in plan["rounds"][0]["groups"]] == ["Red", "Blue", "Green", "Yellow", "Orange"]
    worst = max(turn["fairness"] for turn in plan["rounds"])
    assert max(turn["fairness"] for turn in plan["fair_first"]["rounds"]) <= worst


def test_a_table_and_a_sheet(tmp_path: Path) -> None:
    said = rotation(roster(tmp_path, 6), "--mix", "--groups", 3, "--rounds", 2, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(said.out)))
    assert [row["id"] for row in rows] == [f"c{at:02}" for at in range(6)]
    assert {row["round_2"] for row in rows} == {"Red", "Blue", "Green"}
    sheet = rotation(roster(tmp_path, 6), "--mix", "--groups", 3, "--rounds", 2).out
    for words in ("Round 2", "Blue: ", "each child meets", "Fair first instead: "):
        assert words in sheet


def test_kinds_and_ages_are_kept_in_every_round(tmp_path: Path) -> None:
    wishes = ("--not-alone", "sex:f", "--age-gap", 4)
    plan = rotation(roster(tmp_path, 24), "--mix", "--groups", 6, "--rounds", 4, *wishes, "--format", "json").plan
    row = {cells[0]: cells for cells in children(24)}
    born = {child: date.fromisoformat(cells[3]).toordinal() for child, cells in row.items()}
    for end in (plan, plan["fair_first"]):
        for group in (group["athletes"] for turn in end["rounds"] for group in turn["groups"]):
            sexes = [row[child][4].lower() for child in group]
            assert sexes.count("f") != 1
            for child in group:
                assert any(abs(born[child] - born[mate]) <= 4 * 365.25 for mate in group if mate != child)
            assert {"c00", "c01"} & set(group) in (set(), {"c00", "c01"})
            assert not {"c02", "c03"} <= set(group)
    assert plan["met"]["least"] > 3
    assert 0 < plan["bound"] <= plan["score"]


def test_stations_are_gone_round(tmp_path: Path) -> None:
    arguments = (roster(tmp_path, 24), "--mix", "--stations", stations(tmp_path), "--groups", 6)
    plan = rotation(*arguments, "--format", "json").plan
    assert len(plan["rounds"]) == 6
    names = ["Catch", "Jumps", "Ladder", "Reaction", "Sprint lane", "Zigzag"]
    assert all(sorted(group["station"] for group in turn["groups"]) == names for turn in plan["rounds"])
    groups = [group for turn in plan["rounds"] for group in turn["groups"]]
    been = {child: {group["station"] for group in groups if child in group["athletes"]} for child in ("c00", "c12")}
    assert plan["stations_visited"]["least"] <= min(map(len, been.values()))
    assert max(map(len, been.values())) <= plan["stations_visited"]["most"] <= 6


def test_stations_stand_in_the_sheet_and_in_the_table(tmp_path: Path) -> None:
    arguments = (roster(tmp_path, 6), "--mix", "--stations", 3, "--groups", 3, "--rounds", 2)
    sheet = rotation(*arguments).out
    assert "Red at " in sheet
    assert " of the stations." in sheet
    rows = list(csv.DictReader(io.StringIO(rotation(*arguments, "--format", "csv").out)))
    assert {row["station_2"] for row in rows} == {"1", "2", "3"}


def test_more_groups_than_fit_at_the_stations(tmp_path: Path) -> None:
    said = rotation(roster(tmp_path, 8), "--mix", "--stations", 2, "--groups", 4, "--rounds", 2)
    assert said.status == 3
    assert "4 groups do not fit at 2 stations at once. Make fewer groups" in said.err


def test_what_mixing_does_not_plan_is_said(tmp_path: Path) -> None:
    said = rotation(roster(tmp_path, 6), "--mix", "--groups", 3, "--rounds", 2, "--minutes", 30, "--max-hard-run", 1)
    assert said.status == 0
    assert "--minutes is left aside" in said.err
    assert "--max-hard-run is left aside" in said.err


def test_one_end_without_the_other(tmp_path: Path) -> None:
    wish = commandline.Wish(on=date(2016, 4, 9), balance=(), groups=2)
    names = roster_files.read_roster("a.csv", b"id\na\nb\nc\nd\n", (), wish.on)
    made = mixed.make(wish, names)
    assert "Fair first instead: nothing was found." in mixed.as_text(
        replace(made, other=mixed.End(replace(made.other.outcome, answer=None)))
    )


def test_rules_that_clash(tmp_path: Path) -> None:
    clash = written(tmp_path / "clash.csv", "id,together,apart", "a,x,y", "b,x,y", "c,,", "d,,")
    arguments = (clash, "--mix", "--groups", 2, "--balance", "")
    said = rotation(*arguments)
    assert (said.status, said.out) == (3, "")
    assert "a and b are to stay together." in said.err
    plan = rotation(*arguments, "--format", "json")
    assert plan.status == 3
    assert (plan.plan["status"], plan.plan["rounds"]) == ("IMPOSSIBLE", [])
