"""How often a child had come before this record began."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.db import transaction

from clubapp.people.models import Athlete


@transaction.atomic
def set_sessions_before(*, club_id: UUID, counts: Mapping[UUID, int]) -> dict[UUID, int]:
    """Write the counts; answers with what stood there before, for those that changed."""
    rows = Athlete.objects.filter(club=club_id, pk__in=counts)
    changed = [row for row in rows if row.sessions_before != counts[row.pk]]
    before = {row.pk: row.sessions_before for row in changed}
    for row in changed:
        row.sessions_before = counts[row.pk]
    Athlete.objects.bulk_update(changed, ["sessions_before"], batch_size=500)
    return before
