"""The waiting list, and the squad list looked through: search, filters, doubles, who has left."""

from __future__ import annotations

from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions, lists, queries
from clubapp.people.models import Athlete, Guardianship, Health
from clubapp.register.access import expected
from tests.cast import Cast
from tests.people.access import for_no_club, only_the_head_coach


def address(name: str, child: Athlete) -> str:
    return reverse(f"people:{name}", args=[child.pk])


def test_only_the_head_coach(cast: Cast) -> None:
    for_no_club(cast, reverse("people:waiting_list"))
    only_the_head_coach(cast, address("athlete_wait", cast.ada))
    only_the_head_coach(cast, address("athlete_place", cast.ada), {"squad": cast.squad.pk})
    assert not Athlete.objects.filter(waiting_since__isnull=False).exists()


def test_who_waits_is_on_no_register_until_there_is_a_place(cast: Cast) -> None:
    hazel = cast.client(cast.hazel)
    hazel.post(address("athlete_wait", cast.ada))
    assert cast.ada not in expected(cast.session)
    assert cast.ada not in queries.roster(cast.club)
    page = hazel.get(reverse("people:waiting_list")).content.decode()
    assert "Ada Reed" in page
    assert "+447700900123" in page
    for wrong in ("", "7", str(cast.other_squad.pk)):
        hazel.post(address("athlete_place", cast.ada), {"squad": wrong})
        assert cast.ada not in expected(cast.session)
    hazel.post(address("athlete_place", cast.ada), {"squad": cast.squad.pk})
    assert cast.ada in expected(cast.session)
    assert not queries.waiting(cast.club).exists()
    verbs = AuditLog.objects.filter(kind="athlete", about=cast.ada.pk).values_list("verb", flat=True)
    assert {"put on waiting list", "given a place"} <= set(verbs)


def test_a_squad_by_any_other_way_ends_the_waiting(cast: Cast) -> None:
    actions.put_on_waiting_list(athlete=cast.ada, by=cast.hazel)
    details = actions.AthleteDetails(given_name="Ada", family_name="Reed")
    actions.change_athlete(athlete=cast.ada, details=details, squads=[cast.squad], by=cast.hazel)
    assert not queries.waiting(cast.club).exists()


def test_the_list_is_narrowed_by_words_squad_and_what_is_missing(cast: Cast) -> None:
    ada, bo, cleo, *others = cast.athletes
    Guardianship.objects.filter(athlete=bo).update(may_collect=False)
    actions.write_medical_note(athlete=ada, answer=actions.HealthAnswer(Health.NOTE, "Sit."), by=cast.hazel)
    actions.write_medical_note(athlete=bo, answer=actions.HealthAnswer(Health.NOTHING), by=cast.hazel)
    tie = Guardianship.objects.get(athlete=cleo)
    for kind in ("photographs", "data", "first_aid"):
        actions.record_consent(tie=tie, kind=kind, given=True, by=cast.hazel)
    everybody = set(cast.athletes)
    found = {name: set(lists.children(cast.club, squad=None, words="", only=name)) for name in lists.FILTERS}
    assert found == {
        "health": {ada},
        "not_asked": {cleo, *others},
        "no_adult": set(others),
        "no_collector": {bo, *others},
        "no_photos": everybody - {cleo},
        "no_first_aid": everybody - {cleo},
        "no_data": everybody - {cleo},
    }
    assert set(lists.children(cast.club, squad=cast.squad, words="reed ad", only="nonsense")) == {ada}
    html = cast.client(cast.hazel).get(reverse("people:athletes"), {"only": "health", "words": "bo"}).content.decode()
    assert "Nobody on the list." in html


def test_doubles_are_reported_and_who_has_left_is_found(cast: Cast) -> None:
    twin = actions.make_athlete(club=cast.club, details=actions.AthleteDetails(given_name="Cleo"), by=cast.hazel)
    actions.leave_club(athlete=cast.athletes[5], by=cast.hazel)
    html = cast.client(cast.hazel).get(reverse("people:athletes")).content.decode()
    assert "Perhaps one child with two records" in html
    assert str(twin.pk) in html
    assert "1 child has left" in html
    assert "Fay Reed" in html
