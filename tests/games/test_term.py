"""Term points: off until begun, team totals for everybody, never speed by itself, single children for one adult."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.test import Client
from django.urls import reverse

from clubapp.games import term
from clubapp.games.models import Term
from clubapp.people.models import Athlete
from tests.cast import Cast, make_child
from tests.games.evening import made, mark, ran, say, view
from tests.live.evening import helper, pass_of


def address(cast: Cast, name: str = "term") -> str:
    return reverse(f"games:{name}", args=[cast.squad.pk])


def begun(cast: Cast, *teams: list[Athlete]) -> Term:
    """A term that began a week before the session, with these teams."""
    day = cast.session.date
    ids = [[str(child.pk) for child in team] for team in teams]
    ends = day + timedelta(days=60)
    return Term.objects.create(squad=cast.squad, begins=day - timedelta(days=7), ends=ends, teams=ids)


def parts(row: Term) -> list[tuple[int | None, ...]]:
    return [team.parts for team in term.page(row.squad).teams]


def test_off_until_the_head_coach_begins_and_off_again(cast: Cast) -> None:
    coach, assistant = cast.client(cast.hazel), cast.client(cast.finn)
    assert "Term points are off" in assistant.get(address(cast)).content.decode()
    day = cast.session.date
    fields: dict[str, Any] = {"begins": day, "ends": day - timedelta(days=1), "teams": 2}
    wrong = coach.post(address(cast, "term_begin"), fields)
    assert wrong.status_code == 422
    assert "comes after the first" in wrong.content.decode()
    assert (
        "take fewer teams"
        in coach.post(
            address(cast, "term_begin"), fields | {"ends": day + timedelta(days=9), "teams": 8}
        ).content.decode()
    )
    assert not Term.objects.exists()
    fields["ends"] = day + timedelta(days=80)
    assert assistant.post(address(cast, "term_begin"), fields).status_code == 404
    assert coach.post(address(cast, "term_begin"), fields).status_code == 302
    row = Term.objects.get()
    assert sorted(map(len, row.teams)) == [3, 3]
    assert {child for team in row.teams for child in team} == {str(child.pk) for child in cast.athletes}
    new = make_child(cast.club, cast.squad, "Zoe")
    assert "In no team yet: Zoe" in coach.get(address(cast)).content.decode()
    coach.post(address(cast, "term_fit"))
    after = Term.objects.get().teams
    assert [[child for child in team if child != str(new.pk)] for team in after] == row.teams
    assert sum(str(new.pk) in team for team in after) == 1
    for client in (cast.client(cast.greta), cast.client(cast.sal), cast.client(cast.olga)):
        assert client.get(address(cast)).status_code == 404
    assert "/sign-in/" in Client().get(address(cast))["Location"]
    coach.post(address(cast, "term_off"))
    assert not Term.objects.exists()


def test_turning_up_counts_and_who_told_us_neither_way(cast: Cast) -> None:
    a, b, c, d, e, f = cast.athletes
    row = begun(cast, [a, b, c], [d, e, f])
    for child, kind in ((a, "here"), (b, "told"), (d, "late"), (e, "absent")):
        mark(cast.session, child, kind)
    assert parts(row) == [(100, None, None), (50, None, None)]


def test_only_one_s_own_best_counts_and_being_quick_earns_nothing(cast: Cast) -> None:
    quick, slow, new, steady, *_rest = cast.athletes
    row = begun(cast, [quick, new], [slow, steady])
    for child, before, since in ((quick, 5000, 5100), (slow, 9000, 8900), (steady, 7000, 7000)):
        ran(cast, child, before, 40)
        ran(cast, child, since, 0)
    ran(cast, new, 4000, 0)  # a first time betters nothing
    assert parts(row) == [(None, 0, None), (None, 50, None)]


def test_team_games_count_by_the_teams_left_behind_for_large_teams_and_small(cast: Cast) -> None:
    here = list(cast.athletes)
    for child in here:
        mark(cast.session, child)
    game = made(cast, "relays", teams=2)
    say(game, "finish", cast.finn, 1, places={"1": 1, "2": 2})
    first, second = (set(team) for team in view(game).draw.answer["teams"])
    winners = [child for child in here if str(child.pk) in first]
    losers = [child for child in here if str(child.pk) in second]
    row = begun(cast, winners, losers[:1], losers[1:])
    assert [part[2] for part in parts(row)] == [100, 0, 0]
    page = cast.client(cast.finn).get(address(cast)).content.decode()
    assert "200" in page
    assert cast.client(cast.finn).get(address(cast, "term_order")).status_code == 404
    order = cast.client(cast.hazel).get(address(cast, "term_order")).context["rows"]
    assert {child.name for child in order[: len(winners)]} == {child.given_name for child in winners}
    Term.objects.update(teams=[[str(child.pk) for child in winners], [str(child.pk) for child in losers]])
    family = cast.client(cast.greta).get(reverse("family:child", args=[cast.ada.pk])).content.decode()
    own = "Red" if cast.ada in winners else "Blue"
    assert f"Term points: in team {own}. Red 200, Blue 100." in family
    where = reverse("live:bell", args=[cast.session.pk])
    client, _visitor = helper(pass_of(cast), cast.hazel)
    seen = client.get(where)
    told = [(team.bib, team.total, team.names) for team in seen.context["term"]]
    assert told == [("Red", 200, ()), ("Blue", 100, ())]
    assert "Term points of the teams" in seen.content.decode()
    Term.objects.update(begins=cast.session.date + timedelta(days=1))
    assert "Term points" not in client.get(where).content.decode()


def test_a_team_that_had_nothing_to_win_gets_the_mean_of_the_others() -> None:
    shares = {"a": term.Share(1, 1), "b": term.Share(0, 1)}
    assert term.points(shares, [["a"], ["b"], ["c"]]) == [100, 0, 50]
    assert term.points({}, [["a"], ["b"]]) == [None, None]
