"""Chasing games: drawn, tapped, and made to suit who comes, goes and goes easy."""

from __future__ import annotations

import json
import re
import uuid
from datetime import date, timedelta
from typing import Any

from django.urls import reverse
from django.utils import timezone

from clubapp.engine import chase as engine_chase
from clubapp.engine.clock import Command, Kind, Schedule, Segment
from clubapp.games import queries
from clubapp.games.chasing_bridge import answer_of, problem_of
from clubapp.games.models import Entry, Game
from clubapp.live.playing import stood_still
from clubapp.people.models import Athlete
from tests.cast import Cast, make_child
from tests.games.evening import address, made, mark, names, post, say, view
from tests.games.evening import everybody_here as marked_here
from tests.live.evening import helper, pass_of


def everybody_here(cast: Cast, children: int, *, timed: bool = False) -> list[Athlete]:
    """All of one age, so that they play on one field."""
    here = marked_here(cast, children, timed=timed)
    Athlete.objects.filter(pk__in=[child.pk for child in here]).update(date_of_birth=date(2015, 3, 1))
    return [Athlete.objects.get(pk=child.pk) for child in here]


def fields_of(game: Game) -> list[dict[str, Any]]:
    fields: list[dict[str, Any]] = view(game).draw.answer["fields"]
    return fields


def tap(cast: Cast, game: Game, **fields: Any) -> Any:
    """As the phone's outbox sends it."""
    sent = {"what": "touch", "part": 1, "op_id": str(uuid.uuid4()), **fields}
    return cast.client(cast.finn).post(address(game, "enter"), sent, headers={"accept": "application/json"})


def test_drawn_by_the_engine_and_whoever_goes_easy_never_chases(cast: Cast) -> None:
    here = everybody_here(cast, 9, timed=True)
    mark(cast.session, here[0], "easy", leave_out=["sprints"])
    game = made(cast, "freeze", here)
    draw = view(game).draw
    problem, answer = problem_of(draw.problem, draw.problem["children"]), answer_of(draw.answer)
    assert engine_chase.violations(problem, answer) == []
    assert engine_chase.score(problem, answer) == draw.proof["score"]
    (field,) = answer.fields
    assert field.turns[str(here[0].pk)] == 0
    assert len({count for child, count in field.turns.items() if child != str(here[0].pk)}) == 1
    page = cast.client(cast.finn).get(address(game)).content.decode()
    assert "our rule of thumb" in page
    assert str(draw.proof["score"]) not in page


