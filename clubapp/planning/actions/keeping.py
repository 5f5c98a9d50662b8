"""What of a session is written for a while only; the session itself names no child and stays."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.clearing import by_rows
from clubapp.core.registry import Keeping
from clubapp.planning.models import ClubMessage, Review


def _old(club_id: UUID, first: date) -> QuerySet[Review]:
    return Review.objects.filter(session__club=club_id, session__date__lt=first)


def _old_messages(club_id: UUID, first: date) -> QuerySet[ClubMessage]:
    return ClubMessage.objects.filter(squad__club=club_id, at__date__lt=first)


def _say_messages(count: int) -> str:
    return ngettext("%(n)d message to families", "%(n)d messages to families", count) % {"n": count}


def _say(count: int) -> str:
    said = ngettext("what was written after %(n)d session", "what was written after %(n)d sessions", count)
    return said % {"n": count}


MESSAGES = Keeping("messages", _lazy("Messages to families"), "", 24, 12, 120, *by_rows(_old_messages, _say_messages))
REVIEWS = Keeping("reviews", _lazy("The three lines after a session"), "", 36, 12, 120, *by_rows(_old, _say))
