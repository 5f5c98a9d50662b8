"""The rest are not here: touches nobody about whom anything was said, and never says "here"."""

from __future__ import annotations

import uuid
from datetime import timedelta

from django.test import Client
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.planning.models import Session
from clubapp.register import actions
from clubapp.register.actions import Tap
from clubapp.register.models import Mark
from tests.cast import Cast
from tests.register.field import address, kinds, only_those_who_work_here, say

SAID = {"Ada": "here", "Bo": "easy", "Cleo": "told", "Dev": "left"}


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("rest_not_here", cast.session), {"op_id": str(uuid.uuid4())})


def take(cast: Cast) -> None:
    """Four of six children have a mark of their own kind; one is told by a guardian."""
    say(cast, cast.athletes[0], "here")
    say(cast, cast.athletes[1], "easy", leave_out=("jumps",))
    actions.tell_cannot_come(session=cast.session, athlete=cast.athletes[2], word="", tap=Tap(cast.gus))
    say(cast, cast.athletes[3], "left", with_whom="Rob")


def rest(client: Client, session: Session, **more: object) -> None:
    data = {"base_version": version_of(session.pk), "op_id": uuid.uuid4(), **more}
    assert client.post(address("rest_not_here", session), data).status_code == 302


def test_only_the_unmarked_are_touched(cast: Cast) -> None:
    take(cast)
    rest(cast.client(cast.finn), cast.session)
    assert kinds(cast.session) == SAID | {"Eli": "absent", "Fay": "absent"}


def test_it_can_be_undone_and_undoes_nothing_else(cast: Cast) -> None:
    take(cast)
    client = cast.client(cast.hazel)
    rest(client, cast.session)
    say(cast, cast.athletes[4], "here")  # Eli came after all
    html = client.get(address("register", cast.session)).content.decode()
    assert "2 children marked not here." in html
    op_id = client.session["rest"]["op_id"]
    client.post(address("undo", cast.session), {"rest": op_id})
    assert kinds(cast.session) == SAID | {"Eli": "here"}
    assert "Undo “the rest are not here”" not in client.get(address("register", cast.session)).content.decode()


def test_sent_twice_touches_nobody_the_second_time(cast: Cast) -> None:
    take(cast)
    client, same = cast.client(cast.hazel), {"op_id": uuid.uuid4(), "base_version": version_of(cast.session.pk)}
    rest(client, cast.session, **same)
    client.post(address("undo", cast.session), {"athlete": cast.athletes[4].pk})
    before = Mark.objects.count()
    rest(client, cast.session, **same)
    assert Mark.objects.count() == before
    assert kinds(cast.session) == SAID | {"Fay": "absent"}


def test_a_mark_made_since_the_page_was_shown_stays(cast: Cast) -> None:
    seen = version_of(cast.session.pk)
    say(cast, cast.ada, "here", by=cast.finn)
    actions.take_back_mark(session=cast.session, athlete=cast.ada, tap=Tap(cast.finn))
    rest(cast.client(cast.hazel), cast.session, base_version=seen)
    assert "Ada" not in kinds(cast.session)


def test_everybody_marked_says_so(cast: Cast) -> None:
    for child in cast.athletes:
        say(cast, child, "here")
    client = cast.client(cast.hazel)
    rest(client, cast.session)
    assert "Everybody was marked already." in client.get(address("register", cast.session)).content.decode()
    assert set(kinds(cast.session).values()) == {"here"}


def test_a_tap_of_here_still_on_its_way_stays_against_it(cast: Cast) -> None:
    """An assistant tapped Ada without a network before the coach said that the rest are not here: both see it."""
    rest(cast.client(cast.hazel), cast.session)
    early = Tap(cast.finn, device="b", tapped_at=timezone.now() - timedelta(minutes=1))
    actions.mark_here(session=cast.session, athlete=cast.ada, tap=early)
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "changed by Finn and Hazel – check" in html


def test_bad_input_is_refused(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(address("rest_not_here", cast.session), {"base_version": "soon"})
    assert answer.status_code == 422
    assert not Mark.objects.exists()
