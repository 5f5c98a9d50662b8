"""Three lines after the end, which head the squad's next session."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.planning import actions, queries
from clubapp.planning.actions import Lines
from clubapp.planning.models import Review, Session
from tests.cast import Cast, make_session

SAID = {"went_well": "short queues", "change": "water earlier", "next_week": "two lanes"}


def lines_of(session: Session) -> str:
    return reverse("planning:review", args=[session.pk])


def over(cast: Cast) -> Session:
    """The session ended a minute ago, whatever the time of day is."""
    began = (timezone.now() - timedelta(minutes=cast.session.minutes + 1)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = began.date(), began.time()
    cast.session.save()
    return cast.session


def next_one(cast: Cast) -> Session:
    session = make_session(cast.club, cast.squad)
    session.date = cast.session.date + timedelta(days=7)
    session.save()
    return session


def shown(cast: Cast, session: Session) -> str:
    return cast.client(cast.hazel).get(reverse("planning:session", args=[session.pk])).content.decode()


def test_the_lines_head_the_next_session_and_no_later_one(cast: Cast) -> None:
    session, coming = over(cast), next_one(cast)
    assert lines_of(session) in shown(cast, session)
    assert lines_of(coming) not in shown(cast, coming)
    assert cast.client(cast.hazel).post(lines_of(session), SAID).status_code == 302
    html = shown(cast, coming)
    assert all(words in html for words in SAID.values())
    assert html.index("short queues") < html.index("Stations")
    latest = make_session(cast.club, cast.squad)
    latest.date = coming.date + timedelta(days=7)
    latest.save()
    assert "short queues" not in shown(cast, latest)


def test_they_can_be_changed_and_both_times_are_in_the_log(cast: Cast) -> None:
    session = over(cast)
    client = cast.client(cast.hazel)
    client.post(lines_of(session), SAID)
    assert 'value="water earlier"' in client.get(lines_of(session)).content.decode()
    client.post(lines_of(session), SAID | {"change": ""})
    row = Review.objects.get()
    assert (row.change, row.went_well, row.by) == ("", "short queues", cast.hazel)
    assert AuditLog.objects.filter(kind="review", about=session.pk).count() == 2


def test_a_line_that_is_too_long_is_named_and_kept_on_the_page(cast: Cast) -> None:
    answer = cast.client(cast.hazel).post(lines_of(cast.session), SAID | {"change": "x" * 161})
    assert answer.status_code == 422
    assert "x" * 161 in answer.content.decode()
    assert not Review.objects.exists()


def test_another_squads_lines_are_another_matter(cast: Cast) -> None:
    actions.write_review(session=over(cast), lines=Lines(change="x"), by=cast.hazel)
    other = make_session(cast.club, cast.club.squads.create(name="Sunday"))
    other.date = cast.session.date + timedelta(days=7)
    other.save()
    assert queries.lines_before(other) is None


def test_access(cast: Cast) -> None:
    for user in (cast.sal, cast.olga, cast.greta, cast.wanda, cast.finn):
        client = cast.client(user)
        assert client.get(lines_of(cast.session)).status_code == 404
        assert client.post(lines_of(cast.session), SAID).status_code == 404
    assert not Review.objects.exists()
    cast.session.leader = cast.finn
    cast.session.save()
    assert cast.client(cast.finn).post(lines_of(cast.session), SAID).status_code == 302
