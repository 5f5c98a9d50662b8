"""`manage.py rotation --mix`: new groups in every round."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from itertools import combinations
from pathlib import Path

from clubapp.rotation import commandline, mixed, roster_files
from tests.rotation.command import roster, rotation, written


def test_nobody_meets_twice_and_the_other_end_stands_beside(tmp_path: Path) -> None:
    names = written(
        tmp_path / "names.csv",
        "id,skill,apart",
        *(f"n{at:02},{1 + at % 5},{'x' if at < 2 else ''}" for at in range(15)),
    )
    said = rotation(names, "--mix", "--groups", 5, "--rounds", 6, "--balance", "skill", "--format", "json")
    plan = said.plan
    assert said.status == 0
    assert list(plan) == ["status", "reasons", "rounds", "met", "fair_first", "seconds"]
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


def test_one_end_without_the_other(tmp_path: Path) -> None:
    wish = commandline.Wish(on=date(2016, 4, 9), balance=(), groups=2)
    names = roster_files.read_roster("a.csv", b"id\na\nb\nc\nd\n", (), wish.on)
    made = mixed.make(wish, names)
    assert "Fair first instead: nothing was found." in mixed.as_text(
        replace(made, other=replace(made.other, answer=None))
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
