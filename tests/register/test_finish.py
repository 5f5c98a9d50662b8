"""The end of the register, and on to the groups."""

from __future__ import annotations

from django.urls import reverse

from clubapp.register import queries
from clubapp.register.models import FinishedRegister
from tests.cast import Cast
from tests.register.field import address, only_those_who_work_here, say


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("finish", cast.session), finn=False)
    assert not FinishedRegister.objects.exists()


def test_the_head_coach_goes_on_to_the_groups(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    client = cast.client(cast.hazel)
    answer = client.post(address("finish", cast.session))
    assert (answer.status_code, answer["Location"]) == (302, reverse("rotation:plan", args=[cast.session.pk]))
    row = FinishedRegister.objects.get()
    assert (row.session, row.by) == (cast.session, cast.hazel)
    assert queries.finished(cast.session.pk)
    assert "5 children are not marked." in client.get(answer["Location"]).content.decode()


def test_the_adult_to_whom_it_was_handed_over_may(cast: Cast) -> None:
    cast.session.leader = cast.finn
    cast.session.save()
    assert cast.client(cast.finn).post(address("finish", cast.session)).status_code == 302


def test_finishing_marks_nobody(cast: Cast) -> None:
    cast.client(cast.hazel).post(address("finish", cast.session))
    assert queries.current_marks(cast.session.pk) == {}


def test_twice_is_once_and_a_later_mark_undoes_it_not(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(address("finish", cast.session))
    first = FinishedRegister.objects.values().get()
    client.post(address("finish", cast.session))
    say(cast, cast.ada, "late")
    assert FinishedRegister.objects.values().get() == first
    html = client.get(address("register", cast.session)).content.decode()
    assert "To the groups" in html
    assert "Finish register" not in html


def test_a_phone_s_queue_hears_that_it_was_taken_and_the_next_page_who_is_not_marked(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    for _time in range(2):
        answer = client.post(address("finish", cast.session), headers={"Accept": "application/json"})
        assert (answer.status_code, answer.json()) == (200, {"finished": True})
    assert FinishedRegister.objects.count() == 1
    plan = client.get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "6 children are not marked." in plan


def test_an_assistant_is_offered_no_finish(cast: Cast) -> None:
    assert "Finish register" not in cast.client(cast.finn).get(address("register", cast.session)).content.decode()
