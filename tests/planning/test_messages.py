"""Messages from the head coach: to the families of a squad or a session, each by itself, and to no restricted adult."""

from __future__ import annotations

import pytest
from django.http import HttpResponse
from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.people import actions as people
from clubapp.people.models import Guardianship
from clubapp.planning.models import ClubMessage
from tests.cast import Cast, SquadFactory, UserFactory, make_child, make_guardian

pytestmark = pytest.mark.django_db
PAGE = reverse("planning:messages")
WORDS = "Bring a warm coat on Saturday."


def write(cast: Cast, to: object, text: str = WORDS) -> HttpResponse:
    return cast.client(cast.hazel).post(PAGE, {"to": str(to), "text": text})


def seen(cast: Cast, who: object, page: str = "family:home") -> str:
    return cast.client(who).get(reverse(page)).content.decode()  # type: ignore[arg-type]


def test_access(cast: Cast) -> None:
    assert cast.client().get(PAGE).status_code == 302
    for name in ("sal", "greta", "finn", "wanda"):
        client = cast.client(getattr(cast, name))
        sent = client.post(PAGE, {"to": str(cast.squad.pk), "text": WORDS})
        assert {client.get(PAGE).status_code, sent.status_code} == {404}, name
    foreign = cast.client(cast.olga).post(PAGE, {"to": str(cast.squad.pk), "text": WORDS})
    assert foreign.status_code == 422
    assert not ClubMessage.objects.exists()


def test_each_family_by_itself_and_no_restricted_adult(cast: Cast) -> None:
    """Greta has two children in the squad and gets one mail; another squad's family and a restricted adult get none."""
    rolf, tess = UserFactory(name="Rolf"), UserFactory(name="Tess")
    make_guardian(cast.club, rolf, (cast.ada,))
    tuesday = SquadFactory(club=cast.club, name="Tuesday")
    make_guardian(cast.club, tess, (make_child(cast.club, tuesday, "Ivo"),))
    tie = Guardianship.objects.get(guardian__user=rolf)
    details = people.GuardianDetails("Rolf", email=rolf.email, restricted=True)
    people.change_guardian(tie=tie, details=details, by=cast.hazel)
    answer = cast.client(cast.hazel).post(PAGE, {"to": str(cast.squad.pk), "text": WORDS}, follow=True)
    assert "2 mails go out." in answer.content.decode()
    mails = Outbox.objects.filter(kind="message")
    assert sorted(mail.to for mail in mails) == sorted([cast.greta.email, cast.gus.email])
    addresses = {user.email for user in (cast.greta, cast.gus, rolf, tess)}
    for mail in mails:
        assert WORDS in mail.text
        assert not [one for one in addresses if one in mail.text + mail.subject]
    for page in ("family:home", "family:messages"):
        assert WORDS in seen(cast, cast.greta, page)
        assert WORDS not in seen(cast, tess, page)
    assert WORDS not in seen(cast, rolf)
    assert cast.client(rolf).get(reverse("family:messages")).status_code == 404
    assert [row.about for row in AuditLog.objects.filter(kind="message", verb="wrote")] == [cast.squad.pk]
    # Restricted later: what was written before is seen no more, and what waits is taken back.
    tie = Guardianship.objects.get(guardian__user=cast.gus)
    people.change_guardian(tie=tie, details=people.GuardianDetails("Gus", restricted=True), by=cast.hazel)
    assert WORDS not in seen(cast, cast.gus)
    assert [mail.to for mail in Outbox.objects.filter(kind="message")] == [cast.greta.email]


def test_of_a_session_and_what_is_missing_is_named(cast: Cast) -> None:
    assert write(cast, cast.session.pk).status_code == 302
    assert ClubMessage.objects.get().session == cast.session
    assert f"{cast.squad.name}, for {cast.session.date:%a %-d %b}" in seen(cast, cast.greta)
    page = cast.client(cast.hazel).get(f"{PAGE}?to={cast.session.pk}").content.decode()
    assert f'<option value="{cast.session.pk}" selected>' in page
    for to, text in (("", WORDS), (cast.other_session.pk, WORDS), (cast.squad.pk, " "), (cast.squad.pk, "x" * 1501)):
        answer = write(cast, to, text)
        assert (answer.status_code, "Nothing is saved yet" in answer.content.decode()) == (422, True)
    assert ClubMessage.objects.count() == 1
