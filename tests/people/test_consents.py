"""Going home alone: only by a guardian's consent, written down, taken back, never by itself."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions, consents
from clubapp.people.models import Consent, Guardianship
from clubapp.register.actions import Tap, mark_here
from tests.cast import Cast
from tests.people.access import only_the_head_coach
from tests.rotation.evening import standing

ALONE = Consent.Kind.GOES_ALONE


def tie_of(cast: Cast) -> Guardianship:
    return Guardianship.objects.get(athlete=cast.ada, guardian__name="Greta")


def path(cast: Cast) -> str:
    return reverse("people:consent", args=[cast.ada.pk])


def send(cast: Cast, **more: Any) -> Any:
    data = {"kind": "goes_alone", "given": "yes", "guardian": tie_of(cast).pk} | more
    return cast.client(cast.hazel).post(path(cast), data, follow=True)


def test_only_the_head_coach_writes_it_down(cast: Cast) -> None:
    only_the_head_coach(cast, path(cast), {"kind": "goes_alone", "given": "yes", "guardian": tie_of(cast).pk})
    assert not Consent.objects.exists()


def test_nobody_goes_alone_by_default(cast: Cast) -> None:
    assert consents.goes_alone([child.pk for child in cast.athletes]) == set()
    html = cast.client(cast.hazel).get(reverse("people:athlete", args=[cast.ada.pk])).content.decode()
    assert "No: an adult who may collect has to come." in html


def test_a_consent_counts_for_that_child_until_it_is_taken_back(cast: Cast) -> None:
    answer = send(cast)
    assert "Yes, by a guardian" in answer.content.decode()
    assert consents.goes_alone([child.pk for child in cast.athletes]) == {cast.ada.pk}
    send(cast, given="no")
    assert consents.goes_alone([cast.ada.pk]) == set()
    rows = consents.history(cast.ada)
    assert [(row.given, row.guardian, row.by, row.wording) for row in rows] == [
        (given, tie_of(cast).guardian, cast.hazel, consents.WORDINGS[ALONE].version) for given in (False, True)
    ]
    kept = AuditLog.objects.filter(kind="consent goes_alone", about=cast.ada.pk)
    assert sorted(kept.values_list("verb", flat=True)) == ["given", "withdrawn"]


def test_it_ends_with_the_guardian_who_gave_it(cast: Cast) -> None:
    send(cast)
    actions.remove_guardian(tie=tie_of(cast), by=cast.hazel)
    assert consents.goes_alone([cast.ada.pk]) == set()


@pytest.mark.parametrize(
    "wrong", [{"given": "maybe"}, {"kind": "photos"}, {"guardian": ""}, {"guardian": "7"}], ids=str
)
def test_half_an_answer_is_none(cast: Cast, wrong: dict[str, str]) -> None:
    assert "That was not taken" in send(cast, **wrong).content.decode()
    assert not Consent.objects.exists()


def test_a_guardian_of_another_child_cannot_agree(cast: Cast) -> None:
    gus = Guardianship.objects.get(guardian__name="Gus")
    assert "That was not taken" in send(cast, guardian=gus.pk).content.decode()
    assert not Consent.objects.exists()


def test_the_family_gets_it_and_erasing_takes_it(cast: Cast) -> None:
    send(cast)
    kept = actions.export_athlete(athlete=cast.ada, by=cast.hazel)["people"]["consents"]
    assert [row["given"] for row in kept] == [True]
    assert not {"guardian", "written_down_by"} & kept[0].keys()  # other people are left out
    actions.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Consent.objects.exists()


def test_one_guardians_no_is_not_overruled_and_ends_with_the_tie(cast: Cast) -> None:
    other = actions.add_guardian(athlete=cast.ada, details=actions.GuardianDetails("Iris"), by=cast.hazel)
    actions.record_consent(tie=other, kind=ALONE, given=False, by=cast.hazel)
    actions.record_consent(tie=tie_of(cast), kind=ALONE, given=True, by=cast.greta)
    assert consents.goes_alone([cast.ada.pk]) == set()
    actions.remove_guardian(tie=other, by=cast.hazel)
    assert consents.goes_alone([cast.ada.pk]) == {cast.ada.pk}


def test_no_photos_unless_a_guardian_agreed_stands_wherever_children_are_named(cast: Cast) -> None:
    for child in cast.athletes[:3]:
        mark_here(session=cast.session, athlete=child, tap=Tap(cast.hazel))
    standing(cast, 1)
    finn, field = cast.client(cast.finn), cast.session.stations.earliest("number")
    paths = {
        "register": reverse("register:register", args=[cast.session.pk]),
        "station": reverse("live:station", args=[cast.session.pk, field.pk]),
        "sheet": reverse("desk:paper_session", args=[cast.session.pk]),
    }
    before = {name: finn.get(path).content.decode() for name, path in paths.items()}
    assert "No photos: of no child" in before["register"]
    assert all("No photos of anybody" in before[name] for name in ("station", "sheet"))
    cast.client(cast.greta).post(own(cast), {"kind": "photographs", "given": "yes"})
    assert consents.no_photos([cast.ada.pk]) == set()
    after = {name: finn.get(path).content.decode() for name, path in paths.items()}
    assert after["register"].count(">no photos<") == len(cast.athletes) - 1
    assert "No photos of Bo, Cleo." in " ".join(after["station"].split())
    assert "No photos of Bo, Cleo." in " ".join(after["sheet"].split())


def own(cast: Cast) -> str:
    return reverse("family:consents", args=[cast.ada.pk])


def test_guardians_keep_them_themselves_and_the_club_sees_the_history(cast: Cast) -> None:
    greta = cast.client(cast.greta)
    assert greta.get(own(cast)).content.decode().count("You have not answered yet.") == len(consents.WORDINGS)
    greta.post(own(cast), {"kind": "first_aid", "given": "yes"})
    greta.post(own(cast), {"kind": "first_aid", "given": "no"})
    rows = consents.history(cast.ada)
    assert [(row.kind, row.given, row.by) for row in rows] == [("first_aid", given, cast.greta) for given in (0, 1)]
    html = cast.client(cast.hazel).get(reverse("people:athlete", args=[cast.ada.pk])).content.decode()
    assert "First aid: no, or took it back, Greta" in " ".join(html.split())
    bad = greta.post(own(cast), {"kind": "ponies", "given": "yes"})
    assert (bad.status_code, Consent.objects.count()) == (422, 2)
    Guardianship.objects.filter(athlete=cast.ada).update(restricted=True, may_collect=False)
    for name in ("greta", "gus", "sal", "hazel", "olga"):
        assert cast.client(getattr(cast, name)).get(own(cast)).status_code == 404, name


def test_guardians_keep_their_own_number(cast: Cast) -> None:
    path = reverse("family:contact")
    contact = {"name": "Greta Green", "phone": "07700 900555", "email": "new@alder.example"}
    assert "phone" in cast.client(cast.greta).post(path, contact | {"phone": "ask"}).context["form"].errors
    assert cast.client(cast.greta).post(path, contact).status_code == 302
    adult = Guardianship.objects.get(athlete=cast.ada).guardian
    assert (adult.name, adult.phone, adult.email) == tuple(contact.values())
    assert cast.greta.email != adult.email  # she goes on signing in as before
    assert AuditLog.objects.filter(verb="changed own contact", about=cast.ada.pk, user=cast.greta).exists()
    assert cast.client(cast.sal).get(path).status_code == 404
