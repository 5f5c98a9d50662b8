"""Families hear that a session is called off or moved, say that they know, and the coach sees who did not."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.people import actions as people
from clubapp.people.models import Guardian, Guardianship
from clubapp.planning import actions
from clubapp.planning.actions import SessionDetails
from clubapp.planning.models import NoticeSeen, Session
from tests.cast import Cast


def coming(cast: Cast) -> Session:
    """The session next week, and an e-mail for each guardian."""
    for row in Guardian.objects.filter(club=cast.club):
        Guardian.objects.filter(pk=row.pk).update(email=f"{row.pk.hex[:6]}@alder.example", phone="01632 960 111")
    Session.objects.filter(pk=cast.session.pk).update(date=cast.club.today() + timedelta(days=7))
    return Session.objects.select_related("club", "squad").get(pk=cast.session.pk)


def test_each_guardian_is_written_to_once_and_no_letter_names_a_child(cast: Cast) -> None:
    session = coming(cast)
    restricted = Guardianship.objects.get(guardian__user=cast.gus)
    details = people.GuardianDetails(name="Gus", email="gus@alder.example", restricted=True)
    people.change_guardian(tie=restricted, details=details, by=cast.hazel)
    actions.call_off_session(session=session, off=True, by=cast.hazel)
    letters = list(Outbox.objects.filter(kind="session changed"))
    wanted = Guardian.objects.filter(children__athlete__squads=cast.squad).exclude(pk=restricted.guardian_id)
    assert sorted(row.person for row in letters) == sorted({row.pk for row in wanted})  # Greta once, for two children
    names = [name for child in cast.athletes for name in (child.given_name, child.family_name)]
    assert not [name for row in letters for name in names if name in row.subject + row.text]
    assert all("called off" in row.subject.lower() and row.until == session.starts_at for row in letters)
    actions.call_off_session(session=session, off=True, by=cast.hazel)  # pressed twice
    assert Outbox.objects.filter(kind="session changed").count() == len(letters)


def test_moved_is_told_and_what_is_over_or_no_business_of_theirs_is_not(cast: Cast) -> None:
    session = coming(cast)
    kept = {name: getattr(session, name) for name in ("date", "starts", "minutes", "place")}
    actions.change_session(session=session, details=SessionDetails(**kept, adults=9), by=cast.hazel)
    assert not Outbox.objects.filter(kind="session changed").exists()
    moved = {**kept, "date": session.date + timedelta(days=1), "place": "Mill hall"}
    actions.change_session(session=session, details=SessionDetails(**moved), by=cast.hazel)
    letter = Outbox.objects.filter(kind="session changed")[0]
    assert "is moved to" in letter.text
    assert "Mill hall" in letter.text
    many = Outbox.objects.count()
    Session.objects.filter(pk=session.pk).update(date=cast.club.today() - timedelta(days=2))
    actions.call_off_session(session=Session.objects.get(pk=session.pk), off=True, by=cast.hazel)
    assert Outbox.objects.count() == many


def test_a_family_says_that_it_knows_and_each_change_asks_anew(cast: Cast) -> None:
    session = coming(cast)
    know = reverse("family:know", args=[cast.ada.pk, session.pk])
    page = reverse("register:told", args=[session.pk])
    for name in ("sal", "gus", "finn", "olga"):
        assert cast.client(getattr(cast, name)).post(know).status_code == 404, name
        assert cast.client(getattr(cast, name)).get(page).status_code == 404, name
    assert not NoticeSeen.objects.exists()
    home = cast.client(cast.greta)
    assert know not in home.get(reverse("family:home")).content.decode()  # nothing was changed yet
    actions.call_off_session(session=session, off=True, by=cast.hazel)
    assert know in home.get(reverse("family:home")).content.decode()
    waiting, confirmed = cast.client(cast.hazel).get(page).content.decode().split("Confirmed")
    assert cast.ada.full_name in waiting
    assert "tel:01632960111" in waiting
    assert home.post(know).status_code == 302
    assert know not in home.get(reverse("family:home")).content.decode()
    waiting, confirmed = cast.client(cast.hazel).get(page).content.decode().split("Confirmed")
    assert cast.ada.full_name in confirmed
    assert cast.ada.full_name not in waiting
    assert AuditLog.objects.filter(verb="read", kind="contacts", about=cast.ada.pk, user=cast.hazel).exists()
    actions.call_off_session(session=session, off=False, by=cast.hazel)
    assert know in home.get(reverse("family:home")).content.decode()
