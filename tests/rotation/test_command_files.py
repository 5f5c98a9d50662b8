"""The habits of files: encodings, delimiters, line breaks in cells, dates, and what is only worth a note."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rotation.command import rotation, written

LINES = [
    "id,given_name,date_of_birth,speed_s",
    "a,Ædi,2008-05-01,7.5",
    'b,"Bo\r\nB",2009-05-01,"8,1"',
    "c,Cé,2007-05-01,7",
]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "windows-1252", "utf-16"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "roster.csv"
    path.write_bytes("\r\n".join(LINES).encode(encoding))
    said = rotation(path, "--groups", 1, "--balance", "speed_s,age", "--format", "csv", "--on", "2016-04-09")
    assert (said.status, said.err) == (0, "")
    assert "a,Ædi,Red,1" in said.out
    assert "b,Bo B,Red,1" in said.out


def test_semicolons(tmp_path: Path) -> None:
    path = written(
        tmp_path / "roster.csv", "ID;Speed_S;Together", "a;7,5;x", 'b;8,1;"x;y"', "c;7;y", "d;9;", "e;8;", "f;7;"
    )
    said = rotation(path, "--groups", 2, "--balance", "speed_s", "--format", "json")
    assert {"a", "b", "c"} in [set(group["athletes"]) for group in said.plan["groups"]]


def plan_of(tmp_path: Path, *dates: str) -> tuple[int, str, dict[str, float]]:
    path = written(tmp_path / "roster.csv", "id,date_of_birth", *(f"n{at},{text}" for at, text in enumerate(dates)))
    said = rotation(path, "--groups", len(dates), "--balance", "age", "--format", "json", "--on", "2016-04-09")
    return said.status, said.err, said.plan["fairness"]["attributes"]["age"] if said.out else {}


def test_dates_are_read_day_first_and_a_note_says_so(tmp_path: Path) -> None:
    status, err, age = plan_of(tmp_path, "9/4/2008", "2008-04-10")
    assert (status, age["spread"]) == (0, 1)
    assert "column date_of_birth: dates such as 9/4/2016 are read day first" in err


def test_a_column_that_can_only_be_month_first_is_read_so(tmp_path: Path) -> None:
    status, err, age = plan_of(tmp_path, "4/9/2008", "4/30/2008")
    assert (status, err, age["spread"]) == (0, "", 21)


def test_a_column_that_is_both_is_wrong(tmp_path: Path) -> None:
    status, err, _ = plan_of(tmp_path, "30/4/2008", "4/30/2008")
    assert status == 2
    assert "row 3, column date_of_birth" in err


def test_unknown_columns_and_lonely_labels_are_noted(tmp_path: Path) -> None:
    path = written(tmp_path / "roster.csv", "id,shoe,together", "a,37,x", "b,38,", "c,39,")
    said = rotation(path, "--groups", 1, "--balance", "", "--format", "json")
    assert said.status == 0
    assert f"Note: {path}, row 1: the column “shoe” is not known and left aside." in said.err
    assert "column together: only a has the label “x”" in said.err
    assert "shoe" not in said.out


def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless(tmp_path: Path) -> None:
    path = written(tmp_path / "roster.csv", "id,given_name", "a,=1+1", "b,Bo")
    said = rotation(path, "--groups", 1, "--balance", "", "--format", "csv")
    assert "a,'=1+1,Red,1" in said.out
