"""The adults on a child's page, and their one-time link."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.people import access, actions
from clubapp.people.consents import goes_alone
from clubapp.people.models import Guardian, Guardianship, OneTimeLink
from clubapp.people.queries import collectors
from clubapp.register.actions import read_contacts, read_emergency_numbers
from tests.cast import Cast
from tests.people.access import for_no_club, only_the_head_coach

ADULT = {"name": "Iris Marsh", "relation": "aunt", "phone": "+44 7700 900456", "emergency_order": "1"}


def tie_of(cast: Cast, name: str = "Greta") -> Guardianship:
    return Guardianship.objects.get(athlete=cast.ada, guardian__name=name)


def path(name: str, tie: Guardianship) -> str:
    return reverse(f"people:{name}", args=[tie.athlete_id, tie.guardian_id])


def add(cast: Cast, **more: Any):
    return cast.client(cast.hazel).post(reverse("people:guardian_new", args=[cast.ada.pk]), ADULT | more)


def test_only_the_head_coach_sees_the_pages(cast: Cast) -> None:
    tie = tie_of(cast)
    only_the_head_coach(cast, reverse("people:guardian_new", args=[cast.ada.pk]), ADULT)
    for name in ("guardian", "guardian_remove"):
        only_the_head_coach(cast, path(name, tie), ADULT)
    only_the_head_coach(cast, reverse("people:guardian_link", args=[tie.guardian_id]))
    assert cast.ada.adults.count() == 1


def test_a_new_adult_may_not_collect_unless_ticked(cast: Cast) -> None:
    add(cast)
    assert tie_of(cast, "Iris Marsh").may_collect is False
    add(cast, name="Otto", may_collect="on")
    assert tie_of(cast, "Otto").may_collect is True
    assert AuditLog.objects.filter(verb="made", kind="guardian", about=cast.ada.pk).count() == 2


def test_an_adult_known_from_a_brother_is_one_adult(cast: Cast) -> None:
    gus = Guardian.objects.get(name="Gus")
    add(cast, known=str(gus.pk), name="", phone="")
    assert tie_of(cast, "Gus").guardian == gus
    gus.refresh_from_db()
    assert gus.phone == "+447700900123"


def test_bad_input_names_the_field(cast: Cast) -> None:
    assert "name" in add(cast, name="").context["form"].errors
    assert "phone" in add(cast, phone="ask me").context["form"].errors
    assert "emergency_order" in add(cast, emergency_order="0").context["form"].errors
    assert "known" in add(cast, known=str(cast.ada.pk)).context["form"].errors
    assert cast.ada.adults.count() == 1


def test_changing_an_adult(cast: Cast) -> None:
    tie = tie_of(cast)
    answer = cast.client(cast.hazel).post(path("guardian", tie), ADULT)
    assert answer.status_code == 302
    tie.refresh_from_db()
    assert (tie.relation, tie.may_collect, tie.guardian.name) == ("aunt", False, "Iris Marsh")


def test_a_removed_adult_sees_the_child_no_more(cast: Cast) -> None:
    tie = tie_of(cast)
    cast.client(cast.hazel).post(path("guardian_remove", tie))
    assert list(access.children_of(cast.greta)) == [cast.athletes[1]]
    other = Guardianship.objects.get(guardian=tie.guardian)
    cast.client(cast.hazel).post(path("guardian_remove", other))
    assert not Guardian.objects.filter(pk=tie.guardian_id).exists()


def test_an_adult_of_another_child_is_not_found_on_this_one(cast: Cast) -> None:
    gus = Guardian.objects.get(name="Gus")
    address = reverse("people:guardian", args=[cast.ada.pk, gus.pk])
    assert cast.client(cast.hazel).get(address).status_code == 404


def test_the_link_is_shown_once_and_kept_from_caches(cast: Cast) -> None:
    add(cast)
    adult = Guardian.objects.get(name="Iris Marsh")
    address = reverse("people:guardian_link", args=[adult.pk])
    assert cast.client(cast.hazel).get(address).status_code == 405
    page = cast.client(cast.hazel).post(address)
    assert (page["Cache-Control"], page["Referrer-Policy"]) == ("no-store", "no-referrer")
    link = page.context["address"]
    assert link in page.content.decode()
    assert cast.client().get(link.removeprefix("http://testserver")).status_code == 200


def test_an_adult_with_an_account_gets_no_new_link(cast: Cast) -> None:
    tie = tie_of(cast)
    answer = cast.client(cast.hazel).post(reverse("people:guardian_link", args=[tie.guardian_id]))
    assert answer.status_code == 302
    assert not OneTimeLink.objects.exists()


def test_removing_an_invited_adult_ends_the_invitation(cast: Cast) -> None:
    add(cast)
    tie = tie_of(cast, "Iris Marsh")
    link = actions.invite_guardian(guardian=tie.guardian, by=cast.hazel)
    actions.remove_guardian(tie=tie, by=cast.hazel)
    assert cast.client().get(link).status_code == 404


def restrict(cast: Cast, name: str = "Greta", **more: str) -> None:
    tie = tie_of(cast, name)
    answer = cast.client(cast.hazel).post(path("guardian", tie), ADULT | {"name": name, "restricted": "on"} | more)
    assert answer.status_code == 302


def test_a_restricted_adult_sees_receives_and_decides_nothing_at_once(cast: Cast) -> None:
    family = cast.client(cast.greta)
    actions.record_consent(tie=tie_of(cast), kind="goes_alone", given=True, by=cast.hazel)
    own = reverse("family:child", args=[cast.ada.pk])
    assert family.get(own).status_code == 200
    assert goes_alone([cast.ada.pk]) == {cast.ada.pk}
    restrict(cast)
    assert family.get(own).status_code == 404
    told = reverse("family:cannot_come", args=[cast.ada.pk, cast.session.pk])
    assert family.post(told, {"word": "flu"}).status_code == 404
    home = family.get(reverse("family:home")).content.decode()
    assert ("Ada" in home, "Bo" in home) == (False, True)
    assert collectors([cast.ada.pk]) == {}
    assert goes_alone([cast.ada.pk]) == set()
    numbers = read_emergency_numbers(session=cast.session, athlete_ids=[cast.ada.pk], every=True, by=cast.hazel)
    contacts = read_contacts(club_id=cast.club.pk, athlete_ids=[cast.ada.pk], by=cast.hazel)
    assert (numbers, contacts) == ({}, {cast.ada.pk: []})
    assert actions.export_athlete(athlete=cast.ada, by=cast.hazel)["people"]["adults"] == []
    assert AuditLog.objects.filter(verb="restricted", kind="guardian", about=cast.ada.pk).count() == 1


def test_the_head_coach_still_sees_and_lifts_a_restriction(cast: Cast) -> None:
    restrict(cast)
    client = cast.client(cast.hazel)
    assert "contact restricted" in client.get(reverse("people:athlete", args=[cast.ada.pk])).content.decode()
    tie = Guardianship.everyone.get(athlete=cast.ada, guardian__name="Greta")
    assert "page holds from before" in client.get(path("guardian", tie)).content.decode()
    client.post(path("guardian", tie), ADULT | {"name": "Greta"})
    assert set(access.children_of(cast.greta)) == set(cast.athletes[:2])
    assert AuditLog.objects.filter(verb="lifted restriction").count() == 1


def test_restricted_and_collecting_do_not_go_together(cast: Cast) -> None:
    data = ADULT | {"restricted": "on", "may_collect": "on"}
    page = cast.client(cast.hazel).post(path("guardian", tie_of(cast)), data)
    assert "may_collect" in page.context["form"].errors
    assert tie_of(cast).may_collect is True


def test_restricted_for_a_sister_is_restricted_for_the_brother_too(cast: Cast) -> None:
    restrict(cast)
    greta = Guardian.objects.get(name="Greta")
    add(cast, known=str(greta.pk), name="")  # refused: tied already, though the list shows it to nobody else
    dev = cast.athletes[3]
    data = ADULT | {"known": str(greta.pk), "name": "", "may_collect": "on"}
    cast.client(cast.hazel).post(reverse("people:guardian_new", args=[dev.pk]), data)
    tie = Guardianship.everyone.get(athlete=dev, guardian=greta)
    assert (tie.restricted, tie.may_collect) == (True, False)
    assert Guardianship.everyone.filter(athlete=cast.ada, guardian=greta).count() == 1


def test_an_adult_restricted_for_every_child_gets_no_link_and_an_old_one_is_void(cast: Cast) -> None:
    add(cast)
    iris = tie_of(cast, "Iris Marsh").guardian
    link = actions.invite_guardian(guardian=iris, by=cast.hazel)
    restrict(cast, "Iris Marsh")
    assert cast.client().get(link).status_code == 404
    assert cast.client(cast.hazel).post(reverse("people:guardian_link", args=[iris.pk])).status_code == 404
    actions.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Guardian.objects.filter(pk=iris.pk).exists()


def test_an_adult_is_asked_in_by_mail_and_a_restriction_takes_the_mail_back(cast: Cast) -> None:
    add(cast, email="iris@alder.example")
    iris = tie_of(cast, "Iris Marsh").guardian
    client, address = cast.client(cast.hazel), reverse("people:guardian_link", args=[iris.pk])
    for _ in range(2):
        assert client.post(address, {"by": "mail"}).status_code == 302
    mail = Outbox.objects.get()  # the newer one took the older one's place
    assert (mail.to, mail.person) == ("iris@alder.example", iris.pk)
    assert "Ada" not in mail.subject + mail.text
    link = next(word for word in mail.text.split() if "/invitation/" in word).removeprefix("http://testserver")
    assert cast.client().get(link).status_code == 200
    page = client.get(reverse("people:mails"))
    assert "iris@alder.example" in page.content.decode()
    restrict(cast, "Iris Marsh")
    assert not Outbox.objects.exists()


def test_only_the_head_coach_reads_mails(cast: Cast) -> None:
    for_no_club(cast, reverse("people:mails"))
