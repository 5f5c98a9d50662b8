"""Somebody else takes a child home today: asked for by a guardian, nothing until the leader has confirmed it."""

from __future__ import annotations

from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog, Outbox
from clubapp.people import actions as people
from clubapp.people.models import Guardianship
from clubapp.planning.models import Session
from clubapp.register.models import Mark, PickUp
from tests.cast import Cast, UserFactory, make_guardian
from tests.register.field import address, kinds, only_those_who_work_here, say, tap

pytestmark = pytest.mark.django_db
WISH = {"name": "Rosa Field", "relation": "aunt", "phone": "+447700900188"}


def ask(cast: Cast, user: Any = None, **changed: str) -> HttpResponse:
    path = reverse("family:pick_up", args=[cast.ada.pk, cast.session.pk])
    return cast.client(user or cast.greta).post(path, {**WISH, **changed})


def decide(cast: Cast, say: str = "yes", user: Any = None) -> HttpResponse:
    row = PickUp.objects.latest("asked_at")
    return cast.client(user or cast.hazel).post(address("pick_up", cast.session, row.pk), {"say": say})


def going(cast: Cast, user: Any = None) -> str:
    html = cast.client(user or cast.hazel).get(address("going_home", cast.session)).content.decode()
    return html.split(f'id="row-{cast.ada.pk}"')[1].split("</li>")[0]


def go(cast: Cast) -> Any:
    row = PickUp.objects.latest("asked_at")
    client, queue = cast.client(cast.finn), {"Accept": "application/json"}
    return tap(client, cast.session, cast.ada, kind="left", went=row.pk, headers=queue).status_code


def mails() -> list[tuple[str, str]]:
    return [(row.to, row.text) for row in Outbox.objects.filter(kind="pick-up").order_by("made_at")]


@pytest.fixture
def father(cast: Cast) -> Any:
    """Another adult of Ada's with full rights."""
    user = UserFactory(name="Mark Reed")
    make_guardian(cast.club, user, (cast.ada,))
    return user


def restrict(cast: Cast, user: Any) -> None:
    tie = Guardianship.everyone.get(guardian__user=user, athlete=cast.ada)
    details = people.GuardianDetails(tie.guardian.name, tie.guardian.phone, tie.guardian.email, restricted=True)
    people.change_guardian(tie=tie, details=details, by=cast.hazel)


def test_access(cast: Cast) -> None:
    path = reverse("family:pick_up", args=[cast.ada.pk, cast.session.pk])
    assert cast.client().get(path).status_code == 302
    for name in ("sal", "olga", "gus", "hazel", "finn", "wanda"):
        client = cast.client(getattr(cast, name))
        assert {client.get(path).status_code, client.post(path, WISH).status_code} == {404}, name
    assert not PickUp.objects.exists()
    ask(cast)
    only_those_who_work_here(
        cast, address("pick_up", cast.session, PickUp.objects.get().pk), {"say": "yes"}, finn=False
    )
    assert decide(cast, user=cast.olga).status_code == 404
    assert PickUp.objects.get().state == "asked"


def test_nothing_until_the_leader_has_confirmed_it(cast: Cast, father: Any) -> None:
    say(cast, cast.ada, "here")
    assert ask(cast).status_code == 302
    assert "Asked for, not confirmed" in going(cast)
    assert "Rosa" not in going(cast, cast.finn)
    assert f"with {WISH['name']}" not in going(cast)
    assert go(cast) == 422
    assert kinds(cast.session) == {"Ada": "here"}
    register = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "A guardian asks that somebody else takes a child home" in register
    decide(cast)
    assert "with Rosa Field" in going(cast, cast.finn)
    rung = cast.client(cast.hazel).get(address("emergency", cast.session)).content.decode()
    assert rung.count(WISH["phone"]) == 2  # the link and its words
    assert go(cast) == 200
    mark = Mark.objects.latest("tapped_at")
    assert (mark.went, mark.with_whom, mark.collector_id) == ("adult", "Rosa Field", None)
    # Only today, only this child.
    assert (
        "Rosa" not in cast.client(cast.finn).get(address("register", cast.session)).content.decode().split("Bo Reed")[1]
    )
    assert [row.verb for row in AuditLog.objects.filter(kind="pick-up").order_by("pk")] == ["asked", "confirmed"]


