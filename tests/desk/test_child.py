"""The head coach's page of one child: everything in one place, for nobody else."""

from __future__ import annotations

from django.urls import reverse

from clubapp.people import actions as people
from clubapp.people.models import Health
from clubapp.register.actions import Tap, mark_here
from tests.cast import Cast
from tests.people.access import only_the_head_coach
from tests.rules.addresses import written, written_down


def test_sessions_results_notes_adults_and_consents_in_one_place(cast: Cast) -> None:
    path = reverse("desk:child", args=[cast.ada.pk])
    only_the_head_coach(cast, path)
    hazel = cast.client(cast.hazel)
    empty = hazel.get(reverse("desk:child", args=[cast.athletes[5].pk])).content.decode()
    assert "No result yet." in empty
    assert "Nobody may collect this child." in empty
    mark_here(session=cast.session, athlete=cast.ada, tap=Tap(cast.hazel))
    note = written(cast.session, cast.hazel, cast.ada)
    written_down(cast.session, cast.ada)
    people.write_medical_note(athlete=cast.ada, answer=people.HealthAnswer(Health.NOTE, "Two puffs."), by=cast.hazel)
    page = " ".join(hazel.get(path).content.decode().split())
    for part in ("Here at 1 of 1 sessions.", "River run", "There is a note with what to do.", "Greta", "may collect"):
        assert part in page, part
    assert reverse("live:incident", args=[note.pk]) in page
    assert "Two puffs." not in page  # read by a tap, which the log keeps
    for door in ("people:athlete", "people:medical_note", "people:guardian_new", "register:child", "progress:child"):
        assert reverse(door, args=[cast.ada.pk]) in page, door
