"""The bell is played on from where it was played last, and always stands as its whole log says."""

from __future__ import annotations

import uuid

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from clubapp.engine import clock
from clubapp.live import bridge, played, queries
from clubapp.live.models import Command
from tests.cast import Cast
from tests.live.evening import give, leader, ready


@pytest.fixture(autouse=True)
def nothing_known() -> None:
    played._known.clear()


def whole(cast: Cast) -> clock.State:
    """The log from its first line, with nothing remembered."""
    return clock.fold([bridge.command_of(row) for row in queries.log_of(cast.session.pk)])


def test_it_stands_as_the_whole_log_says_after_every_command(cast: Cast) -> None:
    ready(cast)
    for kind in ("start", "add", "pause", "resume", "next", "back", "undo", "stop", "resume", "end"):
        give(leader(cast), kind, played.state_of(cast.session.pk).seq, seconds=30 if kind == "add" else 0)
        assert played.state_of(cast.session.pk) == whole(cast), kind


def test_a_line_is_read_once(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    for seen in range(1, 6):
        give(leader(cast), "add", seen, seconds=1)
    played.state_of(cast.session.pk)
    rows, _known = played._read(cast.session.pk, lambda since: queries.log_of(cast.session.pk, since))
    assert [row.seq for row in rows] == [6]


def test_a_command_that_was_given_up_is_forgotten(cast: Cast) -> None:
    """Its number is taken by another one."""
    ready(cast)
    give(leader(cast), "start")
    with transaction.atomic():
        give(leader(cast), "pause", 1)
        assert played.state_of(cast.session.pk).phase is clock.Phase.PAUSED
        transaction.set_rollback(True)
    assert played.state_of(cast.session.pk).phase is clock.Phase.RUNNING
    give(leader(cast), "add", 1, seconds=60)
    assert played.state_of(cast.session.pk) == whole(cast)


def test_a_tap_given_up_and_sent_again_behind_another_counts_where_it_stands(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    tap = uuid.uuid4()
    with transaction.atomic():
        give(leader(cast), "add", 1, seconds=60, op_id=tap)
        played.state_of(cast.session.pk)
        transaction.set_rollback(True)
    give(leader(cast), "add", 1, seconds=5)
    give(leader(cast), "add", 1, seconds=60, op_id=tap)
    assert [row.seq for row in Command.objects.order_by("seq")] == [1, 2, 3]
    assert played.state_of(cast.session.pk) == whole(cast)


def test_until_the_start_the_newest_groups_count(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "stop")
    before = played.state_of(cast.session.pk)
    assert not played._known
    assert before.schedule.segments


def test_only_so_many_sessions_are_kept_in_mind(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(played, "MOST", 0)
    ready(cast)
    give(leader(cast), "start")
    assert played.state_of(cast.session.pk) == whole(cast)
    assert not played._known


def test_what_a_command_meets_comes_in_one_question(cast: Cast) -> None:
    ready(cast)
    give(leader(cast), "start")
    room = cast.session.room
    with CaptureQueriesContext(connection) as asked:
        found = played.before(room, uuid.uuid4())
    assert len(asked) == 1
    assert (found.state, found.last and found.last.seq, found.earlier) == (whole(cast), 1, None)
