"""Venues and kit: typed, refused by field, changed, removed; a session takes its words from there."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.planning import actions, queries
from clubapp.planning.models import Kit, Session, Venue
from tests.cast import Cast
from tests.planning.doors import only_who_runs_it

NEW, ALL = reverse("venues:venue_new"), reverse("venues:venues")


def answers(**more: Any) -> dict[str, Any]:
    return {
        "name": "Meadow",
        "wide": "60",
        "long": "40.5",
        "closed": "goal: 0, 18, 2, 4\n\nstrip: 30, 0, 1.5, 10",
        "water": "2, 30",
        "first_aid": "58,1.5",
        "first_aid_at": "green bag at the gate",
        "meeting_place": "the gym, north door",
        "address": "1 Weir Lane, Alder Bank",
        "gate": "west gate, key with the warden",
        "entrance": "Alder Bank Infirmary, Mill Road",
        "phone": "01632 960001",
        **more,
    }


def test_a_venue_is_made_changed_and_removed(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    made = client.post(NEW, answers())
    venue = Venue.objects.get(club=cast.club)
    assert made["Location"] == reverse("venues:venue", args=[venue.pk])
    assert (venue.outline, venue.box) == ([[0, 0], [60.0, 0], [60.0, 40.5], [0, 40.5]], (60.0, 40.5))
    assert venue.closed[1] == {"name": "strip", "at": [30.0, 0.0], "size": [1.5, 10.0]}
    assert (venue.water, venue.first_aid, venue.phone) == ([2.0, 30.0], [58.0, 1.5], "01632 960001")
    shown = client.get(made["Location"]).content.decode()
    for value in ('value="40.5"', "goal: 0, 18, 2, 4", 'value="58, 1.5"', "Alder Bank Infirmary"):
        assert value in shown
    client.post(made["Location"], answers(wide="", long="", corners="0,0; 50,0; 50,30; 10,35", indoors="on"))
    venue.refresh_from_db()
    assert (venue.box, venue.indoors, len(venue.outline)) == (None, True, 4)
    assert "0, 0; 50, 0; 50, 30; 10, 35" in client.get(made["Location"]).content.decode()
    Session.objects.filter(pk=cast.session.pk).update(venue=venue)
    client.post(reverse("venues:venue_remove", args=[venue.pk]))
    assert not Venue.objects.exists()
    assert Session.objects.get(pk=cast.session.pk).venue is None
    assert set(AuditLog.objects.filter(kind="venue").values_list("verb", flat=True)) == {"made", "changed", "removed"}


BAD = [
    ({"name": ""}, "Name"),
    ({"wide": ""}, "Write how long it is, or write its corners."),
    ({"long": "900"}, "Metres from south to north"),
    ({"corners": "0,0; 10,0"}, "Three to 12 corners."),
    ({"corners": "0,0; 10,10; 10,0; 0,20"}, "enclose no ground, or their sides cross"),
    ({"corners": "0,0; 10,0; x"}, "“x” could not be read"),
    ({"closed": "goal 3"}, "“goal 3” could not be read"),
    ({"closed": "goal: 0, 0, 0, 3"}, "“goal: 0, 0, 0, 3” could not be read"),
    ({"closed": "a: 1,1,1,1\n" * 13}, "At most 12 lines."),
    ({"water": "900, 2"}, "“900, 2” could not be read"),
]


def test_what_cannot_be_read_is_named_and_nothing_is_lost(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    for bad, words in BAD:
        answer = client.post(NEW, answers(**bad))
        assert answer.status_code == 422, bad
        html = answer.content.decode()
        assert words in html, bad
        assert "1 Weir Lane" in html
    assert not Venue.objects.exists()


def test_access(cast: Cast) -> None:
    details = actions.VenueDetails("Meadow", [[0, 0], [60, 0], [60, 40], [0, 40]])
    venue = actions.keep_venue(club=cast.club, venue=None, details=details, by=cast.hazel)
    own = reverse("venues:venue", args=[venue.pk])
    only_who_runs_it(cast, own, answers())
    only_who_runs_it(cast, reverse("venues:venue_remove", args=[venue.pk]))
    for path in (own, ALL):
        assert cast.client(cast.finn).get(path).status_code == 404
    assert str(venue.pk) not in cast.client(cast.olga).get(ALL).content.decode()


def test_kit_is_kept_as_a_whole(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(ALL, {"kit": "cones:40; balls:12"})
    client.post(ALL, {"kit": "cones:36"})
    assert queries.kit_of(cast.club) == {"cones": 36}
    assert "cones:36" in client.get(ALL).content.decode()
    assert client.post(ALL, {"kit": "cones"}).status_code == 422
    assert Kit.objects.count() == 1


def test_a_session_takes_its_words_from_the_venue_and_another_club_s_is_refused(cast: Cast) -> None:
    client, path = cast.client(cast.hazel), reverse("planning:session", args=[cast.session.pk])
    client.post(NEW, answers())
    venue, session = Venue.objects.get(), cast.session
    sent = {"date": session.date, "starts": "10:00", "minutes": "60", "adults": "4", "place": "", "meeting_place": ""}
    client.post(path, sent | {"venue": venue.pk})
    session.refresh_from_db()
    assert (session.venue, session.place, session.meeting_place) == (venue, "Meadow", "the gym, north door")
    assert actions.copy_session(session=session, by=cast.hazel).venue == venue
    Venue.objects.update(club=cast.other_session.club)
    assert client.post(path, sent | {"venue": venue.pk}).status_code == 422
