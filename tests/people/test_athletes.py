"""The list of children, and one child's page."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions
from clubapp.people.models import Athlete, Health, MedicalNote
from tests.cast import Cast, SquadFactory
from tests.people.access import for_no_club, only_the_head_coach


def fields(cast: Cast, **more: Any) -> dict[str, Any]:
    return {
        "given_name": "Ivy",
        "family_name": "Marsh",
        "date_of_birth": "2016-04-09",
        "sessions_before": "0",
        "squads": [str(cast.squad.pk)],
    } | more


def test_only_the_head_coach_sees_the_pages(cast: Cast) -> None:
    for_no_club(cast, reverse("people:athletes"))
    for_no_club(cast, reverse("people:athlete_new"))
    for name in ("athlete", "medical_note", "athlete_leave", "athlete_return", "athlete_record", "athlete_erase"):
        only_the_head_coach(cast, reverse(f"people:{name}", args=[cast.ada.pk]), {"sure": "yes"})
    assert Athlete.objects.filter(pk=cast.ada.pk, left_on=None).exists()


def test_the_list_shows_the_club_by_name_with_flags(cast: Cast) -> None:
    MedicalNote.objects.create(athlete=cast.ada, what_to_do="Inhaler from the bag")
    page = cast.client(cast.hazel).get(reverse("people:athletes"))
    cards = page.context["children"]
    assert [card.child.given_name for card in cards] == ["Ada", "Bo", "Cleo", "Dev", "Eli", "Fay"]
    assert [card.flagged for card in cards] == [True] + [False] * 5
    assert "Inhaler" not in page.content.decode()


def test_the_list_is_narrowed_by_words_and_squad(cast: Cast) -> None:
    other = SquadFactory(club=cast.club, name="Tuesday")
    other.athletes.add(cast.ada)
    client = cast.client(cast.hazel)
    assert len(client.get(reverse("people:athletes"), {"words": "re bo"}).context["children"]) == 1
    assert len(client.get(reverse("people:athletes"), {"squad": str(other.pk)}).context["children"]) == 1
    foreign = {"squad": str(cast.other_squad.pk)}
    assert len(client.get(reverse("people:athletes"), foreign).context["children"]) == 6


def test_adding_a_child(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(reverse("people:athlete_new"), fields(cast, given_name=" Ivy  Mae "))
    child = Athlete.objects.get(family_name="Marsh")
    assert answer["Location"] == reverse("people:athlete", args=[child.pk])
    assert (child.given_name, child.club, list(child.squads.all())) == ("Ivy Mae", cast.club, [cast.squad])
    assert AuditLog.objects.filter(verb="made", about=child.pk, user=cast.hazel).exists()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("given_name", ""),
        ("date_of_birth", "2999-01-01"),
        ("date_of_birth", "soon"),
        ("birth_year", "1916"),
        ("skill", "6"),
        ("sex", "q"),
        ("roster_id", "7"),
        ("sessions_before", "-1"),
        ("sessions_before", "1000"),
    ],
)
def test_a_refused_child_names_the_field_and_keeps_nothing(cast: Cast, field: str, value: str) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(roster_id="7")
    page = cast.client(cast.hazel).post(reverse("people:athlete_new"), fields(cast) | {field: value})
    assert field in page.context["form"].errors
    assert not Athlete.objects.filter(family_name="Marsh").exists()


def test_a_child_sent_twice_is_asked_about(cast: Cast) -> None:
    client, data = cast.client(cast.hazel), fields(cast)
    assert client.post(reverse("people:athlete_new"), data).status_code == 302
    again = client.post(reverse("people:athlete_new"), data | {"given_name": data["given_name"].lower()})
    assert "on the list already" in again.content.decode()
    assert Athlete.objects.filter(family_name="Marsh").count() == 1
    assert client.post(reverse("people:athlete_new"), data | {"twin": "on"}).status_code == 302
    assert Athlete.objects.filter(family_name="Marsh").count() == 2


@pytest.mark.parametrize("other", [{"family_name": "Marshall"}, {"date_of_birth": "2015-01-02"}])
def test_a_namesake_of_another_family_or_age_is_not_asked_about(cast: Cast, other: dict[str, str]) -> None:
    client = cast.client(cast.hazel)
    client.post(reverse("people:athlete_new"), fields(cast))
    assert client.post(reverse("people:athlete_new"), fields(cast) | other).status_code == 302


def test_a_squad_of_another_club_is_refused(cast: Cast) -> None:
    data = fields(cast, squads=[str(cast.other_squad.pk)])
    assert "squads" in cast.client(cast.hazel).post(reverse("people:athlete_new"), data).context["form"].errors


def test_changing_a_child_logs_the_fields_not_the_values(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(details_wanted=True, birth_year=2016)
    path = reverse("people:athlete", args=[cast.ada.pk])
    assert cast.client(cast.hazel).post(path, fields(cast, skill="3")).status_code == 302
    cast.ada.refresh_from_db()
    assert (cast.ada.given_name, cast.ada.skill, cast.ada.details_wanted) == ("Ivy", 3, False)
    assert cast.ada.birth_year is None
    line = AuditLog.objects.get(verb="changed", about=cast.ada.pk)
    assert "given_name" in line.detail["fields"]
    assert "Ivy" not in str(line.detail)


def test_a_refused_change_leaves_the_stored_child(cast: Cast) -> None:
    path = reverse("people:athlete", args=[cast.ada.pk])
    page = cast.client(cast.hazel).post(path, fields(cast, date_of_birth="2999-01-01"))
    cast.ada.refresh_from_db()
    assert (page.status_code, cast.ada.given_name) == (200, "Ada")


def test_reading_a_note_is_logged_and_writing_seals_it(cast: Cast) -> None:
    client, path = cast.client(cast.hazel), reverse("people:medical_note", args=[cast.ada.pk])
    client.post(path, {"health": "yes", "what_to_do": "Inhaler from the bag", "note": "Asthma"})
    raw = MedicalNote.objects.extra(select={"a": "note", "b": "what_to_do"}).values_list("a", "b")[0]
    assert not any("Asthma" in text or "Inhaler" in text for text in raw)
    assert not AuditLog.objects.filter(verb="read").exists()
    assert "Inhaler from the bag" in client.get(path).content.decode()
    assert AuditLog.objects.filter(verb="read", kind="medical note", about=cast.ada.pk, user=cast.hazel).count() == 1
    assert "Inhaler" not in client.get(reverse("people:athlete", args=[cast.ada.pk])).content.decode()


def test_a_note_without_what_to_do_is_refused(cast: Cast) -> None:
    path = reverse("people:medical_note", args=[cast.ada.pk])
    page = cast.client(cast.hazel).post(path, {"health": "yes", "note": "Asthma"})
    assert "what_to_do" in page.context["form"].errors
    assert not MedicalNote.objects.exists()


@pytest.mark.parametrize("health", [Health.NOTHING, Health.NOT_ASKED])
def test_nothing_to_know_and_not_asked_stay_apart(cast: Cast, health: Health) -> None:
    MedicalNote.objects.create(athlete=cast.ada, what_to_do="Inhaler")
    cast.client(cast.hazel).post(reverse("people:medical_note", args=[cast.ada.pk]), {"health": health})
    cast.ada.refresh_from_db()
    assert cast.ada.health == health
    assert not MedicalNote.objects.exists()


def test_notes_of_another_club_are_not_read(cast: Cast) -> None:
    zed = Athlete.objects.get(given_name="Zed")
    MedicalNote.objects.create(athlete=zed, what_to_do="x")
    assert actions.read_medical_notes(athlete_ids=[zed.pk], club_id=cast.club.pk, by=cast.hazel) == {}


def test_leaving_and_coming_back(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(reverse("people:athlete_leave", args=[cast.ada.pk]))
    page = client.get(reverse("people:athletes"))
    assert cast.ada not in [card.child for card in page.context["children"]]
    assert cast.ada in page.context["left"]
    client.post(reverse("people:athlete_return", args=[cast.ada.pk]))
    cast.ada.refresh_from_db()
    assert cast.ada.left_on is None
