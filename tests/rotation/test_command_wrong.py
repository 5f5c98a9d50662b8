"""`manage.py rotation` on files, arguments and wishes that cannot be: the status, and what is said."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from tests.rotation.command import HEADER, roster, rotation, written
from tests.rules.house import ROOT

GOOD = "c1,Ada,Moss,2008-05-01,f,3,no,7.1,,"


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        (",,,2008-05-01,f,3,no,7.1,,", "id", "no id and no name"),
        ("c1,Bo,Moss,2008-05-01,f,3,no,7.1,,", "id", "twice"),
        (",Ada,Moss,2008-05-01,f,3,no,7.1,,", "", ""),
        ("c2,Bo,Moss,soon,f,3,no,7.1,,", "date_of_birth", "“soon” is no date"),
        ("c2,Bo,Moss,31/2/2008,f,3,no,7.1,,", "date_of_birth", "not in the calendar"),
        ("c2,Bo,Moss,2026-05-01,f,3,no,7.1,,", "date_of_birth", "future"),
        ("c2,Bo,Moss,2008-05-01,girlish,3,no,7.1,,", "sex", "girlish"),
        ("c2,Bo,Moss,2008-05-01,f,6,no,7.1,,", "skill", "no skill"),
        ("c2,Bo,Moss,2008-05-01,f,3,perhaps,7.1,,", "first_timer", "neither yes nor no"),
        ("c2,Bo,Moss,2008-05-01,f,3,no,fast,,", "speed_s", "no time"),
        ("c2,Bo,Moss,2008-05-01,f,3,no,-1,,", "speed_s", "no time"),
        ("c2,Bo,Moss,2008-05-01,f,3,no,nan,,", "speed_s", "no time"),
    ],
)  # fmt: skip
def test_a_wrong_cell_is_named_by_file_row_and_column(tmp_path: Path, row: str, column: str, words: str) -> None:
    path = written(tmp_path / "roster.csv", HEADER, GOOD, row)
    said = rotation(path, "--groups", 2, "--on", "2016-04-09")
    if not words:
        assert said.status == 0
        return
    assert (said.status, said.out) == (2, "")
    assert f"{path}, row 3, column {column}: " in said.err
    assert words in said.err


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["shoe", "37"], "row 1: there is no column id, given_name or family_name"),
        (["id,skill,date_of_birth", "a,1,2008-01-01"], "row 1, column speed_s: it is not there, and speed_s"),
        (["id,skill,speed_s", "a,1,7"], "row 1, column date_of_birth: it is not there, and age"),
        ([HEADER], "there is no child in it"),
        ([HEADER, "a,b"], "row 2"),
        ([HEADER, '"a,b'], "quotation mark"),
        (["id,id", "a,b"], "row 1"),
        ([""], "empty"),
    ],
)
def test_a_wrong_roster(tmp_path: Path, lines: list[str], words: str) -> None:
    path = written(tmp_path / "roster.csv", *lines)
    said = rotation(path, "--groups", 2)
    assert said.status == 2
    assert str(path) in said.err
    assert words in said.err


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["x_m", "1"], "row 1, column name"),
        (["name,x_m"], "no station in it"),
        (["name,x_m,y_m", "A,1,"], "row 2, column y_m: a place needs both"),
        (["name,x_m,y_m", "A,,1"], "row 2, column x_m: a place needs both"),
        (["name,x_m,y_m", "A,east,1"], "row 2, column x_m: “east” is no number"),
        (["name,intensity", "A,medium"], "row 2, column intensity: “medium” is neither"),
        (["name,groups_min", "A,-1"], "row 2, column groups_min: “-1” is no whole number"),
        (["name,groups_min,groups_max", "A,3,2"], "row 2, column groups_max: at most 2 cannot be"),
        (["name,groups_max", "A,0"], "row 2, column groups_max: at most 0 cannot be"),
        (["name,kit", "A,cones"], "row 2, column kit: “cones” is no kit"),
        (["name,kit", "A,cones:2;cones:3"], "row 2, column kit"),
        (["name,kit", "A,cones:many"], "row 2, column kit: “many” is no whole number"),
        (["name", "A", "a ", "A"], "row 4, column name: “A” stands there twice"),
        (["name,x_m", ",1"], "row 2, column name: the station has no name"),
    ],
)
def test_wrong_stations(tmp_path: Path, lines: list[str], words: str) -> None:
    path = written(tmp_path / "stations.csv", *lines)
    said = rotation(roster(tmp_path, 6), "--stations", path)
    assert said.status == 2
    assert f"{path}" in said.err
    assert words in said.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--stations", "0"), "--stations"),
        (("--stations", "nowhere.csv"), "nowhere.csv: No such file"),
        (("--not-alone", "hat:red"), "hat:red"),
        (("--groups", "7"), "7 groups are more than the 6 children"),
        (("--balance", "speed_s,hop"), "column hop"),
    ],
)
def test_wrong_arguments(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    said = rotation(roster(tmp_path, 6), *arguments)
    assert said.status == 2
    assert words in said.err


@pytest.mark.parametrize(
    "arguments",
    [
        ("--groups", "0"), ("--groups", "two"), ("--rounds", "-1"), ("--work", "0"), ("--minutes", "1.5"),
        ("--age-gap", "0"), ("--age-gap", "inf"), ("--on", "soon"), ("--on", ""), ("--format", "yaml"), ("--seed", "x"),
        ("--nonsense",),
    ],
)  # fmt: skip
def test_arguments_that_cannot_be_read(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    with pytest.raises(CommandError, match=r"argument|arguments"):
        call_command("rotation", str(roster(tmp_path, 6)), *arguments)


def test_the_exit_status_at_a_terminal(tmp_path: Path) -> None:
    def status(*arguments: str) -> int:
        command = [sys.executable, "manage.py", "rotation", str(roster(tmp_path, 6)), *arguments]
        environment = {**os.environ, "FIELDBELL_DATA": str(tmp_path / "data")}
        return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True).returncode

    assert status("--groups", "none") == 2
    assert status("--groups", "9") == 2
    assert status("--groups", "2", "--rounds", "3") == 3


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--groups", "3", "--rounds", "4"), "4 rounds at 3 stations"),
        (("--groups", "2", "--work", "600", "--minutes", "10"), "2 rounds of 10:00"),
    ],
)
def test_wishes_that_cannot_be_had(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    said = rotation(roster(tmp_path, 6), *arguments)
    assert (said.status, said.out) == (3, "")
    assert "cannot all be had" in said.err
    assert words in said.err
    plan = rotation(roster(tmp_path, 6), *arguments, "--format", "json")
    assert plan.status == 3
    assert plan.plan["status"] == "IMPOSSIBLE"
    assert words in " ".join(plan.plan["reasons"])
    assert (plan.plan["groups"], plan.plan["rounds"], plan.plan["walking_m"]) == ([], [], None)


def test_more_children_apart_than_groups(tmp_path: Path) -> None:
    path = written(tmp_path / "roster.csv", "id,apart", "a,x", "b,x", "c,x", "d,")
    said = rotation(path, "--groups", 2, "--balance", "", "--format", "json")
    assert said.status == 3
    assert said.plan["reasons"]
