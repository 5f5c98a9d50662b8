"""A medical flag: always in sight, what to do behind a tap, every look in the log."""

from __future__ import annotations

from clubapp.core.models import AuditLog
from clubapp.people import actions as people
from clubapp.people.models import Health
from tests.cast import Cast
from tests.register.field import HTMX, address, only_those_who_work_here


def note(cast: Cast) -> None:
    answer = people.HealthAnswer(Health.NOTE, "Blue inhaler, sit upright.", "Asthma in cold air")
    people.write_medical_note(athlete=cast.ada, answer=answer, by=cast.hazel)


def looks(cast: Cast) -> list[tuple[object, object]]:
    rows = AuditLog.objects.filter(verb="read", kind="medical note", about=cast.ada.pk)
    return [(row.user, row.club_id) for row in rows]


def test_access(cast: Cast) -> None:
    note(cast)
    only_those_who_work_here(cast, address("health", cast.session, cast.ada.pk))
    assert looks(cast) == []


def test_the_flag_is_in_sight_and_its_words_are_not(cast: Cast) -> None:
    note(cast)
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    assert html.count('class="flag"') == 1
    assert "inhaler" not in html
    assert looks(cast) == []


def test_an_assistant_reads_what_to_do_and_the_look_is_logged(cast: Cast) -> None:
    note(cast)
    html = cast.client(cast.finn).get(address("health", cast.session, cast.ada.pk)).content.decode()
    assert "Blue inhaler, sit upright." in html
    assert "Asthma" not in html
    assert looks(cast) == [(cast.finn, cast.club.pk)]


def test_the_head_coach_reads_the_note_as_well(cast: Cast) -> None:
    note(cast)
    path = address("health", cast.session, cast.ada.pk)
    html = cast.client(cast.hazel).get(path, headers=HTMX).content.decode()
    assert "Asthma in cold air" in html
    assert "<html" not in html


def test_not_asked_is_never_shown_as_nothing(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    path = address("health", cast.session, cast.ada.pk)
    assert "Nobody was asked yet" in client.get(path).content.decode()
    assert (
        "6 children whose health nobody was asked about"
        in client.get(address("register", cast.session)).content.decode()
    )
    people.write_medical_note(athlete=cast.ada, answer=people.HealthAnswer(Health.NOTHING), by=None)
    assert "there is nothing to know" in client.get(path).content.decode()
    assert "5 children whose health" in client.get(address("register", cast.session)).content.decode()


def test_a_child_of_another_register_is_not_found(cast: Cast) -> None:
    zed = cast.other_squad.athletes.get()
    assert cast.client(cast.hazel).get(address("health", cast.session, zed.pk)).status_code == 404
