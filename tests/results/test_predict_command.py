"""`manage.py predict`: a file in, a median and a span out; what is wrong is named by row and column."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

LINES = [
    "child,trial,date,seconds,date_of_birth",
    "Ada,40 m,2016-04-02,7.10,2006-01-05",
    "Ada,40 m,2016-04-09,7.00,",
    "Bo,40 m,2016-04-09,8.40,2008-03-05",
    "Bo,box,2016-04-09,12.10,2008-03-05",
    "=Cy,40 m,2016-04-09,6.60,",
    "Dee,box,2016-04-23,9.10,2004-03-05",
]


def predict(path: Path, *lines: str, trial: str = "40 m", as_of: str = "2016-04-16", form: str = "json") -> str:
    file = path / "results.csv"
    file.write_text("\n".join(lines or LINES), encoding="utf-8")
    out = io.StringIO()
    call_command("predict", str(file), "--as-of", as_of, "--trial", trial, "--format", form, stdout=out)
    return out.getvalue()


def test_json_has_each_child_with_its_span(tmp_path: Path) -> None:
    said = json.loads(predict(tmp_path))
    rows = {row["child"]: row for row in said["predictions"]}
    assert set(rows) == {"Ada", "Bo", "=Cy", "Dee"}
    assert said["as_of"] == "2016-04-16"
    assert rows["Ada"]["low_s"] < rows["Ada"]["median_s"] < rows["Ada"]["high_s"]
    assert rows["Ada"]["median_s"] < rows["Bo"]["median_s"]


def test_results_after_the_day_are_not_looked_at(tmp_path: Path) -> None:
    later = json.loads(predict(tmp_path, *LINES[:-1], "Dee,40 m,2016-05-01,3.00,2004-03-05"))
    before = json.loads(predict(tmp_path, *LINES[:-1], "Dee,40 m,2016-05-01,9.00,2004-03-05"))
    assert later == before
    assert {row["child"]: row["results"] for row in later["predictions"]}["Dee"] == 0


def test_csv_runs_in_no_spreadsheet(tmp_path: Path) -> None:
    rows = list(csv.reader(io.StringIO(predict(tmp_path, form="csv"), newline="")))
    assert rows[0] == ["child", "trial", "median_s", "low_s", "high_s", "results"]
    assert "'=Cy" in {row[0] for row in rows}


def test_text_is_for_eyes(tmp_path: Path) -> None:
    assert "Ada" in predict(tmp_path, form="text")
    assert "four in five" in predict(tmp_path, form="text")


HEAD = "child,trial,date,seconds,date_of_birth"


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["child,trial,seconds"], "no column date"),
        ([HEAD], "no results"),
        ([HEAD, "a,40 m,2016-02-30,7,"], "row 2, date"),
        ([HEAD, "a,40 m,2016-02-03,quick,"], "row 2, seconds"),
        ([HEAD, "a,40 m,2016-02-03,0,"], "row 2, seconds"),
        ([HEAD, "a,40 m,2016-02-03,7,", ",40 m,2016-02-03,7,"], "row 3, child"),
        ([HEAD, "a,40 m,2016-02-03,7,2008-01-01", "a,40 m,2016-02-03,7,2009-01-01"], "row 3, date_of_birth"),
        ([HEAD, "a,40 m,2016-02-03,7,soon"], "row 2, date_of_birth"),
        ([HEAD, "a,box,2016-02-03,7,"], "box"),
        (["a,b\n1"], "Row 2"),
    ],
)
def test_what_is_wrong_is_named(tmp_path: Path, lines: list[str], words: str) -> None:
    with pytest.raises(CommandError, match=words) as caught:
        predict(tmp_path, *lines)
    assert caught.value.returncode == 2


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"nowhere\.csv"):
        call_command("predict", str(tmp_path / "nowhere.csv"), "--as-of", "2016-04-16", "--trial", "40 m")
