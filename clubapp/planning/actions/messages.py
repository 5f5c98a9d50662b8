"""What the head coach writes to families."""

from __future__ import annotations

from django.db import transaction

from clubapp.core.audit import record
from clubapp.people.models import Squad, User
from clubapp.planning.letters import tell_message
from clubapp.planning.models import ClubMessage, Session


@transaction.atomic
def write_message(*, squad: Squad, session: Session | None, text: str, by: User) -> int:
    """To every family of the squad, on its page and by mail; answers with how many adults a mail goes to."""
    message = ClubMessage.objects.create(squad=squad, session=session, text=text, by=by)
    record(club_id=squad.club_id, user_id=by.pk, verb="wrote", kind="message", about=squad.pk)
    return tell_message(message)
