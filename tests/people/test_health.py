"""A guardian wants the health note changed: the field sees both at once, the head coach answers."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions, queries
from clubapp.people.models import Guardianship, Health, HealthProposal, MedicalNote
from clubapp.register import actions as register
from tests.cast import Cast
from tests.people.access import only_the_head_coach

NEW = {"what_to_do": "Two puffs, then sit.", "note": "New inhaler."}


def own(cast: Cast) -> str:
    return reverse("family:health", args=[cast.ada.pk])


def on_the_field(cast: Cast) -> str:
    """What an assistant reads of Ada."""
    path = reverse("register:health", args=[cast.session.pk, cast.ada.pk])
    return cast.client(cast.finn).get(path).content.decode()


def test_the_field_sees_both_the_new_one_first_until_the_head_coach_has_answered(cast: Cast) -> None:
    answer = actions.HealthAnswer(Health.NOTE, "One puff.", "Asthma.")
    actions.write_medical_note(athlete=cast.ada, answer=answer, by=cast.hazel)
    for words in (NEW | {"what_to_do": "Three puffs"}, NEW):  # the second thought counts
        assert cast.client(cast.greta).post(own(cast), words).status_code == 302
    page = on_the_field(cast)
    assert page.index("New from a guardian") < page.index("Two puffs") < page.index("One puff.")
    assert "Three puffs" not in page
    coach, note = cast.client(cast.hazel), reverse("people:medical_note", args=[cast.ada.pk])
    assert "Greta wants it changed" in coach.get(note).content.decode()
    assert cast.ada.full_name in coach.get(reverse("people:athletes")).content.decode()
    path = reverse("people:health_proposal", args=[cast.ada.pk, HealthProposal.objects.get().pk])
    only_the_head_coach(cast, path, {"answer": "take"})
    coach.post(path, {"answer": "nonsense"})
    assert HealthProposal.objects.exists()
    coach.post(path, {"answer": "take"})
    assert MedicalNote.objects.get(athlete=cast.ada).what_to_do == NEW["what_to_do"]
    assert ("New from a guardian" in on_the_field(cast), "One puff." in on_the_field(cast)) == (False, False)
    verbs = AuditLog.objects.filter(kind="medical note", about=cast.ada.pk).values_list("verb", flat=True)
    assert {"proposed", "changed", "read"} <= set(verbs)


def test_a_child_without_a_note_gets_a_flag_by_the_proposal_alone(cast: Cast) -> None:
    cast.client(cast.greta).post(own(cast), NEW)
    assert queries.flagged([cast.ada.pk]) == {cast.ada.pk}
    assert "Two puffs" in on_the_field(cast)
    register.mark_here(session=cast.session, athlete=cast.ada, tap=register.Tap(cast.hazel))
    emergency = cast.client(cast.hazel).get(reverse("register:emergency", args=[cast.session.pk]))
    assert "Two puffs" in emergency.content.decode()
    actions.decline_health(proposal=HealthProposal.objects.get(), by=cast.hazel)
    assert queries.flagged([cast.ada.pk]) == set()


def test_only_a_guardian_with_full_rights_proposes(cast: Cast) -> None:
    for name in ("gus", "sal", "olga", "finn", "hazel", "wanda"):
        assert cast.client(getattr(cast, name)).post(own(cast), NEW).status_code == 404, name
    Guardianship.objects.filter(athlete=cast.ada).update(restricted=True, may_collect=False)
    assert cast.client(cast.greta).post(own(cast), NEW).status_code == 404
    assert not HealthProposal.objects.exists()


def test_bad_input_names_the_field_and_keeps_the_words(cast: Cast) -> None:
    page = cast.client(cast.greta).post(own(cast), {"what_to_do": "", "note": "Kept words"})
    assert "what_to_do" in page.context["form"].errors
    assert "Kept words" in page.content.decode()


def test_a_note_older_than_a_year_is_asked_about_again(cast: Cast) -> None:
    actions.write_medical_note(athlete=cast.ada, answer=actions.HealthAnswer(Health.NOTE, "Sit."), by=cast.hazel)
    today = cast.club.today()
    assert not queries.notes_to_ask_again(cast.club, today + timedelta(days=365)).exists()
    assert list(queries.notes_to_ask_again(cast.club, today + timedelta(days=366))) == [cast.ada]
    greta = cast.client(cast.greta)
    assert "Does it still hold?" not in greta.get(own(cast)).content.decode()
    MedicalNote.objects.update(reviewed_on=today - timedelta(days=366))
    assert "Does it still hold?" in greta.get(own(cast)).content.decode()
