"""Handicap races: marks in two taps, chances for the head coach alone, marks that follow the race."""

from __future__ import annotations

import uuid
from datetime import date
from math import exp, log
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clubapp.desk.bench.games import field
from clubapp.engine import handicap as engine_handicap
from clubapp.games import bridge, carried, handicaps
from clubapp.games.actions import RefusedError, draw_next, fit_in, take_out
from clubapp.games.models import Game
from clubapp.people.models import Athlete
from clubapp.results.models import Result
from tests.browser.fill import begin_now
from tests.cast import Cast, make_child
from tests.games.evening import SPRINT, address, everybody_here, made, mark, names, post, ran, say, view
from tests.live.evening import helper, pass_of

METRES: dict[str, Any] = {"test": SPRINT, "how": "metres", "aim": "chances", "rule": "half-way"}
SECONDS = {**METRES, "how": "seconds"}


def race(cast: Cast, children: int = 6, **wishes: Any) -> Game:
    everybody_here(cast, children)
    return made(cast, "handicaps", **{**METRES, **wishes})


def marks(game: Game) -> dict[str, int]:
    return dict(view(game).draw.answer["marks"])


def likely_s(game: Game, child: str) -> float:
    return exp(view(game).draw.problem["likely"][child][0])


def come_in(game: Game, cast: Cast, **changed: float) -> dict[str, float]:
    """Each runs what was likely, but for some; the clock shows it from the first start on. Answers with own seconds."""
    draw = view(game).draw
    own = {child: changed.get(child, likely_s(game, child)) for child in draw.answer["marks"]}
    clock = {}
    for child, start in draw.answer["marks"].items():
        if draw.problem["how"] == "seconds":
            clock[child] = round(1000 * own[child]) + start
        else:
            clock[child] = round(1000 * own[child] * (1 - start / draw.problem["distance_mm"]))
    say(game, "finish", cast.hazel, 1, times=clock)
    game.refresh_from_db()
    return own


def test_two_taps_to_ready_and_marks_are_the_engine_s(cast: Cast) -> None:
    everybody_here(cast, 8)
    client = cast.client(cast.hazel)
    asking = client.get(reverse("games:new", args=[cast.session.pk]), {"kind": "handicaps"})
    fields = {"kind": "handicaps", **asking.context["form"].initial}
    fields["children"] = [str(row.id) for row in asking.context["rows"] if row.ticked]
    page = client.post(reverse("games:make", args=[cast.session.pk]), fields, follow=True)
    game = Game.objects.get()
    draw = view(game).draw
    problem = bridge.handicap_problem(draw.problem, draw.problem["likely"])
    assert engine_handicap.violations(problem, bridge.marks(draw.answer)) == []
    assert draw.proof["score"] == engine_handicap.score(problem, bridge.marks(draw.answer))
    text = page.content.decode()
    assert "ready to start" in text
    assert all(name in text for name in names(list(draw.answer["marks"])))


def test_the_slower_start_earlier_and_in_whole_seconds(cast: Cast) -> None:
    game = race(cast, **SECONDS)
    found = marks(game)
    assert min(found.values()) == 0
    assert all(mark % 1000 == 0 for mark in found.values())
    slowest, quickest = (pick(found, key=lambda child: likely_s(game, child)) for pick in (max, min))
    assert found[slowest] < found[quickest]
    page = cast.client(cast.finn).get(reverse("games:enter_part", args=[cast.session.pk, game.pk, 1]))
    assert page.context["shown"]["clock"]["starts"][0]["at"] == 0
    assert "Start the count" in page.content.decode()


def test_chances_are_for_the_head_coach_alone(cast: Cast) -> None:
    game = race(cast)
    order = cast.client(cast.hazel).get(address(game, "standing"))
    rows = order.context["shown"]["races"][0]["rows"]
    assert sum(row["chance"] for row in rows) == pytest.approx(100, abs=3)
    cast.session.leader = cast.finn
    cast.session.save()
    assert cast.client(cast.finn).get(address(game, "standing")).status_code == 404
    for action in ("game", "enter"):
        text = cast.client(cast.finn).get(address(game, action), follow=True).content.decode()
        assert "Chance" not in text
        assert [row["likely"] for row in rows if f">{row['likely']}<" in text] == []


