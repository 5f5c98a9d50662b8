"""Every write to the ledger."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from itertools import count
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from clubapp.people.models import Athlete, Club, User
from clubapp.results import queries
from clubapp.results.models import SPEED, Result, Trial
from clubapp.results.starters import Starter

Timing, State = Result.Timing, Result.State
Answer = dict[str, Any]
CODE = 36  # room for a number behind it


class RefusedError(ValueError):
    """Says why a result cannot be taken, in words for the adult."""


@dataclass(frozen=True)
class Conditions:
    """What a value was taken on; fields are those of the model, "" for not written down."""

    surface: str = ""
    wind: str = ""
    shoes: str = ""
    timed_by: User | None = None


@dataclass(frozen=True)
class Reading:
    """What one watch says of one child. Fields are those of the model; replaces: the op_id of what it corrects."""

    trial: Trial
    athlete: Athlete
    value_ms: int
    timing: str = Timing.HAND
    attempt: int = 1
    state: str = State.COUNTS
    ran_at: datetime | None = None
    doubtful: bool = False
    asked: bool = False
    replaces: UUID | None = None
    conditions: Conditions = Conditions()


@dataclass(frozen=True)
class Sent:
    """Who sends it, on which phone and when. helper: the pass of somebody without an account."""

    by: User | None = None
    op_id: UUID = field(default_factory=uuid4)
    device: str = ""
    tapped_at: datetime | None = None
    base_version: int = 0
    helper: UUID | None = None


@transaction.atomic
def record_result(*, reading: Reading, sent: Sent) -> Answer:
    """Keep it and answer what counts now; the same write sent again gets the same answer.

    Raises:
        RefusedError: what it corrects is not there or is of another child or test; or the op_id is of another write.
    """
    athlete = Athlete.objects.select_for_update().select_related("club").get(pk=reading.athlete.pk)
    row = Result.objects.filter(op_id=sent.op_id).first()
    if row is not None:
        return _same(row, reading)
    row = _row(replace(reading, athlete=athlete), sent)
    row.save(force_insert=True)
    row.answer = _answer(row)
    row.save(update_fields=["answer"])
    return dict(row.answer)


@transaction.atomic
def bring_in(*, readings: Iterable[Reading], sent: Sent) -> None:
    """A whole paper of results at once, with what is common to all in `sent`; none of them corrects another."""
    Result.objects.bulk_create(_row(reading, replace(sent, op_id=uuid4())) for reading in readings)


def _row(reading: Reading, sent: Sent) -> Result:
    """Not written yet; dated on the club's own day, never later than now."""
    now = timezone.now()
    tapped_at = min(sent.tapped_at or now, now)
    ran_at = min(reading.ran_at, now) if reading.ran_at else None
    return Result(
        trial=reading.trial,
        athlete=reading.athlete,
        on=(ran_at or tapped_at).astimezone(reading.athlete.club.zone).date(),
        value_ms=reading.value_ms,
        timing=reading.timing,
        attempt=reading.attempt,
        state=reading.state,
        doubtful=reading.doubtful,
        asked=reading.asked,
        **vars(reading.conditions),
        replaces=_corrected(reading),
        ran_at=ran_at,
        tapped_at=tapped_at,
        op_id=sent.op_id,
        device=sent.device,
        base_version=sent.base_version,
        by=sent.by,
        helper=sent.helper,
    )


def _same(row: Result, reading: Reading) -> Answer:
    """Phones that make equal ids, or somebody who guesses one, change nothing and learn nothing."""
    if (row.athlete_id, row.trial_id, row.value_ms) != (reading.athlete.pk, reading.trial.pk, reading.value_ms):
        raise RefusedError(_("This was sent for something else already. Time it again."))
    return dict(row.answer)


def _corrected(reading: Reading) -> Result | None:
    """The newest row of the value that is corrected: somebody else may have corrected it meanwhile."""
    if reading.replaces is None:
        return None
    row = Result.objects.filter(op_id=reading.replaces, athlete=reading.athlete, trial=reading.trial).first()
    if row is None:
        raise RefusedError(_("The time this corrects is not with the club. Time it again."))
    while (newer := Result.objects.filter(replaces=row).first()) is not None:
        row = newer
    return row


def _answer(row: Result) -> Answer:
    """The time that counts for the run this watch saw, and by how many watches."""
    run = queries.run_of(row)
    return {"result": str(row.pk), "ms": run.ms, "text": run.text, "watches": run.watches, "state": row.state}


@transaction.atomic
def ensure_trial(*, club: Club, test: Starter) -> Trial:
    """The club's own row for a test, made when it is first used."""
    values = {name: value for name, value in vars(test).items() if name != "code"}
    return Trial.objects.get_or_create(club=club, code=test.code, defaults=values)[0]


@dataclass(frozen=True)
class Wish:
    """What a club writes down about a test; fields are those of the model."""

    name: str
    unit: str = Trial.Unit.SECONDS
    better: str = Trial.Better.LESS
    hand_rounding: bool = True
    distance: Decimal | None = None
    distance_unit: str = Trial.Length.METRES
    attempts: int = 2
    least: int | None = None
    most: int | None = None
    how: str = ""


@transaction.atomic
def make_test(*, club: Club, wish: Wish) -> Trial:
    """A test of the club's own; its code never is a standard test's."""
    stem = f"own-{slugify(wish.name)}"[:CODE] or "own"
    taken = set(Trial.objects.filter(club=club, code__startswith=stem).values_list("code", flat=True))
    code = next(code for n in count(1) if (code := stem if n == 1 else f"{stem}-{n}") not in taken)
    return Trial.objects.create(club=club, code=code, **vars(wish))


@transaction.atomic
def change_test(*, club: Club, test: Starter, wish: Wish) -> Trial:
    """A standard test gets its row with the first change."""
    row = ensure_trial(club=club, test=test)
    for name, value in vars(wish).items():
        setattr(row, name, value)
    row.save()
    return row


@transaction.atomic
def archive_test(*, club: Club, test: Starter) -> None:
    """Offer it no more. Its results stay, and it can come back."""
    row = ensure_trial(club=club, test=test)
    if row.archived_at is None:
        Trial.objects.filter(pk=row.pk).update(archived_at=timezone.now())


@transaction.atomic
def restore_test(*, club: Club, test: Starter) -> None:
    Trial.objects.filter(club=club, code=test.code).update(archived_at=None)


@transaction.atomic
def add_speeds(*, club_id: UUID, milliseconds: Mapping[UUID, int], on: date) -> list[UUID]:
    """A dated result of the club's speed test for each child; answers with the ids of the new rows."""
    trial, _made = Trial.objects.get_or_create(club_id=club_id, code=SPEED, defaults={"name": _("Speed")})
    now = timezone.now()
    rows = [
        Result(trial=trial, athlete_id=athlete_id, on=on, value_ms=value, tapped_at=now)
        for athlete_id, value in milliseconds.items()
    ]
    return [row.pk for row in Result.objects.bulk_create(rows)]


@transaction.atomic
def take_back(*, result_ids: Iterable[UUID]) -> None:
    """Remove results that came with a roster; one that was corrected since stays with its correction."""
    Result.objects.filter(pk__in=list(result_ids), replaced_by__isnull=True).delete()


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """Remove all of a child's results."""
    Result.objects.filter(athlete=athlete_id).delete()


@transaction.atomic
def merge_child(stays: UUID, double: UUID) -> None:
    """Two records of one child: all results of the second go to the first."""
    Result.objects.filter(athlete=double).update(athlete=stays)
