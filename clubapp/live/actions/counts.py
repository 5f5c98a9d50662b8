"""Head-counts: how many an adult counted at a station. What is expected is known here, not on the phone."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.live import played
from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Answer, Sent, columns, known
from clubapp.live.models import HeadCount
from clubapp.live.onfield import onfield_of
from clubapp.planning.models import Station
from clubapp.register import queries as register
from clubapp.register.actions.taps import moment


@dataclass(frozen=True)
class Count:
    """So many children stood at a station in a round, said an adult who counted them."""

    station: Station
    round: int
    counted: int


@transaction.atomic
def count_heads(*, count: Count, sent: Sent) -> Answer:
    """Keep the count and answer how it differs; the same tap sent again gets the same answer.

    A phone that had not seen the newest groups learns here that its count was not of everybody.
    """
    row = known(HeadCount, sent, station_id=count.station.pk, round=count.round, counted=count.counted)
    if row is not None:
        return dict(row.answer)
    session = sent.by.session
    plan = played.plan_now(session.pk)
    if plan is None or not 1 <= count.round <= len(plan.rounds):
        raise RefusedError(_("There is no such round in the groups any more: look again, and count again."))
    field = onfield_of(session.pk, frozenset(register.here_ids(session.pk)), plan)
    expected = len(field.expected(count.station.pk, count.round))
    answer = {
        "counted": count.counted,
        "expected": expected,
        "short": max(0, expected - count.counted),
        "extra": max(0, count.counted - expected),
        "version": tell(session.pk, "count"),
    }
    HeadCount.objects.create(
        session=session,
        station=count.station,
        round=count.round,
        counted=count.counted,
        expected=expected,
        tapped_at=moment(sent.tap, field.counts),
        answer=answer,
        **columns(sent),
    )
    return answer
