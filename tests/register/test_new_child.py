"""A child nobody expected, written down at the gate."""

from __future__ import annotations

import uuid
from typing import Any

import pytest

from clubapp.core.models import AuditLog
from clubapp.people.models import Athlete, Guardianship, Health, MedicalNote
from clubapp.register.models import Mark
from tests.cast import Cast
from tests.register.field import HTMX, address, kinds, only_those_who_work_here


def answers(cast: Cast, **more: Any) -> dict[str, Any]:
    return {
        "op_id": str(uuid.uuid4()),
        "given_name": "Ivo",
        "birth_year": str(cast.session.date.year - 9),
        "phone": "07700 900123",
        "collectors": "Jo Marsh, Gran Pat",
        "health": "no",
        "what_to_do": "",
        **more,
    }


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("new_child", cast.session), answers(cast))
    assert not Athlete.objects.filter(given_name="Ivo").exists()


def test_the_child_is_written_down_with_its_adults(cast: Cast) -> None:
    cast.client(cast.finn).post(address("new_child", cast.session), answers(cast) | {"here": "yes"})
    ivo = Athlete.objects.get(given_name="Ivo")
    assert (ivo.club, ivo.birth_year, ivo.details_wanted) == (cast.club, cast.session.date.year - 9, True)
    assert (list(ivo.squads.all()), ivo.joined_on, ivo.health) == ([cast.squad], cast.session.date, Health.NOTHING)
    ties = Guardianship.objects.filter(athlete=ivo).order_by("emergency_order")
    assert [(tie.guardian.name, tie.guardian.phone, tie.may_collect) for tie in ties] == [
        ("Jo Marsh", "07700 900123", True),
        ("Gran Pat", "", True),
    ]
    assert kinds(cast.session) == {"Ivo": "here"}


def test_here_only_by_its_own_button(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(address("new_child", cast.session), answers(cast) | {"only": "yes"})
    assert kinds(cast.session) == {}
    html = client.get(address("register", cast.session)).content.decode()
    assert "Ivo is on the list, not marked." in html


def test_health_is_kept_sealed_with_a_flag(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(address("new_child", cast.session), answers(cast, health="yes", what_to_do="Sit down, ring Jo."))
    ivo = Athlete.objects.get(given_name="Ivo")
    assert MedicalNote.objects.get(athlete=ivo).what_to_do == "Sit down, ring Jo."
    html = client.get(address("register", cast.session)).content.decode()
    assert "health: what to do" in html
    assert "Sit down" not in html


def test_what_to_do_without_a_yes_is_not_kept(cast: Cast) -> None:
    cast.client(cast.hazel).post(address("new_child", cast.session), answers(cast, what_to_do="nothing"))
    assert not MedicalNote.objects.exists()


def test_sent_twice_makes_one_child(cast: Cast) -> None:
    client, data = cast.client(cast.hazel), answers(cast) | {"here": "yes"}
    for _ in range(2):
        assert client.post(address("new_child", cast.session), data).status_code == 302
    assert Athlete.objects.filter(given_name="Ivo").count() == 1
    assert Mark.objects.count() == 1


def test_a_namesake_of_the_same_year_is_asked_about(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    twin = answers(cast, given_name="ada", birth_year=str(cast.ada.date_of_birth.year))
    answer = client.post(address("new_child", cast.session), twin)
    assert answer.status_code == 422
    assert "on the list already" in answer.content.decode()
    assert client.post(address("new_child", cast.session), twin | {"twin": "on"}).status_code == 302
    assert Athlete.objects.filter(given_name__iexact="ada").count() == 2


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ({"given_name": " "}, "Please fill this in."),
        ({"birth_year": "1887"}, "Write four digits between"),
        ({"birth_year": "nine"}, "Write a whole number in digits."),
        ({"phone": "ask Jo"}, "Write the number with digits"),
        ({"collectors": " , "}, "Write at least one name."),
        ({"health": ""}, "Please choose one."),
        ({"health": "maybe"}, "not one of the choices"),
        ({"health": "yes"}, "Write what to do, in a few words."),
        ({"op_id": "1"}, "Load the page again."),
    ],
    ids=str,
)
def test_bad_answers_keep_what_was_typed_and_save_nothing(cast: Cast, bad: dict[str, str], words: str) -> None:
    answer = cast.client(cast.hazel).post(address("new_child", cast.session), answers(cast, **bad))
    html = answer.content.decode()
    assert answer.status_code == 422
    assert words in html
    assert "07700 900123" in html or "phone" in bad
    assert not Athlete.objects.filter(given_name="Ivo").exists()
    assert not Mark.objects.exists()


def test_an_op_id_of_another_session_makes_no_child(cast: Cast) -> None:
    data = answers(cast) | {"here": "yes"}
    Mark.objects.create(
        op_id=data["op_id"], session=cast.other_session, athlete=cast.other_squad.athletes.get(), kind="here",
        tapped_at=cast.session.starts_at,
    )  # fmt: skip
    answer = cast.client(cast.hazel).post(address("new_child", cast.session), data)
    assert answer.status_code == 422
    assert not Athlete.objects.filter(given_name="Ivo").exists()


def test_the_log_keeps_it_without_names(cast: Cast) -> None:
    cast.client(cast.hazel).post(address("new_child", cast.session), answers(cast))
    ivo = Athlete.objects.get(given_name="Ivo")
    lines = AuditLog.objects.filter(about=ivo.pk)
    assert {line.kind for line in lines} == {"athlete", "medical note", "guardian"}
    assert not any("Ivo" in str(line.detail) or "Jo" in str(line.detail) for line in lines)


def test_a_phone_that_sends_from_its_queue_gets_the_row(cast: Cast) -> None:
    data = answers(cast) | {"here": "yes"}
    html = cast.client(cast.finn).post(address("new_child", cast.session), data, headers=HTMX).content.decode()
    assert f'id="row-{Athlete.objects.get(given_name="Ivo").pk}"' in html
    assert 'id="counts" hx-swap-oob="true"' in html
    again = cast.client(cast.finn).post(address("new_child", cast.session), data, headers=HTMX).content.decode()
    assert Athlete.objects.filter(given_name="Ivo").count() == 1
    assert "row-" in again


def test_a_phone_that_sends_from_its_queue_hears_why_not(cast: Cast) -> None:
    data = answers(cast, phone="")
    answer = cast.client(cast.finn).post(address("new_child", cast.session), data, headers=HTMX)
    assert answer.status_code == 422
    assert "<html" not in answer.content.decode()
    assert "<li>An adult&#x27;s phone: Please fill this in.</li>" in answer.content.decode()
