"""A game made from the children who are here."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.tell import version_of
from clubapp.engine import heats as engine_heats
from clubapp.games import bridge
from clubapp.games.models import Draw, Game
from tests.cast import Cast, make_child
from tests.games.evening import HEATS, everybody_here, heats_of, made, mark, view


def form(children: list[Any], **changed: Any) -> dict[str, Any]:
    wishes = {name: value for name, value in HEATS.items() if name != "apart"}
    return {"kind": "heats", "children": [str(child.pk) for child in children], **wishes, **changed}


def send(cast: Cast, name: str, fields: dict[str, Any]) -> Any:
    return cast.client(getattr(cast, name)).post(reverse("games:make", args=[cast.session.pk]), fields)


def test_anonymous_is_sent_to_sign_in(cast: Cast) -> None:
    response = cast.client().post(reverse("games:make", args=[cast.session.pk]), {})
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_makes(cast: Cast, name: str) -> None:
    here = everybody_here(cast)
    assert send(cast, name, form(here)).status_code == 404
    assert not Game.objects.exists()


def test_the_leader_of_the_evening_makes(cast: Cast) -> None:
    here = everybody_here(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    assert send(cast, "finn", form(here)).status_code == 302
    assert Game.objects.get().state == "ready"


def test_two_taps_from_the_children_to_ready(cast: Cast) -> None:
    """One on the kind, one on the button: the page sends what it shows."""
    everybody_here(cast, 8)
    client = cast.client(cast.hazel)
    page = client.get(reverse("games:games", args=[cast.session.pk])).content.decode()
    assert f"{reverse('games:new', args=[cast.session.pk])}?kind=heats" in page
    asking = client.get(reverse("games:new", args=[cast.session.pk]), {"kind": "heats"})
    fields = {name: field.initial or "" for name, field in asking.context["form"].fields.items()}
    fields |= {name: value for name, value in asking.context["form"].initial.items() if value not in (False, None)}
    fields["children"] = [str(row.id) for row in asking.context["rows"] if row.ticked]
    fields["kind"] = "heats"
    response = client.post(reverse("games:make", args=[cast.session.pk]), fields, follow=True)
    game = Game.objects.get()
    assert response.request["PATH_INFO"] == reverse("games:game", args=[cast.session.pk, game.pk])
    assert "ready to start" in response.content.decode()
    assert len(view(game).children) == 8


def test_everybody_runs_once_in_heats_of_like_size(cast: Cast) -> None:
    here = everybody_here(cast, 10)
    told = version_of(cast.session.pk)
    game = made(cast)
    heats = heats_of(game)
    assert sorted(child for heat in heats for child in heat) == sorted(str(child.pk) for child in here)
    assert sorted(map(len, heats)) == [3, 3, 4]
    assert version_of(cast.session.pk) == told + 1


def test_what_is_stored_is_the_engine_s_own_answer(cast: Cast) -> None:
    everybody_here(cast, 9)
    draw = view(made(cast)).draw
    problem = bridge.heats_problem(draw.problem, draw.problem["children"])
    answer = engine_heats.Answer(
        tuple(engine_heats.Heat(tuple((lane, c) for lane, c in heat)) for heat in draw.answer["heats"])
    )
    assert engine_heats.violations(problem, answer) == []
    assert engine_heats.score(problem, answer) == pytest.approx(draw.proof["score"])
    assert draw.proof["score"] <= engine_heats.score(problem, engine_heats.plain(problem)) + 1e-6


def test_the_same_seed_draws_the_same(cast: Cast) -> None:
    everybody_here(cast, 9)
    assert heats_of(made(cast, seed=5)) == heats_of(made(cast, seed=5))
    assert any(heats_of(made(cast, seed=5)) != heats_of(made(cast, seed=seed)) for seed in (6, 7))


def test_rows_hold_ids_and_no_names(cast: Cast) -> None:
    here = everybody_here(cast)
    made(cast)
    draw, game = Draw.objects.get(), Game.objects.get()
    stored = f"{draw.problem} {draw.answer} {draw.proof} {game.wishes}"
    assert str(here[0].pk) in stored
    assert [child.given_name for child in here if child.given_name in stored] == []


def test_who_goes_easy_is_out_until_an_adult_ticks(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    mark(cast.session, here[0], "easy", leave_out=["sprints"])
    page = cast.client(cast.hazel).get(reverse("games:new", args=[cast.session.pk]), {"kind": "heats"})
    (row,) = page.context["easy"]
    assert (row.id, row.ticked, row.left_out) == (here[0].pk, False, "sprints")
    assert f'value="{here[0].pk}" id="in-{here[0].pk}">' in page.content.decode()
    send(cast, "hazel", form(here[1:]))
    assert here[0].pk not in view(Game.objects.get()).children
    send(cast, "hazel", form(here))
    assert here[0].pk in view(Game.objects.get(number=2)).children


def test_who_only_watches_is_never_drawn(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    mark(cast.session, here[0], "easy", leave_out=["watching"])
    send(cast, "hazel", form(here))
    assert here[0].pk not in view(Game.objects.get()).children
    page = cast.client(cast.hazel).get(reverse("games:new", args=[cast.session.pk]), {"kind": "heats"})
    assert f'value="{here[0].pk}"' not in page.content.decode()


def test_who_is_not_here_is_never_drawn(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    away, stranger = make_child(cast.club, cast.squad, "Una"), cast.other_squad.athletes.get()
    mark(cast.session, here[1], "left", with_whom="Iris")
    send(cast, "hazel", form([*here, away, stranger]))
    assert view(Game.objects.get()).children == {child.pk for child in here} - {here[1].pk}


def test_too_few_are_said_and_nothing_typed_is_lost(cast: Cast) -> None:
    here = everybody_here(cast, 6)
    response = send(cast, "hazel", form(here[:1], lanes="3"))
    text = response.content.decode()
    assert response.status_code == 422
    assert "Tick at least 2 children who are here." in text
    assert 'name="lanes" value="3"' in text
    assert [row.ticked for row in response.context["rows"]].count(True) == 1


@pytest.mark.parametrize("changed", [{"lanes": "1"}, {"lanes": "x"}, {"mode": "z"}, {"test": "nothing"}])
def test_a_wrong_wish_names_its_field(cast: Cast, changed: dict[str, str]) -> None:
    response = send(cast, "hazel", form(everybody_here(cast, timed=False), **changed))
    assert response.status_code == 422
    assert list(response.context["form"].errors) == list(changed)
    assert "Nothing is saved yet" in response.content.decode()


def test_an_unknown_kind_leads_to_the_list(cast: Cast) -> None:
    response = send(cast, "hazel", form(everybody_here(cast), kind="x"))
    assert response["Location"] == reverse("games:games", args=[cast.session.pk])


def test_last_time_s_settings_come_back(cast: Cast) -> None:
    everybody_here(cast)
    made(cast, lanes=3, after="best")
    page = cast.client(cast.hazel).get(reverse("games:new", args=[cast.session.pk]), {"kind": "heats"})
    assert (page.context["form"].initial["lanes"], page.context["form"].initial["after"]) == (3, "best")


def test_numbers_of_teams_come_back_only_if_about_as_many_are_here(cast: Cast) -> None:
    """Five teams of ten children are not five teams of six."""
    here, client = everybody_here(cast, 10, timed=False), cast.client(cast.hazel)
    new = reverse("games:new", args=[cast.session.pk])
    game = made(cast, "relays", teams=5, order="by lot")
    assert client.get(new, {"kind": "relays"}).context["form"].initial["teams"] == 5
    for child in here[6:]:
        mark(cast.session, child, "left")
    found = client.get(new, {"kind": "relays"}).context["form"].initial
    assert (found["teams"], found["order"]) == (2, game.wishes["order"])


def test_nobody_timed_yet_is_said(cast: Cast) -> None:
    everybody_here(cast, timed=False)
    game = made(cast)
    page = cast.client(cast.hazel).get(reverse("games:game", args=[cast.session.pk, game.pk])).content.decode()
    assert "even by age alone" in page


def test_an_empty_register_sends_there_first(cast: Cast) -> None:
    page = cast.client(cast.hazel).get(reverse("games:games", args=[cast.session.pk])).content.decode()
    assert "take the register first" in page
    assert reverse("register:register", args=[cast.session.pk]) in page
