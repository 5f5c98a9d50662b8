"""Moving a session to another venue: who stays, who gives way, what the coach chose, and that nothing else changes."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from django.urls import reverse

from clubapp.planning import moving, queries
from clubapp.planning.actions import keep_kit, take_menu
from clubapp.planning.field_page import page_of
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Session, Station, Venue
from tests.cast import Cast, make_child
from tests.planning.doors import OUTSIDERS, only_who_runs_it
from tests.planning.test_field import on_a_meadow

RECT = [[0, 0], [40, 0], [40, 20], [0, 20]]


@pytest.fixture
def hall(cast: Cast) -> Venue:
    return Venue.objects.create(
        club=cast.club, name="Weir hall", outline=RECT, indoors=True, meeting_place="car park", water=[20, 0]
    )


@pytest.fixture
def coming(cast: Cast, hall: Venue) -> Session:
    """Next week's: a sprint too long for the hall, one on soft ground, one that can stay, and one without a card."""
    session = on_a_meadow(cast)
    for number in range(10):
        make_child(cast.club, cast.squad, f"Child {number}")
    rows = list(queries.stations(session))
    for row, code in zip(rows, ("straight-to-the-post", "stepping-stones", "mirror-pool"), strict=True):
        row.activity, row.diagram, row.name = code, standard()[code].diagram, standard()[code].name
        row.x_m, row.y_m = 30.0, 20.0
        row.save()
    Station.objects.create(session=session, number=4, name="Our own", x_m=5, y_m=5)
    session.date += timedelta(days=7)
    session.save()
    return session


def path(session: Session) -> str:
    return reverse("planning:move", args=[session.pk])


def test_access(cast: Cast, coming: Session) -> None:
    only_who_runs_it(cast, path(coming), {"do": "move"})
    for name in (*OUTSIDERS, "finn"):
        assert cast.client(getattr(cast, name)).get(path(coming)).status_code == 404, name
    other = Venue.objects.create(club=cast.other_squad.club, name="Their hall", outline=RECT)
    shown = cast.client(cast.hazel).get(f"{path(coming)}?to={other.pk}").content.decode()
    assert "Their hall" not in shown


def test_what_cannot_stay_gets_the_next_best_and_nothing_changes_before_the_coach_says_so(
    cast: Cast, coming: Session, hall: Venue
) -> None:
    before = list(queries.stations(coming).values())
    html = unescape(cast.client(cast.hazel).get(path(coming)).content.decode())
    assert "Its ground with the run-outs is larger than this venue." in html
    assert "It needs soft ground" in html
    assert "nobody knows what floor it needs" in html
    assert "2 stations cannot stay as they are." in html
    assert list(queries.stations(coming).values()) == before
    rows = moving.proposal(coming, hall, {}).rows
    assert [bool(row.why) for row in rows] == [True, True, False, False]
    for row in rows[:2]:
        assert 1 <= len(row.offers) <= moving.OFFERED
        assert standard()[row.chosen].aims[0] == standard()[row.station.activity].aims[0]
        assert not standard()[row.chosen].soft


def test_moved_with_the_coach_s_choices_the_stations_stay_the_same_rows(
    cast: Cast, coming: Session, hall: Venue
) -> None:
    first, second, third, fourth = moving.proposal(coming, hall, {}).rows
    other = first.offers[1].code
    choice = {f"at-{first.station.pk}": other, f"at-{second.station.pk}": "keep", f"at-{third.station.pk}": other}
    client = cast.client(cast.hazel)
    looked = client.post(path(coming), {"do": "look", "to": hall.pk, **choice}).content.decode()
    assert re.search(rf'value="{other}" checked', looked)
    assert Session.objects.get(pk=coming.pk).venue != hall
    sent = client.post(path(coming), {"do": "move", "to": hall.pk, **choice}, follow=True)
    assert "Moved: Weir hall. Groups and times are as they were." in sent.content.decode()
    session = Session.objects.get(pk=coming.pk)
    assert (session.venue, session.place, session.meeting_place) == (hall, "Weir hall", "car park")
    assert session.sequence == coming.sequence + 1  # families are told
    rows = list(queries.stations(session))
    assert [row.pk for row in rows] == [one.station.pk for one in (first, second, third, fourth)]
    assert [row.activity for row in rows] == [other, "stepping-stones", "mirror-pool", ""]
    page = page_of(session)
    assert page.troubles == ()
    assert all(row.placed for row in page.rows)
    assert page.metres > 0


def test_where_there_is_not_ground_enough_the_largest_give_way_to_smaller_ones_and_the_rest_is_said(
    cast: Cast, coming: Session, hall: Venue
) -> None:
    hall.outline = [[0, 0], [26, 0], [26, 17], [0, 17]]
    hall.save()
    for number, code in enumerate(("two-banks", "millers-sacks"), start=1):
        changed = {"activity": code, "diagram": standard()[code].diagram}
        Station.objects.filter(session=coming, number=number).update(**changed)
    move = moving.proposal(coming, hall, {})
    assert not move.left_out
    assert "Beside the others there is not ground enough for it." in {row.why for row in move.rows}
    keep = {str(row.station.pk): "keep" for row in move.rows}
    assert moving.proposal(coming, hall, keep).left_out[0] == 1
    html = cast.client(cast.hazel).post(path(coming), {f"at-{pk}": "keep" for pk in keep}).content.decode()
    assert "There is no ground left beside the others for: 1" in html


def test_what_stands_in_needs_no_kit_that_others_use(cast: Cast, coming: Session, hall: Venue) -> None:
    keep_kit(club=cast.club, owned={"cones": 4}, by=cast.hazel)
    for row in moving.proposal(coming, hall, {}).rows:
        assert all(set(one.card.kit_all) <= {"cones"} for one in row.offers)
    keep_kit(club=cast.club, owned={"trumpets": 4}, by=cast.hazel)
    assert all(row.chosen == moving.KEEP for row in moving.proposal(coming, hall, {}).rows)


def test_a_session_that_is_over_or_has_nowhere_to_go_stays(cast: Cast, coming: Session, hall: Venue) -> None:
    client = cast.client(cast.hazel)
    coming.date -= timedelta(days=30)
    coming.save()
    said = client.post(path(coming), {"do": "move"}, follow=True).content.decode()
    assert "This session is over" in said
    coming.date += timedelta(days=60)
    coming.save()
    take_menu(session=coming, parts=[], stations=[], by=cast.hazel)
    client.post(path(coming), {"do": "move"})
    assert Session.objects.get(pk=coming.pk).venue == hall
    Venue.objects.filter(club=cast.club).exclude(pk=hall.pk).delete()
    coming.refresh_from_db()
    assert "The club has no other venue yet." in client.get(path(coming)).content.decode()