@pytest.mark.parametrize("wishes", [METRES, SECONDS], ids=["metres", "seconds"])
def test_marks_follow_the_race_by_the_named_rule(cast: Cast, wishes: dict[str, Any]) -> None:
    """Half-way: the logarithm of the next likely time is the middle of what was expected and what was run."""
    game = race(cast, **wishes)
    child = sorted(marks(game))[0]
    before = likely_s(game, child)
    own = come_in(game, cast, **{child: 0.98 * before})
    draw_next(game=game, by=cast.hazel)
    assert log(likely_s(game, child)) == pytest.approx((log(before) + log(own[child])) / 2, abs=0.0005)
    other = sorted(marks(game))[1]
    assert likely_s(game, other) == pytest.approx(own[other], rel=0.001)
    text = cast.client(cast.hazel).get(address(game)).content.decode()
    assert "half-way from what was expected" in text
    come_in(game, cast)
    again = made(cast, "handicaps", **wishes)
    assert likely_s(again, child) == pytest.approx(likely_s(game, child), rel=0.001)
    assert child in view(again).draw.problem["carried"]


def test_who_was_timed_on_a_test_since_goes_by_the_test(cast: Cast) -> None:
    game = race(cast)
    child = sorted(marks(game))[0]
    come_in(game, cast, **{child: 0.8 * likely_s(game, child)})
    session, before = cast.session, carried.carried(cast.session, [Athlete.objects.get(pk=child).pk], SPRINT)
    assert child in before
    Game.objects.filter(pk=game.pk).update(session=make_earlier(cast))
    ran(cast, Athlete.objects.get(pk=child), 6500, days_ago=0)
    assert carried.carried(session, [Athlete.objects.get(pk=child).pk], SPRINT) == {}


def make_earlier(cast: Cast) -> Any:
    from datetime import timedelta

    from clubapp.planning.models import Session

    fields = {"club": cast.club, "squad": cast.squad, "starts": cast.session.starts, "minutes": cast.session.minutes}
    return Session.objects.create(date=cast.session.date - timedelta(days=7), **fields)


def test_a_new_child_starts_carefully_and_a_late_one_moves_nobody(cast: Cast) -> None:
    game = race(cast)
    before = marks(game)
    late = make_child(cast.club, cast.squad, "Zoe")
    mark(cast.session, late)
    fit_in(game=game, athlete_id=late.pk, by=cast.hazel)
    draw = view(game).draw
    assert {child: at for child, at in marks(game).items() if child != str(late.pk)} == before
    assert draw.problem["new"] == [str(late.pk)]
    problem = bridge.handicap_problem(draw.problem, draw.problem["likely"])
    assert engine_handicap.violations(problem, bridge.marks(draw.answer)) == []
    assert "Never timed, with a careful start: Zoe" in cast.client(cast.hazel).get(address(game)).content.decode()
    take_out(game=game, athlete_id=late.pk, by=cast.hazel)
    assert marks(game) == before
    come_in(game, cast)
    with pytest.raises(RefusedError, match="This race has run"):
        fit_in(game=game, athlete_id=late.pk, by=cast.hazel)


def test_a_new_child_too_quick_for_the_line_is_told_and_stands_on_it(cast: Cast) -> None:
    """Nobody else moves for a child who comes late, so the line is as far back as there is."""
    game = race(cast)
    before, late = marks(game), make_child(cast.club, cast.squad, "Zoe")
    Athlete.objects.filter(pk=late.pk).update(date_of_birth=date(2009, 1, 10))
    mark(cast.session, late)
    fit_in(game=game, athlete_id=late.pk, by=cast.hazel)
    assert marks(game) == {**before, str(late.pk): 0}
    text = cast.client(cast.hazel).get(address(game)).content.decode()
    assert "may be home well before the others although nobody starts farther back: Zoe" in text
    assert "with a careful start" not in text