def test_the_others_are_told_and_nobody_is_named(cast: Cast, father: Any) -> None:
    rolf = UserFactory(name="Rolf Stone")
    make_guardian(cast.club, rolf, (cast.ada,))
    restrict(cast, rolf)
    ask(cast)
    assert [to for to, _text in mails()] == [father.email]
    decide(cast)
    assert sorted(to for to, _text in mails()[1:]) == sorted([father.email, cast.greta.email])
    for _to, text in mails():
        assert not [word for word in ("Rosa", "Ada", "Greta", "aunt") if word in text]
    home = reverse("family:home")
    begun = timezone.now().astimezone(cast.club.zone)  # what is over is not shown, at whatever hour this runs
    Session.objects.filter(pk=cast.session.pk).update(date=begun.date(), starts=begun.time())
    assert "You asked that Rosa Field takes your child home – the club has confirmed it" in (
        cast.client(cast.greta).get(home).content.decode()
    )
    seen = cast.client(father).get(home).content.decode()
    assert "Another adult asked that somebody else takes your child home" in seen
    assert "Rosa" not in seen
    path = reverse("family:pick_up", args=[cast.ada.pk, cast.session.pk])
    assert {cast.client(rolf).get(path).status_code, ask(cast, rolf).status_code} == {404}
    assert "takes your child home" not in cast.client(rolf).get(home).content.decode()


def test_refused_taken_back_and_restricted_ones_are_nobody(cast: Cast, father: Any) -> None:
    say(cast, cast.ada, "here")
    ask(cast)
    decide(cast, "no")
    assert (go(cast), "Rosa" in going(cast)) == (422, False)
    ask(cast)
    decide(cast)
    assert "Rosa" in going(cast)
    ask(cast, name="Tom Field")  # another instead: that one has to be confirmed anew
    assert ("with Rosa" in going(cast), "with Tom" in going(cast), "Tom Field" in going(cast)) == (False, False, True)
    path = reverse("family:pick_up", args=[cast.ada.pk, cast.session.pk])
    cast.client(cast.greta).post(path, {"back": "yes"})
    assert "Tom" not in going(cast)
    answer = cast.client(cast.hazel).get(decide(cast)["Location"].split("#")[0]).content.decode()
    assert "with Tom" not in answer
    # Whoever asked and may not see the child any more asked for nothing, confirmed or not.
    ask(cast, father)
    decide(cast)
    assert "with Rosa" in going(cast)
    restrict(cast, father)
    assert (go(cast), "Rosa" in going(cast)) == (422, False)


def test_who_may_have_no_contact_is_never_confirmed(cast: Cast) -> None:
    rolf = UserFactory(name="Rolf Stone")
    make_guardian(cast.club, rolf, (cast.ada,)).__class__.objects.filter(user=rolf).update(phone="07700 900188")
    restrict(cast, rolf)
    for name, phone in (("rolf stone", ""), ("Rolf", ""), ("Somebody Else", "+44 7700 900188")):
        ask(cast, name=name, phone=phone)
        decide(cast)
        assert PickUp.objects.latest("asked_at").state == "asked", name
    assert AuditLog.objects.filter(verb="could not confirm").count() == 3


def test_what_was_not_said_is_named(cast: Cast) -> None:
    client, path = cast.client(cast.greta), reverse("family:pick_up", args=[cast.ada.pk, cast.session.pk])
    answer = client.post(path, {"name": "Rosa Field", "relation": "", "phone": "ring me"})
    html = answer.content.decode()
    assert (answer.status_code, 'value="Rosa Field"' in html, "A phone number has digits" in html) == (422, True, True)
    cast.session.called_off = True
    cast.session.save()
    assert ask(cast).status_code == 404
    assert not PickUp.objects.exists()
