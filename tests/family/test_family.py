"""A guardian's pages: own children, what is to come, where they have been, and "cannot come"."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import queries
from clubapp.register.models import Mark
from tests.cast import Cast, make_child, make_session
from tests.register.field import say

HOME = reverse("family:home")


def coming(cast: Cast) -> Session:
    """A session next week."""
    session = make_session(cast.club, cast.squad)
    session.date += timedelta(days=7)
    session.save()
    return session


def address(child: Athlete, session: Session) -> str:
    return reverse("family:cannot_come", args=[child.pk, session.pk])


def tell(cast: Cast, session: Session, **data: Any) -> HttpResponse:
    return cast.client(cast.greta).post(address(cast.ada, session), {"op_id": uuid.uuid4(), **data})


def child_page(cast: Cast) -> str:
    return cast.client(cast.greta).get(reverse("family:child", args=[cast.ada.pk])).content.decode()


# --- who sees what ----------------------------------------------------------------------------------------------------


def test_access(cast: Cast) -> None:
    session = coming(cast)
    assert cast.client().get(HOME).status_code == 302
    for path in (reverse("family:child", args=[cast.ada.pk]), address(cast.ada, session)):
        assert cast.client().post(path).status_code == 302
        for name in ("sal", "olga", "gus", "hazel", "finn", "wanda"):
            client = cast.client(getattr(cast, name))
            assert {client.get(path).status_code, client.post(path).status_code} <= {404, 405}, name
    assert not Mark.objects.exists()


def test_the_home_page_names_own_children_and_no_other(cast: Cast) -> None:
    coming(cast)
    for child in cast.athletes:
        say(cast, child, "here")
    for path in (HOME, reverse("family:child", args=[cast.ada.pk])):
        html = cast.client(cast.greta).get(path).content.decode()
        assert "Ada" in html
        for name in ("Cleo", "Dev", "Eli", "Fay", "Zed"):
            assert name not in html
    assert "Bo" in cast.client(cast.greta).get(HOME).content.decode()


def test_somebody_without_children_is_told_what_to_do(cast: Cast) -> None:
    assert "No child is tied to your account" in cast.client(cast.sal).get(HOME).content.decode()


def test_a_child_who_left_is_not_shown(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(left_on=cast.club.today())
    client = cast.client(cast.greta)
    assert client.get(reverse("family:child", args=[cast.ada.pk])).status_code == 404


def test_sessions_of_other_squads_are_not_shown(cast: Cast) -> None:
    other = make_session(cast.club, cast.club.squads.create(name="Tuesday"))
    other.date += timedelta(days=3)
    other.save()
    assert f"{other.date:%-d %b}" not in child_page(cast)
    assert tell(cast, other).status_code == 404
    assert tell(cast, cast.other_session).status_code == 404


# --- attendance -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "more", "words"),
    [
        ("here", {}, "here"),
        ("late", {}, "here, came late"),
        ("easy", {"leave_out": ("jumps",), "word": "looks tired"}, "here, went easy"),
        ("left", {"with_whom": "Gran"}, "here, has gone"),
        ("absent", {"word": "no call"}, "not here"),
    ],
)
def test_the_register_in_the_familys_words(cast: Cast, kind: str, more: dict[str, Any], words: str) -> None:
    say(cast, cast.ada, kind, **more)
    html = child_page(cast)
    assert f'{cast.session.date:%a %-d %b %Y}</span><span class="row-side">{words}</span>' in html
    # A coach's remark is not the family's to read.
    assert more.get("word", "never written") not in html


def test_past_sessions_come_with_their_dates_the_latest_first(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    earlier = make_session(cast.club, cast.squad)
    earlier.date -= timedelta(days=7)
    earlier.save()
    today = cast.session
    object.__setattr__(cast, "session", earlier)
    say(cast, cast.ada, "absent")
    html = child_page(cast)
    assert html.index(f"{today.date:%a %-d %b %Y}") < html.index(f"{earlier.date:%a %-d %b %Y}")


def test_an_unmarked_session_says_nothing(cast: Cast) -> None:
    assert "Nothing yet" in child_page(cast)


# --- cannot come ------------------------------------------------------------------------------------------------------


def test_a_notice_reaches_the_register(cast: Cast) -> None:
    session = coming(cast)
    assert tell(cast, session, word="school play").status_code == 302
    mark = queries.current_marks(session.pk)[cast.ada.pk]
    assert (mark.kind, mark.by_guardian, mark.word, mark.by_name) == ("told", True, "school play", "Greta")
    page = cast.client(cast.finn).get(reverse("register:register", args=[session.pk])).content.decode()
    assert "told us: cannot come – school play" in page
    assert "you told us: cannot come – school play" in child_page(cast)


def test_a_notice_is_taken_back(cast: Cast) -> None:
    session = coming(cast)
    tell(cast, session)
    tell(cast, session, comes="yes")
    assert queries.current_marks(session.pk) == {}
    assert Mark.objects.count() == 2
    assert "Ada cannot come" in child_page(cast)


def test_taking_back_leaves_what_an_adult_marked(cast: Cast) -> None:
    session = coming(cast)
    object.__setattr__(cast, "session", session)
    say(cast, cast.ada, "absent")
    tell(cast, session)
    tell(cast, session, comes="yes")
    assert queries.current_marks(session.pk)[cast.ada.pk].kind == "absent"


def test_sent_twice_counts_once(cast: Cast) -> None:
    session, op_id = coming(cast), uuid.uuid4()
    for _ in range(2):
        tell(cast, session, op_id=op_id)
    assert Mark.objects.count() == 1
    client = cast.client(cast.greta)
    bo = cast.athletes[1]
    answer = client.post(address(bo, session), {"op_id": op_id})
    assert "Try once more" in client.get(answer["Location"]).content.decode()
    assert Mark.objects.count() == 1


def test_a_session_that_is_over_takes_no_notice(cast: Cast) -> None:
    cast.session.date -= timedelta(days=1)
    cast.session.save()
    client = cast.client(cast.greta)
    answer = client.post(address(cast.ada, cast.session))
    assert "This session is over." in client.get(answer["Location"]).content.decode()
    assert not Mark.objects.exists()


@pytest.mark.parametrize("bad", [{"op_id": "7"}, {"word": "w" * 201}])
def test_bad_input_is_refused_in_words(cast: Cast, bad: dict[str, str]) -> None:
    session, client = coming(cast), cast.client(cast.greta)
    answer = client.post(address(cast.ada, session), bad)
    assert "That was not sent" in client.get(answer["Location"]).content.decode()
    assert not Mark.objects.exists()


def test_a_called_off_session_says_so_and_asks_nothing(cast: Cast) -> None:
    cast.session.delete()
    session = coming(cast)
    session.called_off = True
    session.save()
    html = child_page(cast)
    assert "called off" in html
    assert "cannot come" not in html


def test_a_guardian_marks_nobody_elses_child(cast: Cast) -> None:
    session = coming(cast)
    ivo = make_child(cast.club, cast.squad, "Ivo")
    assert cast.client(cast.greta).post(address(ivo, session)).status_code == 404
    assert not Mark.objects.exists()


def test_a_phone_that_sends_from_its_queue_gets_the_sentence(cast: Cast) -> None:
    session = coming(cast)
    path = address(cast.ada, session)
    client, data = cast.client(cast.greta), {"op_id": str(uuid.uuid4()), "word": "flu", "device": "phone-1"}
    told = client.post(path, data, headers={"Accept": "application/json"})
    assert (told.status_code, told.json()) == (200, {"said": "The coaches know that Ada cannot come."})
    assert session.marks.get().device == "phone-1"
    bad = client.post(path, {"word": "x" * 201}, headers={"Accept": "application/json"})
    assert bad.status_code == 422
    assert "under 200 letters" in bad.json()["error"]
