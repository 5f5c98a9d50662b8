"""Undo on a row: as if no adult had said anything."""

from __future__ import annotations

import uuid

import pytest

from clubapp.register import actions
from clubapp.register.actions import Tap
from clubapp.register.models import Mark
from tests.cast import Cast
from tests.register.field import HTMX, address, kinds, only_those_who_work_here, say


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("undo", cast.session), {"athlete": str(cast.ada.pk)})


@pytest.mark.parametrize("kind", ["here", "late", "absent"])
def test_undo_leaves_the_child_unmarked(cast: Cast, kind: str) -> None:
    say(cast, cast.ada, kind)
    cast.client(cast.finn).post(address("undo", cast.session), {"athlete": cast.ada.pk})
    assert kinds(cast.session) == {}


def test_undo_of_late_does_not_set_here(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    say(cast, cast.ada, "late")
    cast.client(cast.hazel).post(address("undo", cast.session), {"athlete": cast.ada.pk})
    assert kinds(cast.session) == {}


def test_a_guardians_notice_stays(cast: Cast) -> None:
    actions.tell_cannot_come(session=cast.session, athlete=cast.ada, word="cold", tap=Tap(cast.greta))
    say(cast, cast.ada, "here")
    client = cast.client(cast.hazel)
    client.post(address("undo", cast.session), {"athlete": cast.ada.pk})
    assert kinds(cast.session) == {"Ada": "told"}
    client.post(address("undo", cast.session), {"athlete": cast.ada.pk})
    assert kinds(cast.session) == {"Ada": "told"}


def test_the_row_comes_back_as_a_button(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    answer = cast.client(cast.hazel).post(address("undo", cast.session), {"athlete": cast.ada.pk}, headers=HTMX)
    html = answer.content.decode()
    assert 'name="kind" value="here"' in html
    assert 'id="counts" hx-swap-oob="true"' in html


def test_sent_twice_counts_once(cast: Cast) -> None:
    client, data = cast.client(cast.hazel), {"athlete": cast.ada.pk, "op_id": uuid.uuid4()}
    say(cast, cast.ada, "here")
    client.post(address("undo", cast.session), data)
    say(cast, cast.ada, "here")
    client.post(address("undo", cast.session), data)
    assert kinds(cast.session) == {"Ada": "here"}


@pytest.mark.parametrize("data", [{}, {"athlete": "x"}, {"rest": "x"}])
def test_bad_input_changes_nothing(cast: Cast, data: dict[str, str]) -> None:
    say(cast, cast.ada, "here")
    assert cast.client(cast.hazel).post(address("undo", cast.session), data).status_code == 422
    assert Mark.objects.count() == 1


def test_a_child_not_on_this_register_is_not_found(cast: Cast) -> None:
    zed = cast.other_squad.athletes.get()
    answer = cast.client(cast.hazel).post(address("undo", cast.session), {"athlete": zed.pk})
    assert answer.status_code == 404
