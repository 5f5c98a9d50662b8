"""Seeing children off: with whom, who may say so, and that nobody is gone whom no adult saw off."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.people import actions as people
from clubapp.people.models import Guardianship
from clubapp.register import queries
from clubapp.register.models import Mark
from clubapp.register.views.leaving import LATE
from tests.cast import Cast, guardian_of, make_guardian
from tests.register.field import HTMX, address, kinds, only_those_who_work_here, say, tap

Went = Mark.Went


def page(cast: Cast, client: Client | None = None) -> str:
    return (client or cast.client(cast.hazel)).get(address("going_home", cast.session)).content.decode()


def go(cast: Cast, client: Client | None = None, **more: Any) -> Any:
    return tap(client or cast.client(cast.hazel), cast.session, cast.ada, kind="left", at="home", **more)


def agree(cast: Cast, *, given: bool = True) -> None:
    tie = Guardianship.objects.get(athlete=cast.ada, guardian__name="Greta")
    people.record_consent(tie=tie, kind="goes_alone", given=given, by=cast.hazel)


def ends(cast: Cast, *, ago: timedelta) -> None:
    """The session ended so long ago, whatever the time of day is when the test runs."""
    start = (timezone.now() - ago - timedelta(minutes=cast.session.minutes)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = start.date(), start.time()
    cast.session.save()


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("going_home", cast.session))


def test_an_adult_who_may_collect_takes_the_child(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    answer = go(cast, cast.client(cast.finn), went=guardian_of(cast.ada))
    assert answer["Location"] == f"{address('going_home', cast.session)}#row-{cast.ada.pk}"
    row = Mark.objects.latest("tapped_at")
    assert (row.kind, row.went, row.collector_id, row.with_whom) == ("left", Went.ADULT, guardian_of(cast.ada), "Greta")
    assert queries.waiting(cast.session.pk) == set()
    at = row.tapped_at.astimezone(cast.club.zone)
    assert f"gone with Greta, {at:%H:%M}" in page(cast)


def test_the_page_names_only_adults_who_may_collect(cast: Cast) -> None:
    make_guardian(cast.club, cast.gus, (cast.ada,))
    Guardianship.objects.filter(athlete=cast.ada, guardian__name="Gus").update(may_collect=False)
    html = page(cast).split(f'id="row-{cast.ada.pk}"')[1].split("</li>")[0]
    assert "with Greta" in html
    assert "Gus" not in html


@pytest.mark.parametrize("who", ["a stranger", "not ticked", "of another child", "nobody"])
def test_nobody_else_takes_the_child(cast: Cast, who: str) -> None:
    say(cast, cast.ada, "here")
    if who == "not ticked":
        Guardianship.objects.filter(athlete=cast.ada).update(may_collect=False)
    went = {"a stranger": uuid.uuid4(), "of another child": guardian_of(cast.athletes[2]), "nobody": ""}
    chosen = Guardianship.objects.filter(athlete=cast.ada).earliest("pk").guardian_id
    answer = go(cast, went=went.get(who, chosen), headers={"Accept": "application/json"})
    assert (answer.status_code, list(answer.json()["errors"])) == (422, ["went"])
    assert kinds(cast.session) == {"Ada": "here"}


def test_a_child_goes_alone_only_with_a_guardians_consent(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    assert 'value="alone"' not in page(cast)
    assert go(cast, went="alone", headers=HTMX).status_code == 422
    agree(cast)
    assert 'value="alone"' in page(cast)
    agree(cast, given=False)
    assert go(cast, went="alone", headers=HTMX).status_code == 422
    assert kinds(cast.session) == {"Ada": "here"}
    agree(cast)
    assert go(cast, went="alone").status_code == 302
    assert "gone alone, as a guardian agreed" in page(cast)


def test_the_leader_decides_with_whom_and_why(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    for more in ({}, {"with_whom": "Uncle Rob"}, {"reason": "car broke down"}, {"with_whom": " ", "reason": "x"}):
        assert go(cast, went="decided", headers=HTMX, **more).status_code == 422
    assert kinds(cast.session) == {"Ada": "here"}
    go(cast, went="decided", with_whom="Uncle Rob", reason="car broke down, mother rang")
    row = Mark.objects.latest("tapped_at")
    assert (row.went, row.with_whom, row.reason) == (Went.DECIDED, "Uncle Rob", "car broke down, mother rang")
    assert "gone, Uncle Rob – the leader decided: car broke down, mother rang" in page(cast)


def test_an_assistant_does_not_decide_unless_the_session_was_handed_over(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    finn, said = cast.client(cast.finn), {"went": "decided", "with_whom": "Rob", "reason": "rain"}
    assert "Only the leader decides this" in go(cast, finn, headers=HTMX, **said).content.decode()
    assert 'value="decided"' not in page(cast, finn)
    assert kinds(cast.session) == {"Ada": "here"}
    cast.session.leader = cast.finn
    cast.session.save()
    assert go(cast, finn, **said).status_code == 302


def test_without_scripts_the_refusal_is_on_the_page(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    answer = cast.client(cast.hazel).post(
        address("mark", cast.session), {"athlete": cast.ada.pk, "kind": "left", "at": "home"}, follow=True
    )
    assert "Say who takes the child." in answer.content.decode()
    assert answer.redirect_chain[-1][0] == address("going_home", cast.session)


def test_a_tap_kept_on_the_phone_is_taken_once(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    client, op_id = cast.client(cast.hazel), uuid.uuid4()
    for _ in range(2):
        answer = go(cast, client, went=guardian_of(cast.ada), op_id=op_id, headers=HTMX)
        assert f'id="mark-{cast.ada.pk}" data-kind="left"' in answer.content.decode()
        assert 'id="counts"' not in answer.content.decode()
    assert Mark.objects.filter(kind="left").count() == 1


def test_marks_from_before_claim_nothing_about_who_collected(cast: Cast) -> None:
    say(cast, cast.ada, "left", with_whom="her mother")
    row = Mark.objects.get()
    assert (row.went, row.collector, row.reason) == ("", None, "")
    assert "left early with her mother" in page(cast)
    assert queries.waiting(cast.session.pk) == set()


def test_who_is_here_waits_and_who_never_came_does_not(cast: Cast) -> None:
    for child, kind in zip(cast.athletes, ("here", "late", "easy", "absent", "told"), strict=False):
        say(cast, child, kind, leave_out=("jumps",) if kind == "easy" else ())
    assert queries.waiting(cast.session.pk) == {child.pk for child in cast.athletes[:3]}


def test_a_leaving_taken_back_waits_until_somebody_looked(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    say(cast, cast.ada, "left", with_whom="Greta", went=Went.ADULT)
    say(cast, cast.ada, "cleared")
    assert queries.waiting(cast.session.pk) == {cast.ada.pk}
    assert "was marked gone, then no longer" in page(cast)
    say(cast, cast.ada, "absent")
    assert queries.waiting(cast.session.pk) == set()


def test_a_slip_of_the_thumb_at_the_start_keeps_nobody(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    say(cast, cast.ada, "cleared")
    assert queries.waiting(cast.session.pk) == set()


@pytest.mark.parametrize("kinds", [("here", "absent"), ("left", "here"), ("here", "cleared")], ids=str)
def test_two_phones_that_differ_keep_the_child_on_the_list(cast: Cast, kinds: tuple[str, str]) -> None:
    say(cast, cast.ada, kinds[0], device="a")
    say(cast, cast.ada, kinds[1], device="b", by=cast.finn)
    assert queries.waiting(cast.session.pk) == {cast.ada.pk}
    assert "changed by Hazel and Finn – check" in page(cast)


def test_a_phone_that_knew_nothing_of_the_mark_sees_the_child_off_all_the_same(cast: Cast) -> None:
    say(cast, cast.ada, "here", device="a", by=cast.finn)
    go(cast, went=guardian_of(cast.ada), base_version=0)
    assert queries.waiting(cast.session.pk) == set()
    assert "– check" not in page(cast)


def test_after_a_quarter_of_an_hour_two_adults_stay_and_the_leader_has_the_numbers(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    ends(cast, ago=LATE - timedelta(minutes=1))
    assert 'id="late"' in page(cast)
    assert "hidden>" in page(cast).split('id="late"')[1][:80]
    ends(cast, ago=LATE)
    html = page(cast)
    assert "two adults stay until every child has gone" in html
    assert "hidden>" not in html.split('id="late"')[1][:80]
    assert "+447700900123" not in html  # the page is kept on phones, the numbers are not
    ring = address("emergency", cast.session)
    assert ring in html
    assert "tel:+447700900123" in cast.client(cast.hazel).get(ring).content.decode()


def test_the_numbers_stay_with_the_leader_until_the_last_child_has_gone(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    ends(cast, ago=timedelta(hours=3))
    ring = address("emergency", cast.session)
    assert cast.client(cast.finn).get(ring).status_code == 404
    assert ring not in page(cast, cast.client(cast.finn))
    assert cast.client(cast.hazel).get(ring).status_code == 200
    assert ring in page(cast)
    assert AuditLog.objects.filter(kind="emergency number", about=cast.ada.pk, user=cast.hazel).exists()
    go(cast, went=guardian_of(cast.ada))
    assert cast.client(cast.hazel).get(ring).status_code == 404
    say(cast, cast.ada, "here")
    ends(cast, ago=timedelta(hours=25))
    assert cast.client(cast.hazel).get(ring).status_code == 404
    assert ring not in page(cast)


def test_the_first_page_does_not_let_the_session_go_before_the_last_child(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    ends(cast, ago=timedelta(hours=3))
    step = cast.client(cast.hazel).get(reverse("desk:home")).context["page"].tonight.next_step
    assert (step.name, step.figure) == ("home", 1)
    go(cast, went=guardian_of(cast.ada))
    tonight = cast.client(cast.hazel).get(reverse("desk:home")).context["page"].tonight
    assert tonight is None or tonight.next_step is None or tonight.next_step.name != "home"
