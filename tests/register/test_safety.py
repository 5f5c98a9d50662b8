"""The page on safety: nothing is assessed without a reading, and nobody is cleared by one."""

from __future__ import annotations

from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people.models import MedicalNote
from clubapp.planning.models import Session, Station, Venue
from tests.cast import Cast


def address(cast: Cast) -> str:
    return reverse("register:safety", args=[cast.session.pk])


def shown(cast: Cast, query: str = "", status: int = 200) -> str:
    answer = cast.client(cast.finn).get(address(cast) + query)
    assert answer.status_code == status
    return " ".join(answer.content.decode().split())


def test_access(cast: Cast) -> None:
    sent = cast.client().get(address(cast))
    assert (sent.status_code, "sign-in" in sent["Location"]) == (302, True)
    for name in ("sal", "olga", "greta", "wanda"):
        assert cast.client(getattr(cast, name)).get(address(cast)).status_code == 404, name


def test_heat_is_not_assessed_without_a_reading_and_clears_nobody_with_one(cast: Cast) -> None:
    bare = shown(cast)
    assert "Not assessed." in bare
    assert "assumes shade" in bare
    assert "ask your governing body" in bare.lower()
    mild = shown(cast, "?temperature=18&humidity=50")
    assert "below the first band" in mild
    assert "That clears nobody" in mild
    hot = shown(cast, "?temperature=31&humidity=60&wbgt=27")
    assert "Heat index 35 °C: extreme caution." in hot
    assert "WBGT 27 °C by the strictest of the tables." in hot
    assert hot.count("Water at least every 15 minutes.") == 2
    assert "Make the work softer" not in hot
    chosen = shown(cast, "?wbgt=27.9&table=georgia")
    assert "by the table of Georgia" in chosen
    assert "Make the work softer" in chosen
    assert "call it off" in shown(cast, "?wbgt=33")
    for page in (bare, mild, hot):
        assert "fine" not in page.replace("define", "")
        assert "is safe" not in page


def test_half_a_reading_is_asked_for_by_its_field(cast: Cast) -> None:
    assert "needs both temperature and humidity" in shown(cast, "?temperature=31", 422)
    html = shown(cast, "?temperature=31&humidity=130&wbgt=x&table=mine", 422)
    assert "Not assessed." in html
    assert 'value="31"' in html


def test_help_notes_and_wet_ground(cast: Cast) -> None:
    assert shown(cast).count("not written down") == 6
    venue = Venue.objects.create(
        club=cast.club, name="M", outline=[[0, 0], [9, 0], [9, 9], [0, 9]], address="1 Weir Lane", phone="01632 960001"
    )
    Session.objects.filter(pk=cast.session.pk).update(venue=venue)
    Station.objects.filter(session=cast.session, number=2).update(activity="river-bends")
    MedicalNote.objects.update_or_create(athlete=cast.ada, defaults={"what_to_do": "Blue inhaler, two puffs."})
    html = shown(cast)
    for words in ("1 Weir Lane", 'href="tel:01632960001"', "wider bends and less speed", "Thunder within 30 seconds"):
        assert words in html
    assert reverse("register:health", args=[cast.session.pk, cast.ada.pk]) in html
    assert "Blue inhaler" not in html
    assert not AuditLog.objects.filter(verb="read").exists()