def test_the_field_is_cut_above_the_gap_and_who_has_chased_comes_later(cast: Cast) -> None:
    here = everybody_here(cast, 8)
    for place, child in enumerate(here):
        child.date_of_birth = date(2012, 3, 1) + timedelta(days=365 * (place // 4) * 5)
        child.save()
    game = made(cast, "freeze", minutes=2, chasers=1)
    assert [len(field["ids"]) for field in fields_of(game)] == [4, 4]
    assert len(fields_of(made(cast, "freeze", gap=6.0))) == 1
    say(game, "begin", cast.finn)
    say(game, "end", cast.finn)
    first = {child for field in fields_of(game) for spell in field["spells"] for child in spell}
    again = {child for field in fields_of(made(cast, "freeze", minutes=2, chasers=1)) for child in field["spells"][0]}
    assert not first & again


def test_too_few_of_one_age_are_one_tap_from_ready(cast: Cast) -> None:
    """The gap stays what it is until an adult says otherwise, on a button that says how far."""
    here = everybody_here(cast, 6)
    Athlete.objects.filter(pk=here[0].pk).update(date_of_birth=date(2009, 3, 1))
    client = cast.client(cast.hazel)
    form = client.get(reverse("games:new", args=[cast.session.pk]), {"kind": "freeze"}).context["form"]
    fields = {name: value for name, value in form.initial.items() if value not in (None, False)}
    fields |= {"kind": "freeze", "children": [str(child.pk) for child in here]}
    refused = client.post(reverse("games:make", args=[cast.session.pk]), fields)
    assert refused.status_code == 422
    assert 'name="gap" value="6">Let them be up to 6 years apart' in refused.content.decode()
    assert not Game.objects.exists()
    client.post(reverse("games:make", args=[cast.session.pk]), fields | {"gap": [fields["gap"], "6"]})
    assert len(fields_of(Game.objects.get())) == 1


def test_who_is_out_is_back_within_a_minute_unless_switched_off(cast: Cast) -> None:
    everybody_here(cast, 6)
    client = cast.client(cast.finn)
    assert "after 60 s at the latest" in client.get(address(made(cast, "last"))).content.decode()
    assert "switched off" in client.get(address(made(cast, "last", back=False))).content.decode()


def test_one_tap_says_who_touched_whom_and_can_be_taken_back(cast: Cast) -> None:
    everybody_here(cast, 8)
    game = made(cast, "freeze")
    say(game, "begin", cast.finn)
    field = fields_of(game)[0]
    who = field["spells"][0][0]
    whom = next(child for child in field["ids"] if child not in field["spells"][0])
    op = str(uuid.uuid4())
    answers = [tap(cast, game, who=who, whom=whom, op_id=op).json() for _time in range(2)]
    assert answers[0] == answers[1]
    assert Entry.objects.filter(what="touch").count() == 1
    tap(cast, game, whom=whom)
    order = cast.client(cast.hazel).get(address(game, "standing"))
    rows = {row["name"]: (row["by"], row["of"]) for row in order.context["shown"]["rows"]}
    assert rows[names([who])[0]] == (1, 0)
    assert rows[names([whom])[0]] == (0, 2)
    assert cast.client(cast.finn).get(address(game, "standing")).status_code == 404
    assert view(game).said[-1].data == {"who": "", "whom": whom}
    assert tap(cast, game, what="untouch", of=op).status_code == 200
    assert "taken back already" in tap(cast, game, what="untouch", of=op).json()["error"]
    page = cast.client(cast.finn).get(address(game)).context["page"]
    assert [row["total"] for row in page.shown["totals"]] == [1]


def test_nonsense_is_refused_in_words_and_a_tap_from_before_the_end_counts(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    stranger = make_child(cast.club, cast.squad, "Una")
    game = made(cast, "freeze", here)
    say(game, "begin", cast.finn)
    for wrong in ({"whom": stranger.pk}, {"whom": "x"}, {"whom": here[0].pk, "part": 99}, {"what": "dance"}, {}):
        assert tap(cast, game, **wrong).status_code == 422
    before = timezone.now().isoformat()
    say(game, "end", cast.hazel)
    assert tap(cast, game, whom=here[0].pk, tapped_at=before).status_code == 200
    assert tap(cast, game, whom=here[0].pk).status_code == 422
    game.refresh_from_db()
    assert (game.state, Entry.objects.filter(what="touch").count()) == ("over", 1)
    assert post(cast.client(cast.sal), game, "enter", what="touch", whom=here[0].pk).status_code == 404


def test_late_out_and_easy_while_it_runs(cast: Cast) -> None:
    here = everybody_here(cast, 8)
    game = made(cast, "freeze", here[:7], minutes=6, chasers=1)
    post(cast.client(cast.hazel), game, "fit", athlete=here[7].pk)
    turns = [spell for field in fields_of(game) for spell in field["spells"]]
    assert sum(str(here[7].pk) in spell for spell in turns) == 1
    say(game, "begin", cast.finn)
    chaser = turns[-1][0]
    mark(cast.session, next(child for child in here if str(child.pk) == chaser), "easy", leave_out=["sprints"])
    page = cast.client(cast.hazel).get(address(game)).context["page"]
    assert page.shown["fields"][0]["turns"][-1]["names"] == []
    assert "goes easy and chases no more" in " ".join(page.shown["notes"])
    post(cast.client(cast.hazel), game, "out", athlete=chaser)
    post(cast.client(cast.hazel), game, "fit", athlete=chaser)
    after = fields_of(game)[0]
    assert chaser in after["ids"]
    assert after["spells"][-1] not in ([chaser], [])


def test_somebody_too_old_for_every_part_is_not_fitted_in(cast: Cast) -> None:
    here = everybody_here(cast, 7)
    game = made(cast, "freeze", here[:6])
    here[6].date_of_birth = date(2005, 1, 1)
    here[6].save()
    response = cast.client(cast.hazel).post(address(game, "fit"), {"athlete": here[6].pk}, follow=True)
    assert "too far from that child" in response.content.decode()


def test_the_bell_calls_the_turns_and_helpers_see_no_sum(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    game = made(cast, "freeze")
    place = reverse("live:game", args=[cast.session.pk, game.pk])
    ahead = cast.client(cast.finn).get(place)
    (strip,) = ahead.context["games_on"]
    assert json.loads(strip["told"])["began_ms"] is None
    assert f'data-begin="{game.pk}"' in ahead.content.decode()
    assert f'href="{place}" data-also data-begun hidden' in cast.client(cast.finn).get(address(game)).content.decode()
    over = re.compile(rf'action="{address(game, "end")}" data-queue data-begun hidden>')  # begun without a network
    assert over.search(cast.client(cast.hazel).get(address(game)).content.decode())
    say(game, "begin", cast.finn)
    assert not over.search(cast.client(cast.hazel).get(address(game)).content.decode())
    tap(cast, game, whom=here[0].pk)
    response = cast.client(cast.finn).get(place)
    assert response.status_code == 200
    (strip,) = response.context["games_on"]
    told = json.loads(strip["told"])
    assert (told["spell_s"], told["lost_ms"], len(told["ids"])) == (45, 0, len(fields_of(game)[0]["spells"]))
    client, _visitor = helper(pass_of(cast), cast.hazel)
    (strip,) = client.get(f"/bell/{cast.session.pk}/").context["games_on"]
    assert [team["total"] for team in strip["teams"]] == [""]
    assert client.get(place).status_code == 404
    assert queries.export_child(here[0].pk)[0]["game"] == "freeze"
    say(game, "end", cast.hazel)
    assert cast.client(cast.finn).get(place)["Location"] == address(game)


def test_a_game_begun_without_a_network_began_when_it_was_tapped(cast: Cast) -> None:
    """Two phones may both have begun it: the earlier tap counts, and none before there was a game."""
    everybody_here(cast, 6)
    game = made(cast, "freeze")
    Game.objects.filter(pk=game.pk).update(made_at=timezone.now() - timedelta(minutes=9))
    for minutes in (2, 5, 4):
        at = timezone.now() - timedelta(minutes=minutes)
        assert tap(cast, game, what="begin", part=0, tapped_at=at.isoformat()).status_code == 200
    game.refresh_from_db()
    assert game.began_at == Entry.objects.order_by("tapped_at")[0].tapped_at
    assert timedelta(minutes=5) <= timezone.now() - game.began_at < timedelta(minutes=6)
    tap(cast, game, what="begin", part=0, tapped_at="2020-01-01T10:00:00Z")
    game.refresh_from_db()
    assert game.began_at == game.made_at


def test_a_turn_stands_still_while_the_bell_does() -> None:
    schedule = Schedule((Segment("game", 900),))
    log = [
        Command(Kind.START, 1, 0, 1_000, schedule=schedule),
        Command(Kind.PAUSE, 2, 1, 5_000),
        Command(Kind.RESUME, 3, 2, 9_000),
        Command(Kind.STOP, 4, 3, 20_000),
    ]
    assert stood_still(log, 2_000, 20_000) == 4_000
    assert stood_still(log, 6_000, 26_000) == 9_000
    assert stood_still(log[:3], 10_000, 30_000) == 0
    assert stood_still([], 0, 10_000) == 0
