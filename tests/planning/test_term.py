"""A term: a session every week but for the holidays, its calendar, and templates."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse

from clubapp.planning import actions, calendar, queries
from clubapp.planning.actions import PlanError, Whole
from clubapp.planning.models import Holiday, Session, Template
from tests.cast import Cast
from tests.planning.doors import OUTSIDERS, only_who_runs_it

WEEK = timedelta(days=7)


@pytest.fixture
def coming(cast: Cast) -> Session:
    cast.session.date += WEEK
    cast.session.save()
    actions.add_starter(session=cast.session, key="ball")
    return cast.session


def shape(session: Session) -> list[str]:
    return [*(block.kind for block in queries.blocks(session)), *(one.name for one in queries.stations(session))]


def test_access(cast: Cast, coming: Session) -> None:
    for name in ("series", "templates"):
        path = reverse(f"planning:{name}", args=[coming.pk])
        only_who_runs_it(cast, path)
        for outsider in (*OUTSIDERS, "finn"):
            assert cast.client(getattr(cast, outsider)).get(path).status_code == 404
    path = reverse("planning:term")
    assert [cast.client(getattr(cast, name)).get(path).status_code for name in ("finn", "sal", "greta")] == [404] * 3
    row = actions.keep_holiday(club=cast.club, name="Half-term", first=coming.date, last=coming.date, by=cast.hazel)
    cast.client(cast.olga).post(path, {"remove": str(row.pk)})
    assert Holiday.objects.filter(pk=row.pk).exists()


def test_every_week_but_for_the_holidays(cast: Cast, coming: Session) -> None:
    hazel, term = cast.client(cast.hazel), reverse("planning:term")
    wrong = hazel.post(term, {"name": "Half-term", "first": coming.date + WEEK, "last": coming.date})
    assert wrong.status_code == 422
    assert "The last day must be the first one or later" in wrong.content.decode()
    hazel.post(term, {"name": "Half-term", "first": coming.date + 2 * WEEK, "last": coming.date + 2 * WEEK})
    path = reverse("planning:series", args=[coming.pk])
    for day in (coming.date, coming.date + 60 * WEEK):
        assert hazel.post(path, {"until": day}).status_code == 422
    sent = hazel.post(path, {"until": coming.date + 4 * WEEK}, follow=True)
    assert "3 sessions made. Left out: Half-term." in unescape(sent.content.decode())
    days = [(row.date - coming.date) // WEEK for row in queries.between(cast.club, coming.date, coming.date + 9 * WEEK)]
    assert days == [0, 1, 3, 4]
    assert {tuple(shape(row)) for row in Session.objects.filter(squad=coming.squad)} == {tuple(shape(coming))}
    html = sent.content.decode()
    assert html.count("Half-term") >= 2
    assert "nothing on" not in html  # a holiday is no gap
    # Sent again nothing is made twice.
    again = hazel.post(path, {"until": coming.date + 4 * WEEK})
    assert again.status_code == 422
    assert "There is no week until then that is free" in again.content.decode()
    hazel.post(term, {"remove": str(Holiday.objects.get().pk)})
    assert not Holiday.objects.exists()


def test_a_template_is_kept_taken_in_and_removed(cast: Cast, coming: Session) -> None:
    hazel, path = cast.client(cast.hazel), reverse("planning:templates", args=[coming.pk])
    assert hazel.post(path, {"keep": "yes", "name": ""}).status_code == 422
    hazel.post(path, {"keep": "yes", "name": "Indoors"})
    kept, before = Template.objects.get(), shape(coming)
    other = actions.copy_session(session=coming, by=cast.hazel)
    actions.take_menu(session=other, parts=[Whole("gather", 60)], stations=[], by=cast.hazel)
    taken = hazel.post(reverse("planning:templates", args=[other.pk]), {"take": str(kept.pk)})
    assert taken["Location"] == reverse("planning:session", args=[other.pk])
    assert shape(other) == before
    assert "Choose one of the list." in hazel.post(path, {"take": "nothing"}, follow=True).content.decode()
    hazel.post(path, {"remove": str(kept.pk)})
    assert not Template.objects.exists()


def test_the_last_session_is_copied_in_and_what_does_not_fit_or_has_begun_is_refused(
    cast: Cast, coming: Session
) -> None:
    later = actions.copy_session(session=coming, by=cast.hazel)
    actions.take_menu(session=later, parts=[], stations=[], by=cast.hazel)
    hazel, path = cast.client(cast.hazel), reverse("planning:templates", args=[later.pk])
    assert "last session" in hazel.get(path).content.decode()
    hazel.post(path, {"last": "yes"})
    assert shape(later) == shape(coming)
    later.minutes = 11
    later.save()
    assert "minutes more than the session has" in hazel.post(path, {"last": "yes"}, follow=True).content.decode()
    later.date -= 9 * WEEK
    with pytest.raises(PlanError, match="has begun"):
        actions.copy_into(session=later, source=coming, by=cast.hazel)


def test_the_calendar_shows_aims_and_gaps_and_leads_to_a_session_on_that_day(cast: Cast, coming: Session) -> None:
    later = actions.copy_session(session=coming, by=cast.hazel, day=coming.date + 3 * WEEK)
    actions.call_off_session(
        session=actions.copy_session(session=coming, by=cast.hazel, day=coming.date + WEEK), off=True, by=cast.hazel
    )
    term = calendar.term_of(cast.club, coming.date)
    assert [len(week.meetings) for week in term.weeks[:4]] == [1, 1, 0, 1]
    (gap,) = term.weeks[2].gaps
    assert (gap.squad, gap.on) == (cast.squad, coming.date + 2 * WEEK)
    assert not any(week.gaps for at, week in enumerate(term.weeks) if at != 2)
    assert [sum(day.meets for day in week.days) for week in term.weeks[:4]] == [1, 0, 0, 1]
    assert term.weeks[0].meetings[0].aims == ("ball",)
    assert (term.sessions, dict(term.aims)["ball sense"], term.last) == (2, 2, later)
    client = cast.client(cast.hazel)
    html = client.get(reverse("planning:term")).content.decode()
    assert "ball sense" in html
    way = f"{reverse('planning:session_new')}?date={gap.on}"
    assert way in html
    assert f'value="{gap.on}"' in client.get(way).content.decode()
    for nonsense in ("1066-01-01", "soon"):
        assert client.get(reverse("planning:term"), {"from": nonsense}).status_code == 200
    past = client.get(reverse("planning:term"), {"from": term.earlier}).content.decode()
    assert "0 sessions in these weeks" in past
