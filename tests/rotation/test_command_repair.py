"""The command reads its own plan back, together with what changed."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.rotation.command import HEADER, Said, children, rotation, stations, written

ON = ("--on", "2016-01-01")


@dataclass(frozen=True)
class Evening:
    """A roster of 26, stations, and a plan for the first 24 of them."""

    roster: Path
    stations: Path
    plan: Path

    @property
    def before(self) -> dict[str, Any]:
        return dict(json.loads(self.plan.read_text()))

    def repair(self, *arguments: object, at: int = 3, form: str = "json") -> Said:
        asked = ("--stations", self.stations, *ON, "--format", form)
        return rotation(self.roster, *asked, "--repair", self.plan, "--round", at, *arguments)

    def rewritten(self, **changed: object) -> Evening:
        self.plan.write_text(json.dumps({**self.before, **changed}))
        return self


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("made")
    start = written(folder / "start.csv", HEADER, *(",".join(row) for row in children(26)[:24]))
    said = rotation(start, "--stations", stations(folder), "--groups", 4, *ON, "--format", "json")
    assert said.status == 0, said.err
    return said.out


@pytest.fixture
def evening(tmp_path: Path, made: str) -> Evening:
    whole = written(tmp_path / "roster.csv", HEADER, *(",".join(row) for row in children(26)))
    plan = tmp_path / "plan.json"
    plan.write_text(made)
    return Evening(whole, stations(tmp_path), plan)


def seats(plan: dict[str, Any]) -> dict[str, str]:
    return {child: group["name"] for group in plan["groups"] for child in group["athletes"]}


def test_one_leaves_and_two_arrive(evening: Evening) -> None:
    said = evening.repair("--change", "left:c07", "--change", "late:c24", "--change", "late:c25")
    assert said.status == 0, said.err
    after, before = said.plan, evening.before
    assert list(after) == [*before, "moves", "owed"]
    assert after["status"] == "BEST"
    assert after["moves"] == after["owed"] == []
    assert after["rounds"] == before["rounds"]
    assert after["timetable"] == before["timetable"]
    was, now = seats(before), seats(after)
    assert set(now) == (set(was) - {"c07"}) | {"c24", "c25"}
    assert {child for child in now if child in was and was[child] != now[child]} == set()


def test_equal_runs_differ_in_seconds_alone(evening: Evening) -> None:
    one, two = (evening.repair("--change", "late:c24", "--change", "closed:Catch@4").plan for _ in range(2))
    assert {**one, "seconds": 0} == {**two, "seconds": 0}


def test_it_reads_back_what_it_wrote(evening: Evening) -> None:
    once = evening.repair("--change", "merged:Blue", "--change", "left:c07", "--change", "lost:60")
    assert once.status == 0, once.err
    evening.plan.write_text(once.out)
    again = evening.repair()
    assert again.status == 0, again.err
    for key in ("groups", "rounds", "timetable"):
        assert again.plan[key] == once.plan[key]
    assert again.plan["moves"] == again.plan["owed"] == []


def test_a_closed_station_and_what_is_owed(evening: Evening) -> None:
    after = evening.repair("--change", "closed:Jumps@4").plan
    assert [row["at"]["Jumps"] for row in after["rounds"][3:]] == [[], [], []]
    assert after["rounds"][:2] == evening.before["rounds"][:2]
    been = {bib for row in after["rounds"] for bib in row["at"]["Jumps"]}
    assert {one["athlete"] for one in after["owed"]} == {c for c, bib in seats(after).items() if bib not in been}
    assert {one["station"] for one in after["owed"]} == {"Jumps"}


def test_closed_from_now_on_and_an_adult_gone(evening: Evening) -> None:
    after = evening.repair("--change", "closed:Jumps", "--change", "adult:Catch").plan
    for row in after["rounds"][2:]:
        assert row["at"]["Jumps"] == row["at"]["Catch"] == []


def test_a_group_given_up(evening: Evening) -> None:
    after, before = evening.repair("--change", "merged:Blue").plan, evening.before
    moves = {move["athlete"]: move for move in after["moves"]}
    assert set(moves) == {child for child, bib in seats(before).items() if bib == "Blue"}
    assert {(move["from"], move["why"]) for move in moves.values()} == {("Blue", "Blue is given up.")}
    assert all(seats(after)[child] == move["to"] for child, move in moves.items())
    assert "Blue" not in json.dumps(after["rounds"][2:])


def test_lost_seconds(evening: Evening) -> None:
    after, before = evening.repair("--change", "lost:240").plan, evening.before
    total = [sum(entry["seconds"] for entry in plan["timetable"]) for plan in (before, after)]
    assert total[0] - total[1] == 240
    assert after["timetable"][:4] == before["timetable"][:4]
    changes = [[e["seconds"] for e in plan["timetable"] if e["kind"] == "change"] for plan in (before, after)]
    assert changes[0] == changes[1]


def test_going_easy(evening: Evening) -> None:
    after = evening.repair("--change", "easy:c03").plan
    assert {one["athlete"] for one in after["owed"]} == {"c03"}
    assert {one["station"] for one in after["owed"]} <= {"Sprint lane", "Jumps", "Zigzag"}


def test_without_stations_the_plan_says_what_there_is(evening: Evening) -> None:
    said = rotation(evening.roster, *ON, "--repair", evening.plan, "--round", 2, "--change", "left:c01")
    assert said.status == 0, said.err


def test_who_has_left_need_not_be_on_the_roster(evening: Evening) -> None:
    written(evening.roster, HEADER, *(",".join(row) for row in children(26)[1:]))
    assert evening.repair("--change", "left:c00").status == 0
    assert "“c00” is not in the roster" in evening.repair().err


@pytest.mark.parametrize("form", ["text", "csv"])
def test_as_a_sheet_and_as_a_table(evening: Evening, form: str) -> None:
    said = evening.repair("--change", "merged:Blue", form=form)
    assert said.status == 0, said.err
    if form == "text":
        assert "Blue to " in said.out
        assert "Owed next week:" in said.out
        assert "nobody" in evening.repair("--change", "late:c24", form=form).out
    else:
        assert len(said.out.splitlines()) == 25


@pytest.mark.parametrize("form", ["json", "text"])
def test_what_cannot_be(evening: Evening, form: str) -> None:
    left = [argument for child in seats(evening.before) for argument in ("--change", f"left:{child}")]
    said = evening.repair(*left, form=form)
    assert said.status == 3
    told = said.plan["reasons"] if form == "json" else [said.err]
    assert "Nobody of these groups is here any more." in told[0]
    if form == "json":
        assert (said.plan["status"], said.plan["moves"], said.plan["owed"]) == ("IMPOSSIBLE", [], [])


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ("left:c99", "c99 is in no group"),
        ("late:c00", "in a group already"),
        ("late:c99", "nothing is known"),
        ("closed:Nowhere@4", "no station Nowhere"),
        ("closed:Jumps@2", "from round 2"),
        ("closed:Jumps@x", "“x” is no whole number"),
        ("adult:Nowhere", "no station Nowhere"),
        ("merged:Pink", "no group “Pink”"),
        ("lost:0", "at least a second"),
        ("lost:x", "“x” is no whole number"),
        ("gone:c00", "nothing that can change"),
        ("left:", "nothing that can change"),
    ],
)
def test_wrong_changes(evening: Evening, change: str, complaint: str) -> None:
    said = evening.repair("--change", change)
    assert (said.status, said.out) == (2, "")
    assert "--change" in said.err
    assert complaint in said.err


@pytest.mark.parametrize("arguments", [("--round", 3), ("--change", "left:c00")])
def test_a_change_needs_a_plan(evening: Evening, arguments: tuple[object, ...]) -> None:
    said = rotation(evening.roster, *ON, *arguments)
    assert said.status == 2
    assert "--repair" in said.err


def test_seconds_of_a_change_over_are_still_seconds(evening: Evening) -> None:
    said = rotation(evening.roster, *ON, "--groups", 3, "--change", 45, "--format", "json")
    assert [entry["seconds"] for entry in said.plan["timetable"] if entry["kind"] == "change"] == [45, 45]
    assert "“soon” is no whole number" in rotation(evening.roster, "--change", "soon").err


@pytest.mark.parametrize("at", [7, None])
def test_which_round(evening: Evening, at: int | None) -> None:
    asked = ("--round", at) if at else ()
    said = rotation(evening.roster, *ON, "--repair", evening.plan, *asked)
    assert said.status == 2
    assert "--round: say which round the plan is in, 1 to 6." in said.err


@pytest.mark.parametrize("text", ["", "[", "[]", "7", "null", '{"groups": []}', '{"groups": [], "rounds": []}'])
def test_no_plan_at_all(evening: Evening, text: str) -> None:
    evening.plan.write_text(text)
    said = evening.repair()
    assert said.status == 2
    assert str(evening.plan) in said.err


@pytest.mark.parametrize(
    ("key", "value", "where"),
    [
        ("groups", [7], "groups 1, name"),
        ("groups", [{"name": "Red", "athletes": [1]}], "groups 1, athletes"),
        ("groups", [{"name": "Red", "athletes": ["c00", "c00"]}], "“c00” stands there twice"),
        ("groups", [{"name": "Red", "athletes": []}] * 2, "“Red” stands there twice"),
        ("rounds", [{"round": 1, "at": {}}, {"round": 1, "at": {}}], "rounds 2"),
        ("rounds", [{"round": 1, "at": {"Catch": ["Mauve"]}}], "rounds 1"),
        ("rounds", [{"round": 1, "at": {"Catch": ["Red"], "Jumps": ["Red"]}}], "“Red” stands there twice"),
        ("rounds", [{"round": 1, "at": {"Catch": "Red"}}], "rounds 1, Catch"),
        ("rounds", [{"round": 1, "at": {"Nowhere": ["Red"]}}], "no station “Nowhere”"),
        ("rounds", [{"round": True, "at": {}}], "rounds 1"),
        ("timetable", None, "timetable"),
        ("timetable", [], "every round once"),
        ("timetable", [{"kind": "sleep", "seconds": 5, "round": None}], "timetable 1"),
        ("timetable", [{"kind": "work", "seconds": -5, "round": 1}], "timetable 1"),
        ("timetable", [{"kind": "work", "seconds": 5, "round": "1"}], "timetable 1"),
        ("timetable", [7], "timetable 1, kind"),
    ],
)
def test_a_plan_that_was_spoiled(evening: Evening, key: str, value: object, where: str) -> None:
    said = evening.rewritten(**{key: value}).repair(at=1)
    assert said.status == 2
    assert where in said.err
    assert str(evening.plan) in said.err


def test_no_such_file(evening: Evening) -> None:
    evening.plan.unlink()
    assert evening.repair().status == 2
