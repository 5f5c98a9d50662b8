"""Going home alone: only by a guardian's consent, written down, taken back, never by itself."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions, consents
from clubapp.people.models import Consent, Guardianship
from tests.cast import Cast
from tests.people.access import only_the_head_coach

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
    assert [(row["given"], row["guardian"], row["written_down_by"]) for row in kept] == [(True, "Greta", "Hazel")]
    actions.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Consent.objects.exists()
