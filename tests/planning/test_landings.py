"""Load of a session made by hand: from its stations' cards, only near a range, with what is not counted."""

from __future__ import annotations

from datetime import date
from html import unescape

from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.planning.landings import landings_of
from clubapp.planning.models import Block, Session, Station
from tests.cast import Cast


def page(cast: Cast, who: str) -> str:
    html = cast.client(getattr(cast, who)).get(reverse("planning:session", args=[cast.session.pk])).content.decode()
    return " ".join(unescape(html).split())


def with_jumps(cast: Cast, *codes: str) -> Session:
    """So many stations with these cards, and one without."""
    Station.objects.filter(session=cast.session).delete()
    for number, code in enumerate((*codes, ""), start=1):
        Station.objects.create(session=cast.session, number=number, name="x", activity=code)
    Block.objects.filter(session=cast.session).delete()
    Block.objects.create(session=cast.session, position=1, kind="game", seconds=300)
    Block.objects.create(session=cast.session, position=2, kind="rotation")
    return cast.session


def test_what_is_near_a_range_is_told_to_the_coach_alone_and_what_has_no_card_is_named(cast: Cast) -> None:
    Athlete.objects.filter(club=cast.club).update(date_of_birth=date(cast.session.date.year - 8, 1, 1))
    session = with_jumps(cast, "stepping-stones", "compass-hops")
    found = landings_of(session)
    assert found.uncounted == ("station 3", "game")
    assert [over for _words, over in found.notes] == [True]
    assert "over the range (25 to 40)" in found.notes[0][0]
    html = page(cast, "hazel")
    assert found.notes[0][0] in html
    assert "No card, so not counted: station 3, game." in html
    assert "Other sport not counted" in html
    assert "landings in this session" not in page(cast, "finn")


def test_far_from_a_range_nothing_is_told_but_what_is_not_counted(cast: Cast) -> None:
    session = with_jumps(cast, "catch-the-current")
    assert landings_of(session).notes == ()
    html = page(cast, "hazel")
    assert "No card, so not counted: station 2, game." in html
    assert "Other sport not counted" not in html
