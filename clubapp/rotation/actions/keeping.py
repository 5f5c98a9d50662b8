"""What of old evenings goes when its time is over."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.clearing import by_rows
from clubapp.core.registry import Keeping
from clubapp.rotation.models import Plan


def _old(club_id: UUID, first: date) -> QuerySet[Plan]:
    return Plan.objects.filter(session__club=club_id, session__date__lt=first)


def _say(count: int) -> str:
    return ngettext("%(n)d plan of an evening", "%(n)d plans of evenings", count) % {"n": count}


PLANS = Keeping("rotation", _lazy("Groups and rotations"), "", 36, 12, 300, *by_rows(_old, _say))
