"""Every write to the ledger."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.results.models import SPEED, Result, Trial


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
