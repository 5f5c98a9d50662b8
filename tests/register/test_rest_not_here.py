"""The rest are not here: touches nobody about whom anything was said, and never says "here"."""

from __future__ import annotations

import uuid
from datetime import timedelta

from django.test import Client
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import actions
from clubapp.register.actions import Tap
from clubapp.register.models import Mark
from tests.cast import Cast
from tests.register.field import HTMX, address, kinds, only_those_who_work_here, say

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
    assert f'data-children="{cast.athletes[5].pk}">' in html  # for a phone whose network goes now
    op_id = client.session["rest"]["op_id"]
    client.post(address("undo", cast.session), {"rest": op_id})
    assert kinds(cast.session) == SAID | {"Eli": "here"}
    assert 'data-children="" hidden>' in client.get(address("register", cast.session)).content.decode()


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


def part(cast: Cast, name: str, child: Athlete, rest_id: uuid.UUID, **more: object) -> None:
    """As the head coach's phone sends it that had no network: each child by itself."""
    data = {"athlete": child.pk, "kind": "absent", "rest": rest_id, "op_id": uuid.uuid4(), "device": "a", **more}
    answer = cast.client(cast.hazel).post(address(name, cast.session), data, headers=HTMX)
    assert f'id="mark-{child.pk}"' in answer.content.decode()


def test_a_child_s_part_from_a_phone_without_a_network_touches_nobody_who_was_marked_meanwhile(cast: Cast) -> None:
    ada, bo, cleo = cast.athletes[:3]
    rest_id, seen = uuid.uuid4(), version_of(cast.session.pk)
    say(cast, ada, "here", by=cast.finn)
    actions.tell_cannot_come(session=cast.session, athlete=bo, word="", tap=Tap(cast.gus))
    for _again in range(2):
        for child in (ada, bo, cleo):
            part(cast, "mark", child, rest_id, base_version=seen)
    assert kinds(cast.session) == {"Ada": "here", "Bo": "told", "Cleo": "absent"}
    rest(cast.client(cast.hazel), cast.session, op_id=rest_id)  # the whole of it was late on its way
    assert Mark.objects.filter(athlete=cleo).count() == 1


def test_a_child_s_part_is_undone_unless_somebody_marked_the_child_since(cast: Cast) -> None:
    ada, bo = cast.athletes[:2]
    rest_id = uuid.uuid4()
    rest(cast.client(cast.hazel), cast.session, op_id=rest_id)
    say(cast, ada, "here", by=cast.finn)
    for child in (ada, bo):
        part(cast, "undo", child, rest_id)
    wanted = dict.fromkeys(("Cleo", "Dev", "Eli", "Fay"), "absent")
    assert kinds(cast.session) == wanted | {"Ada": "here"}


def test_said_undone_and_said_again_on_one_phone_before_the_club_heard_any_of_it(cast: Cast) -> None:
    seen = version_of(cast.session.pk)
    first, second = uuid.uuid4(), uuid.uuid4()
    for name, rest_id in (("mark", first), ("undo", first), ("mark", second)):
        part(cast, name, cast.ada, rest_id, base_version=seen)
    assert kinds(cast.session) == {"Ada": "absent"}


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