def test_a_time_before_the_own_start_is_told_and_nothing_is_lost(cast: Cast) -> None:
    game = race(cast, **SECONDS)
    child = max(marks(game), key=lambda one: marks(game)[one])
    fields = {"what": "finish", "part": "1", "round": "1", f"time_{child}": "0.5", f"place_{child}": "2"}
    response = post(cast.client(cast.finn), game, "enter", **fields)
    assert response.status_code == 422
    assert "before that child&#x27;s own start" in response.content.decode()
    assert f'name="time_{child}" value="0.5"' in response.content.decode()
    answer = cast.client(cast.finn).post(address(game, "enter"), fields, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert "own start" in answer.json()["error"]


def test_nobody_timed_goes_by_age_in_metres_and_is_told_in_seconds(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast, "handicaps", **METRES)
    assert "by age alone" in cast.client(cast.hazel).get(address(game)).content.decode()
    with pytest.raises(RefusedError, match="start in metres"):
        made(cast, "handicaps", **SECONDS)


def test_a_blank_race_is_kept_on_the_phone_and_one_with_places_is_not(cast: Cast) -> None:
    begin_now(cast)
    game = race(cast)
    page, client = reverse("games:enter_part", args=[cast.session.pk, game.pk, 1]), cast.client(cast.finn)
    assert client.get(page).headers["X-Keep-Until"]
    come_in(game, cast)
    assert "X-Keep-Until" not in client.get(page).headers
    assert client.get(page).context["shown"]["hidden"]  # another adult entered it


def test_a_stop_watch_times_the_race_and_whoever_enters_it_keeps_the_order(cast: Cast) -> None:
    """Of two watches the longer; a name taken off is gone; none of it is a result of the test; marks follow."""
    game = race(cast)
    before, ids = marks(game), sorted(marks(game))
    results, code = Result.objects.count(), f"race-{game.pk.hex}-1"
    finn, hazel = cast.client(cast.finn), cast.client(cast.hazel)

    def timed(client: Client, child: str, ms: int, **more: Any) -> Any:
        sent = {"athlete": child, "trial": code, "ms": ms, "op_id": str(uuid.uuid4()), **more}
        where = reverse("live:result", args=[cast.session.pk])
        return client.post(where, sent, headers={"accept": "application/json"})

    watch = finn.get(reverse("live:stopwatch_all", args=[cast.session.pk])).context["tests"]
    assert (code, "Game 1: handicap race 1") in [(test.code, test.name) for test in watch]
    wrong = str(uuid.uuid4())
    assert timed(finn, ids[5], 7_777, op_id=wrong).json() == {"text": "7.8", "watches": 1}
    assert timed(finn, ids[5], 7_777, state="void", replaces=wrong).status_code == 200
    for place, child in enumerate(ids[:3]):
        assert timed(finn, child, 9_010 - 1_000 * place).status_code == 200
    assert timed(hazel, ids[2], 7_250).status_code == 200  # a second watch: of two the longer
    assert "not in this race" in timed(finn, str(make_child(cast.club, cast.squad, "Una").pk), 8_000).json()["text"]
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    assert timed(inside, ids[3], 8_000).status_code == 404
    assert code not in str(inside.get(reverse("live:stopwatch_all", args=[cast.session.pk])).context["tests"])
    assert "Keep the race: 3 timed" in hazel.get(address(game)).content.decode()
    shown = hazel.get(address(game, "enter") + "1/").context["shown"]
    assert not shown["blank"]
    rows = {row["id"]: (row["place"], row["time"]) for row in shown["rows"]}
    assert [rows[child] for child in ids] == [(3, "9.1"), (2, "8.1"), (1, "7.3"), *[("", "")] * 3]
    fields = {f"{name}_{row['id']}": row[name] for row in shown["rows"] for name in ("place", "time")}
    assert post(hazel, game, "enter", what="finish", part=1, round=1, **fields).status_code == 302
    assert Result.objects.count() == results
    assert code not in str(finn.get(reverse("live:stopwatch_all", args=[cast.session.pk])).context["tests"])
    game.refresh_from_db()
    draw_next(game=game, by=cast.hazel)
    assert marks(game) != before
    assert "has been drawn" in timed(finn, ids[4], 8_000).json()["text"]


def test_marks_are_finer_where_quarter_metres_leave_one_child_twice_as_likely_to_win() -> None:
    """Twenty-four over 20 m need tenths of a metre, twelve do not."""
    for children, step in ((24, 100), (12, 250)):
        likely = {one.id: [*vars(one.likely).values()] for one in field(children, 3)}
        problem = {"likely": likely, "how": "metres", "aim": "chances", "step": 250, "distance_mm": 20_000, "new": []}
        made = handicaps._solved(problem)
        assert made.problem["step"] == step
        assert exp(made.proof["score"]) < 2
