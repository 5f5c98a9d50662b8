"""The adults of the evening: who is here, who is 18 or over, and the ratio."""

from __future__ import annotations

import uuid

import pytest
from django.urls import reverse

from clubapp.planning.models import Session
from clubapp.register import queries
from clubapp.register.models import AdultMark
from tests.cast import Cast, make_child, make_session
from tests.register.field import HTMX, address, only_those_who_work_here, say


def here(cast: Cast, session: Session | None = None, **data: object) -> int:
    path = address("adult", session or cast.session)
    return int(cast.client(cast.finn).post(path, {"here": "yes", **data}).status_code)


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("adult", cast.session), {"name": "Rob", "here": "yes"})
    assert not AdultMark.objects.exists()


def test_a_member_by_one_tap(cast: Cast) -> None:
    assert here(cast, person=cast.finn.pk, eighteen="on") == 302
    row = AdultMark.objects.get()
    assert (row.person, row.user, row.name, row.here, row.eighteen) == (cast.finn.pk, cast.finn, "Finn", True, True)
    assert queries.adults_here(cast.session.pk) == 1


def test_under_18_does_not_count(cast: Cast) -> None:
    here(cast, person=cast.finn.pk)
    assert queries.adults_here(cast.session.pk) == 0
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "here, under 18: not counted" in html


def test_somebody_by_name_is_one_adult_however_often_typed(cast: Cast) -> None:
    here(cast, name="Rob  Weir", eighteen="on")
    here(cast, name="rob weir", eighteen="on")
    assert len(queries.current_adults(cast.session.pk)) == 1
    assert queries.adults_here(cast.session.pk) == 1


def test_gone_again(cast: Cast) -> None:
    here(cast, person=cast.finn.pk, eighteen="on")
    here(cast, person=cast.finn.pk, eighteen="on")
    cast.client(cast.hazel).post(address("adult", cast.session), {"person": cast.finn.pk, "here": "no"})
    assert queries.adults_here(cast.session.pk) == 0
    assert AdultMark.objects.count() == 3


def test_the_age_is_asked_once(cast: Cast) -> None:
    client, path = cast.client(cast.hazel), address("register", cast.session)
    before = client.get(path).content.decode()
    here(cast, session=make_session(cast.club, cast.squad), person=cast.finn.pk, eighteen="on")
    after = client.get(path).content.decode()
    assert before.count("Here, 18 or over") - after.count("Here, 18 or over") == 1


def test_sent_twice_counts_once(cast: Cast) -> None:
    op_id = uuid.uuid4()
    for _ in range(2):
        assert here(cast, name="Rob", eighteen="on", op_id=op_id) == 302
    assert AdultMark.objects.count() == 1
    assert here(cast, name="Somebody else", op_id=op_id) == 422


@pytest.mark.parametrize("bad", [{}, {"name": "  "}, {"person": "x"}, {"name": "n" * 81}, {"name": "Rob", "here": ""}])
def test_bad_input_is_refused(cast: Cast, bad: dict[str, str]) -> None:
    assert here(cast, **bad) == 422
    assert not AdultMark.objects.exists()


def test_an_id_of_nobody_here_is_not_found(cast: Cast) -> None:
    assert here(cast, person=cast.olga.pk) == 404
    assert here(cast, person=uuid.uuid4()) == 404


def test_a_tap_swaps_the_adults_and_the_counts(cast: Cast) -> None:
    data = {"person": cast.finn.pk, "here": "yes", "eighteen": "on"}
    answer = cast.client(cast.hazel).post(address("adult", cast.session), data, headers=HTMX)
    html = answer.content.decode()
    assert 'id="adult-rows"' in html
    assert 'id="counts" hx-swap-oob="true"' in html
    assert "1 adult here" in html


def test_the_ratio_follows_the_youngest_child_here(cast: Cast) -> None:
    year = cast.session.date.year
    for number in range(16):
        child = make_child(cast.club, cast.squad, f"Ten{number}")
        child.date_of_birth = child.date_of_birth.replace(year=year - 11)
        child.save()
        say(cast, child, "here")
    here(cast, person=cast.finn.pk, eighteen="on")
    page = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "at least 2 adults of 18 or over" in page
    assert "One adult for 8 children, the ratio for the youngest (9 to 12)" in page
    young = make_child(cast.club, cast.squad, "Young")
    young.date_of_birth = young.date_of_birth.replace(year=year - 6)
    young.save()
    say(cast, young, "here")
    page = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "at least 3 adults of 18 or over" in page
    assert "2 adults short" in page
    assert "Your governing body may ask for more." in page


def test_the_ratio_stands_on_the_page_of_the_groups_too_and_before_anybody_came(cast: Cast) -> None:
    plan = reverse("rotation:plan", args=[cast.session.pk])
    assert f"If all {len(cast.athletes)} children" in cast.client(cast.finn).get(plan).content.decode()
    say(cast, cast.ada, "here")
    here(cast, person=cast.finn.pk, eighteen="on")
    for path in (plan, address("ratio", cast.session)):
        html = " ".join(cast.client(cast.finn).get(path).content.decode().split())
        assert "at least 2 adults of 18 or over. 1 is here." in html
        assert "Your governing body may ask for more." in html
