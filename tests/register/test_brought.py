"""Whether an inhaler or a pen is there today: asked at the register of a child whose note says so, and kept."""

from __future__ import annotations

import uuid

from clubapp.people import actions as people
from clubapp.people.models import Health
from clubapp.register import bringing
from clubapp.register.models import Brought
from tests.cast import Cast
from tests.register.field import HTMX, address, only_those_who_work_here, say

ASKED = "Inhaler or pen brought today?"


def noted(cast: Cast, *, to_bring: bool = True) -> None:
    answer = people.HealthAnswer(Health.NOTE, "Two puffs.", to_bring=to_bring)
    people.write_medical_note(athlete=cast.ada, answer=answer, by=cast.hazel)


def test_access(cast: Cast) -> None:
    noted(cast)
    only_those_who_work_here(cast, address("brought", cast.session), {"athlete": cast.ada.pk, "there": "yes"})
    assert not Brought.objects.exists()


def test_asked_where_the_note_says_so_answered_once_and_seen_by_other_phones(cast: Cast) -> None:
    finn, page = cast.client(cast.finn), address("register", cast.session)
    noted(cast, to_bring=False)
    assert ASKED not in finn.get(page).content.decode()
    noted(cast)
    say(cast, cast.ada, "here")
    assert finn.get(page).content.decode().count(ASKED) == 1
    tap = {"athlete": cast.ada.pk, "there": "no", "op_id": uuid.uuid4(), "device": "finn"}
    for _ in range(2):
        row = finn.post(address("brought", cast.session), tap, headers=HTMX).content.decode()
    assert "No inhaler or pen here: tell the leader." in row
    assert Brought.objects.count() == 1
    news = cast.client(cast.hazel).get(address("news", cast.session), {"since": 1}).content.decode()
    assert "No inhaler or pen here" in news
    finn.post(address("brought", cast.session), tap | {"there": "yes", "op_id": uuid.uuid4()})
    assert bringing.brought(cast.session.pk) == {cast.ada.pk: True}
    kept = people.export_athlete(athlete=cast.ada, by=cast.hazel)["register"]["brought"]
    assert [row["brought"] for row in kept] == [False, True]
    people.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Brought.objects.exists()


def test_a_guardians_proposal_asks_at_once(cast: Cast) -> None:
    people.propose_health(athlete=cast.ada, what_to_do="Pen.", note="", to_bring=True, by=cast.greta)
    assert ASKED in cast.client(cast.hazel).get(address("register", cast.session)).content.decode()


def test_half_an_answer_is_none(cast: Cast) -> None:
    finn, path = cast.client(cast.finn), address("brought", cast.session)
    for wrong in ({"there": "perhaps"}, {"athlete": "7"}):
        assert finn.post(path, {"athlete": cast.ada.pk, "there": "yes"} | wrong).status_code == 422
    assert not Brought.objects.exists()
