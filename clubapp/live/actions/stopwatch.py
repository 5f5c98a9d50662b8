"""Times taken at a session: the ledger keeps them; what is tested may be new to it. A race's times stay with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clubapp.engine import handtime
from clubapp.games import actions as games
from clubapp.games.handicaps_watch import CLOCK
from clubapp.games.models import Game
from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Answer, Sent
from clubapp.people.models import Athlete
from clubapp.register.actions import Tap
from clubapp.results import actions as results
from clubapp.results.starters import Starter


@dataclass(frozen=True)
class Timed:
    """What an adult's watch or tape said. ago: how long before the tap that named it the child finished.

    typed: from a list, perhaps days later; it is of the session's own day. asked: it looked impossible and was kept.
    """

    athlete: Athlete
    test: Starter
    ms: int
    attempt: int = 1
    state: str = ""
    replaces: UUID | None = None
    ago: timedelta = timedelta()
    doubtful: bool = False
    typed: bool = False
    asked: bool = False
    timing: str = results.Timing.HAND
    conditions: results.Conditions = field(default_factory=results.Conditions)


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
        ran_at=_ran_at(timed, sent),
        doubtful=timed.doubtful,
        asked=timed.asked,
        timing=timed.timing,
        conditions=timed.conditions,
        replaces=timed.replaces,
    )
    try:
        return results.record_result(reading=reading, sent=_sent(sent))
    except results.RefusedError as error:
        raise RefusedError(str(error)) from error


@dataclass(frozen=True)
class Clocked:
    """What a watch showed for one child in a handicap race, from the first start on. ms: None = it was no time."""

    game: Game
    round: int
    athlete: Athlete
    ms: int | None
    replaces: UUID | None = None


def time_in_race(*, clocked: Clocked, sent: Sent) -> Answer:
    """Ready to be kept with the race by whoever enters it.

    Raises:
        RefusedError: why it cannot be taken.
    """
    data = {"child": str(clocked.athlete.pk), "ms": clocked.ms, "replaces": str(clocked.replaces or "")}
    try:
        games.enter(game=clocked.game, saying=games.Saying(CLOCK, clocked.round, 1, data), tap=sent.tap)
    except games.RefusedError as error:
        raise RefusedError(str(error)) from error
    return {"text": handtime.text(clocked.ms) if clocked.ms else "", "watches": 1}


def _ran_at(timed: Timed, sent: Sent) -> datetime:
    at = _tapped(sent.tap) - timed.ago
    return min(at, sent.by.session.ends_at) if timed.typed and _is_later(at, sent) else at


def _is_later(at: datetime, sent: Sent) -> bool:
    session = sent.by.session
    return session.club.today(at) > session.date


def _tapped(tap: Tap) -> datetime:
    now = timezone.now()
    return min(tap.tapped_at or now, now)


def _sent(sent: Sent) -> results.Sent:
    tap, visitor = sent.tap, sent.by.visitor
    return results.Sent(
        sent.by.user, tap.op_id, tap.device, tap.tapped_at, tap.base_version, visitor.pk if visitor else None
    )
