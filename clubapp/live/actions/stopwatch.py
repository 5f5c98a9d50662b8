"""Times taken at a session: the ledger keeps them; what is tested may be new to it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Answer, Sent
from clubapp.people.models import Athlete
from clubapp.register.actions import Tap
from clubapp.results import actions as results
from clubapp.results.starters import Starter


@dataclass(frozen=True)
class Timed:
    """What an adult's watch said. ago: how long before the tap that named it the child finished."""

    athlete: Athlete
    test: Starter
    ms: int
    attempt: int = 1
    state: str = ""
    replaces: UUID | None = None
    ago: timedelta = timedelta()
    doubtful: bool = False


@transaction.atomic
def time_child(*, timed: Timed, sent: Sent) -> Answer:
    """Keep the time; phones are not told: nobody else's page shows it until it is looked at.

    Raises:
        RefusedError: why it cannot be taken.
    """
    club = sent.by.session.club
    reading = results.Reading(
        trial=results.ensure_trial(club=club, test=timed.test),
        athlete=timed.athlete,
        value_ms=timed.ms,
        attempt=timed.attempt,
        state=timed.state,
        ran_at=_tapped(sent.tap) - timed.ago,
        doubtful=timed.doubtful,
        replaces=timed.replaces,
    )
    try:
        return results.record_result(reading=reading, sent=_sent(sent))
    except results.RefusedError as error:
        raise RefusedError(str(error)) from error


def _tapped(tap: Tap) -> datetime:
    now = timezone.now()
    return min(tap.tapped_at or now, now)


def _sent(sent: Sent) -> results.Sent:
    tap, visitor = sent.tap, sent.by.visitor
    return results.Sent(
        sent.by.user, tap.op_id, tap.device, tap.tapped_at, tap.base_version, visitor.pk if visitor else None
    )
