"""Three short lines after the end, for the next time."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from django.db import transaction
from django.utils import timezone

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.people.models import User
from clubapp.planning.models import Review, Session


@dataclass(frozen=True)
class Lines:
    """What went well, what to change, what to do next week."""

    went_well: str = ""
    change: str = ""
    next_week: str = ""


@transaction.atomic
def write_review(*, session: Session, lines: Lines, by: User) -> Review:
    """The lines as they are now."""
    values = asdict(lines) | {"by": by, "at": timezone.now()}
    row, _made = Review.objects.update_or_create(session=session, defaults=values)
    record(club_id=session.club_id, user_id=by.pk, verb="changed", kind="review", about=session.pk)
    tell(session.pk, "session")
    return row
