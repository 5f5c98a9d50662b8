"""One tap on a row, and the marks behind the second tap."""

from __future__ import annotations

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.register import queries
from clubapp.register.models import Mark
from tests.cast import Cast, guardian_of, make_child
from tests.register.field import HTMX, address, kinds, only_those_who_work_here, say, tap


def test_access(cast: Cast) -> None:
    data = {"athlete": str(cast.ada.pk), "kind": "here"}
    only_those_who_work_here(cast, address("mark", cast.session), data)


def test_one_tap_marks_here_and_nobody_else(cast: Cast) -> None:
    answer = tap(cast.client(cast.finn), cast.session, cast.ada)
    assert answer.status_code == 302
    assert answer["Location"].endswith(f"#row-{cast.ada.pk}")
    assert kinds(cast.session) == {"Ada": "here"}
    row = Mark.objects.get()
    assert (row.by, row.by_guardian, row.answer["version"]) == (cast.finn, False, 1)


def test_a_tap_from_the_page_swaps_the_row_and_the_counts_only(cast: Cast) -> None:
    answer = tap(cast.client(cast.hazel), cast.session, cast.ada, headers=HTMX)
    html = answer.content.decode()
    assert f'id="mark-{cast.ada.pk}"' in html
    assert 'id="counts" hx-swap-oob="true"' in html
    assert "<html" not in html
    assert "Bo Reed" not in html


def test_the_same_tap_sent_twice_counts_once_and_gets_the_kept_answer(cast: Cast) -> None:
    client, op_id = cast.client(cast.hazel), uuid.uuid4()
    as_json = {"Accept": "application/json"}
    first = tap(client, cast.session, cast.ada, op_id=op_id, headers=as_json)
    tap(client, cast.session, cast.ada, kind="absent")
    second = tap(client, cast.session, cast.ada, op_id=op_id, headers=as_json)
    assert first.json() == second.json() == {"athlete": str(cast.ada.pk), "kind": "here", "version": 1}
    assert Mark.objects.count() == 2
    assert version_of(cast.session.pk) == 2
    assert kinds(cast.session) == {"Ada": "absent"}


def test_an_op_id_of_another_child_is_refused(cast: Cast) -> None:
    client, op_id = cast.client(cast.hazel), uuid.uuid4()
    tap(client, cast.session, cast.ada, op_id=op_id)
    answer = tap(client, cast.session, cast.athletes[1], op_id=op_id)
    assert answer.status_code == 422
    assert "Tap again" in answer.content.decode()
    assert kinds(cast.session) == {"Ada": "here"}


@pytest.mark.parametrize(
    ("kind", "more", "words"),
    [
        ("late", {}, "here, came late"),
        ("absent", {"word": "no call"}, "not here – no call"),
        ("told", {"word": "cold"}, "told us: cannot come – cold"),
        ("easy", {"leave_out": ["jumps", "contact"]}, "here, go easy: no contact, no jumps"),
        ("easy", {"leave_out": ["watching", "jumps"]}, "here, go easy: watching only"),
    ],
)
def test_other_marks_show_what_they_say(cast: Cast, kind: str, more: dict[str, object], words: str) -> None:
    client = cast.client(cast.hazel)
    assert tap(client, cast.session, cast.ada, kind=kind, **more).status_code == 302
    assert words in client.get(address("register", cast.session)).content.decode()


@pytest.mark.parametrize(
    ("kind", "words"),
    [("left", "Say who takes the child"), ("easy", "Tick what to leave out"), ("cleared", ""), ("", "")],
)
def test_half_a_mark_is_not_taken(cast: Cast, kind: str, words: str) -> None:
    answer = tap(cast.client(cast.hazel), cast.session, cast.ada, kind=kind)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Mark.objects.exists()


def test_what_was_typed_for_another_mark_is_not_kept(cast: Cast) -> None:
    tap(cast.client(cast.hazel), cast.session, cast.ada, kind="absent", leave_out=["jumps"], with_whom="Rob")
    row = Mark.objects.get()
    assert (row.leave_out, row.with_whom) == ([], "")


def test_a_child_of_another_club_or_squad_is_not_found(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    zed = cast.other_squad.athletes.get()
    other = make_child(cast.club, cast.club.squads.create(name="Tuesday"), "Tess")
    for child in (zed, other):
        assert tap(client, cast.session, child).status_code == 404
    assert tap(client, cast.other_session, zed).status_code == 404
    assert not Mark.objects.exists()


@pytest.mark.parametrize(
    "bad",
    [
        {"athlete": "nobody"},
        {"op_id": "7"},
        {"base_version": "-1"},
        {"tapped_at": "2026-05-09T10:00:00"},
        {"tapped_at": "yesterday"},
        {"tapped_at": "2026-02-31T10:00:00Z"},
        {"tapped_at": "0001-01-01T00:00:00+14:00"},
        {"base_version": "9" * 30},
        {"device": "d" * 65},
        {"leave_out": ["everything"], "kind": "easy"},
        {"word": "w" * 201},
    ],
    ids=str,
)
def test_bad_input_changes_nothing_and_says_so(cast: Cast, bad: dict[str, object]) -> None:
    client = cast.client(cast.hazel)
    answer = tap(client, cast.session, cast.ada, **bad)
    assert answer.status_code == 422
    answer = tap(client, cast.session, cast.ada, **bad, headers={"Accept": "application/json"})
    assert (answer.status_code, bool(answer.json()["errors"])) == (422, True)
    assert not Mark.objects.exists()


def test_a_fast_clock_is_set_back_to_the_receipt(cast: Cast) -> None:
    before = timezone.now()
    ahead = (before + timedelta(hours=2)).isoformat()
    tap(cast.client(cast.hazel), cast.session, cast.ada, tapped_at=ahead)
    assert before <= Mark.objects.get().tapped_at <= timezone.now()


def test_a_tap_kept_on_a_phone_takes_its_place_by_when_it_was_tapped(cast: Cast) -> None:
    say(cast, cast.ada, "absent", device="a")
    early = (timezone.now() - timedelta(minutes=5)).isoformat()
    tap(cast.client(cast.finn), cast.session, cast.ada, tapped_at=early, device="b")
    assert kinds(cast.session) == {"Ada": "absent"}
    assert Mark.objects.count() == 2


def test_who_saw_a_mark_comes_after_it_even_with_a_slow_clock(cast: Cast) -> None:
    say(cast, cast.ada, "absent", device="a")
    early = (timezone.now() - timedelta(minutes=5)).isoformat()
    tap(cast.client(cast.finn), cast.session, cast.ada, tapped_at=early, device="b", base_version=1)
    mark = queries.current_marks(cast.session.pk)[cast.ada.pk]
    assert (mark.kind, mark.changed_by) == ("here", ())


def test_two_phones_that_did_not_see_each_other_are_named(cast: Cast) -> None:
    tap(cast.client(cast.hazel), cast.session, cast.ada)
    tap(cast.client(cast.finn), cast.session, cast.ada, kind="absent", base_version=0)
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "changed by Hazel and Finn – check" in html
    tap(cast.client(cast.hazel), cast.session, cast.ada, base_version=2)
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert "– check" not in html


def test_marks_are_never_changed(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    tap(client, cast.session, cast.ada)
    first = Mark.objects.values().get()
    tap(client, cast.session, cast.ada, kind="left", went=guardian_of(cast.ada))
    client.post(address("undo", cast.session), {"athlete": cast.ada.pk})
    assert Mark.objects.count() == 3
    assert Mark.objects.filter(pk=first["id"]).values().get() == first
