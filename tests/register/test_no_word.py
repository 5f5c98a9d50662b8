"""Expected, no word: who stands on the list and when, whom the leader reaches by one tap, and what was answered."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.people import actions as people
from clubapp.people.models import Guardian
from clubapp.register import actions, asking
from clubapp.register.actions import Tap
from clubapp.register.models import Contacted, Mark
from tests.cast import Cast, guardian_of
from tests.register.field import address, kinds, only_those_who_work_here, say


def began(cast: Cast, minutes: int) -> None:
    """So many minutes ago, whatever the time of day is when the test runs."""
    start = (timezone.now() - timedelta(minutes=minutes)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = start.date(), start.time()
    cast.session.save()


def page(cast: Cast) -> str:
    return cast.client(cast.hazel).get(address("no_word", cast.session)).content.decode()


def note(cast: Cast, **more: Any) -> Any:
    data = {"athlete": cast.ada.pk, "said": "coming", "guardian": guardian_of(cast.ada), "op_id": uuid.uuid4()} | more
    return cast.client(cast.hazel).post(address("asked", cast.session), data, follow=True)


def test_access(cast: Cast) -> None:
    began(cast, 20)
    only_those_who_work_here(cast, address("no_word", cast.session), finn=False)
    data = {"athlete": str(cast.ada.pk), "said": "coming"}
    only_those_who_work_here(cast, address("asked", cast.session), data, finn=False)
    assert not Contacted.objects.exists()
    assert not AuditLog.objects.filter(kind="contacts").exists()


def test_the_adult_to_whom_it_was_handed_over_may(cast: Cast) -> None:
    cast.session.leader = cast.finn
    began(cast, 20)
    assert "Ada Reed" in cast.client(cast.finn).get(address("no_word", cast.session)).content.decode()


def test_the_way_there_shows_without_scripts_too(cast: Cast) -> None:
    for minutes, hidden in ((9, True), (11, False)):
        began(cast, minutes)
        html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
        tag = html.split('class="remark no-word"')[1].split(">")[0]
        assert tag.endswith(" hidden") is hidden, minutes


def test_it_begins_ten_minutes_after_the_start_and_ends_with_the_session(cast: Cast) -> None:
    for minutes, shown in ((9, False), (10, True), (59, True), (61, False)):
        began(cast, minutes)
        assert ("Ada Reed" in page(cast)) is shown, minutes
    cast.session.called_off = True
    began(cast, 20)
    assert "Ada Reed" not in page(cast)


def test_a_mark_or_a_familys_notice_is_a_word(cast: Cast) -> None:
    began(cast, 20)
    ada, bo, cleo, *_rest = cast.athletes
    say(cast, ada, "here")
    say(cast, bo, "absent")
    actions.tell_cannot_come(session=cast.session, athlete=cleo, word="flu", tap=Tap(cast.gus))
    assert [child.given_name for child in asking.no_word(cast.session, timezone.now())] == ["Dev", "Eli", "Fay"]


def test_each_guardian_is_one_tap_away_and_the_look_is_kept(cast: Cast) -> None:
    began(cast, 20)
    Guardian.objects.filter(name="Greta").update(phone="+44 7700 900123", email="greta@alder.example")
    html = page(cast)
    assert 'href="tel:+447700900123"' in html
    assert 'href="sms:+447700900123?body=Ada%20is%20expected' in html
    assert 'href="mailto:greta%40alder.example?subject=Alder%20Bank&amp;body=Ada' in html
    read = AuditLog.objects.filter(kind="contacts", user=cast.hazel)
    assert {row.about for row in read} == {child.pk for child in cast.athletes}


def test_an_answer_is_kept_with_by_whom_and_marks_nobody(cast: Cast) -> None:
    began(cast, 20)
    assert "on the way, flat tyre – Greta, asked by Hazel" in note(cast, word="flat tyre").content.decode()
    note(cast, said="nobody")
    rows = Contacted.objects.order_by("tapped_at")
    assert [(row.said, row.word, row.by, row.guardian.name) for row in rows if row.guardian] == [
        ("coming", "flat tyre", cast.hazel, "Greta"),
        ("nobody", "", cast.hazel, "Greta"),
    ]
    assert kinds(cast.session) == {}


def test_cannot_come_is_the_mark_of_an_adult_who_was_told(cast: Cast) -> None:
    began(cast, 20)
    op_id = uuid.uuid4()
    for _ in range(2):
        note(cast, said="cannot", word="flu", op_id=op_id)
    mark = Mark.objects.get()
    assert (mark.kind, mark.word, mark.by, mark.by_guardian) == ("told", "flu", cast.hazel, False)
    assert Contacted.objects.count() == 1
    assert "Ada Reed" not in page(cast)


@pytest.mark.parametrize(
    "wrong",
    [{"said": "perhaps"}, {"word": "w" * 201}, {"op_id": "7"}, {"guardian": "90162528-d297-4f2d-8d74-71124a60c3b6"}],
    ids=["said", "word", "op_id", "guardian"],
)
def test_half_an_answer_is_none(cast: Cast, wrong: dict[str, str]) -> None:
    began(cast, 20)
    assert note(cast, **wrong).status_code == 200
    assert not Contacted.objects.exists()


def test_a_child_of_nobody_or_another_club_is_not_found(cast: Cast) -> None:
    assert note(cast, athlete=cast.other_squad.athletes.get().pk).status_code == 404
    for child in ("", "nobody"):
        assert "did not come from a button" in note(cast, athlete=child).content.decode()
    assert not Contacted.objects.exists()


def test_an_op_id_of_another_child_is_refused(cast: Cast) -> None:
    op_id = uuid.uuid4()
    note(cast, op_id=op_id)
    assert "sent before" in note(cast, athlete=cast.athletes[1].pk, op_id=op_id).content.decode()
    assert Contacted.objects.count() == 1


def test_the_family_gets_it_and_erasing_takes_it(cast: Cast) -> None:
    note(cast, word="flat tyre")
    kept = people.export_athlete(athlete=cast.ada, by=cast.hazel)["register"]["answers"]
    assert [(row["answer"], row["word"]) for row in kept] == [("on the way", "flat tyre")]
    assert not {"guardian", "by"} & kept[0].keys()  # other people are left out
    people.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Contacted.objects.exists()


def test_the_register_leads_the_leader_there_from_that_moment_on(cast: Cast) -> None:
    began(cast, 5)
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    at = int(asking.open_from(cast.session).timestamp() * 1000)
    assert f'data-from="{at}" hidden' in html
    assert address("no_word", cast.session) in html
    assert (
        address("no_word", cast.session)
        not in cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    )
