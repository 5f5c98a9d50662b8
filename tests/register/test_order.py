"""The current mark is the same however the taps come in, and a tap that saw another always counts after it."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clubapp.register import actions, order, queries
from clubapp.register.actions import Said, Tap
from clubapp.register.models import Mark
from tests.cast import Cast

START = datetime(2026, 5, 9, 9, 0, tzinfo=UTC)
KINDS = [kind for kind in Mark.Kind if kind != Mark.Kind.TOLD]
DATABASE = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@dataclass(frozen=True)
class Tapped:
    """A tap on one of three children by one of three phones, none of which saw the others."""

    child: int
    kind: str
    device: str
    second: int
    guardian: bool
    op_id: uuid.UUID


TAPS = st.lists(
    st.builds(
        Tapped,
        child=st.integers(0, 2),
        kind=st.sampled_from([str(kind) for kind in KINDS]),
        device=st.sampled_from(["a", "b", "c"]),
        second=st.integers(0, 3),
        guardian=st.booleans(),
        op_id=st.uuids(version=4),
    ),
    max_size=7,
    unique_by=lambda tap: tap.op_id,
)


def said(tapped: Tapped) -> Said:
    if tapped.guardian:
        kind = Mark.Kind.CLEARED if tapped.kind == Mark.Kind.CLEARED else Mark.Kind.TOLD
        return Said(kind, by_guardian=True)
    return Said(tapped.kind)


def arrive(cast: Cast, taps: list[Tapped]) -> dict[uuid.UUID, tuple[str, bool, uuid.UUID]]:
    """Take the taps in, read the current marks, and forget it all again."""
    with transaction.atomic():
        for tapped in taps:
            tap = Tap(cast.hazel, tapped.op_id, tapped.device, START + timedelta(seconds=tapped.second))
            child = cast.athletes[tapped.child]
            actions.mark(session=cast.session, athlete=child, said=said(tapped), tap=tap)
        marks = queries.current_marks(cast.session.pk)
        assert queries.here_ids(cast.session.pk) == sorted(child for child, mark in marks.items() if mark.here)
        found = {child: (mark.kind, mark.by_guardian, mark.op_id) for child, mark in marks.items()}
        transaction.set_rollback(True)
    return found


@DATABASE
@given(data=st.data(), taps=TAPS)
def test_any_order_of_arrival_gives_the_same_marks(cast: Cast, data: st.DataObject, taps: list[Tapped]) -> None:
    other = data.draw(st.permutations(taps))
    assert arrive(cast, taps) == arrive(cast, other)


@DATABASE
@given(taps=TAPS)
def test_nobody_is_here_who_was_not_tapped_here(cast: Cast, taps: list[Tapped]) -> None:
    tapped_here = {
        cast.athletes[tap.child].pk for tap in taps if said(tap).kind in queries.HERE_KINDS and not tap.guardian
    }
    here = {child for child, (kind, _guardian, _op) in arrive(cast, taps).items() if kind in queries.HERE_KINDS}
    assert here <= tapped_here


@DATABASE
@given(taps=TAPS)
def test_sent_twice_counts_once(cast: Cast, taps: list[Tapped]) -> None:
    assert arrive(cast, taps) == arrive(cast, [tap for tap in taps for _ in range(2)])


def mark(kind: str, second: int, device: str, *, base: int = 0, version: int, guardian: bool = False) -> Mark:
    return Mark(
        kind=kind,
        tapped_at=START + timedelta(seconds=second),
        device=device,
        base_version=base,
        answer={"version": version},
        by_guardian=guardian,
    )


def test_a_notice_stands_under_the_marks_of_adults_and_comes_back_when_they_are_undone() -> None:
    told = mark("told", 0, "g", version=1, guardian=True)
    here = mark("here", 1, "a", base=1, version=2)
    undone = mark("cleared", 2, "a", base=2, version=3)
    assert order.counting([told, here]) is here
    assert order.counting([told, here, undone]) is told


def test_a_notice_taken_back_leaves_what_an_adult_marked() -> None:
    absent = mark("absent", 0, "a", version=1)
    told = mark("told", 1, "g", version=2, guardian=True)
    back = mark("cleared", 2, "g", version=3, guardian=True)
    assert order.counting([absent, told, back]) is absent
    assert order.counting([told, back]) is None


def test_a_notice_never_turns_a_child_who_is_here_away() -> None:
    here = mark("here", 0, "a", version=1)
    told = mark("told", 5, "g", version=2, guardian=True)
    assert order.counting([here, told]) is here


def test_equal_values_are_no_clash() -> None:
    assert order.clash([mark("here", 0, "a", version=1), mark("here", 1, "b", version=2)]) is None


def test_one_phone_does_not_clash_with_itself() -> None:
    assert order.clash([mark("here", 0, "a", version=1), mark("absent", 1, "a", version=2)]) is None


def test_a_mark_that_saw_the_other_is_no_clash() -> None:
    assert order.clash([mark("here", 0, "a", version=1), mark("absent", 1, "b", base=1, version=2)]) is None


def test_a_mark_overruled_by_its_own_phone_does_not_clash_any_more() -> None:
    here = mark("here", 0, "a", version=1)
    late = mark("late", 1, "a", base=1, version=2)
    also_late = mark("late", 2, "b", version=3)
    assert order.clash([here, late, also_late]) is None


def test_a_clash_lasts_until_somebody_who_saw_both_marks_again() -> None:
    here = mark("here", 0, "a", version=1)
    absent = mark("absent", 1, "b", version=2)
    assert order.clash([here, absent]) == (here, absent)
    looked = mark("here", 2, "b", base=2, version=3)
    assert order.clash([here, absent, looked]) is None


def test_undone_on_one_phone_and_marked_on_another_is_a_clash() -> None:
    here, undone = mark("here", 0, "a", version=1), mark("cleared", 1, "b", version=2)
    assert order.clash([here, undone]) == (here, undone)
