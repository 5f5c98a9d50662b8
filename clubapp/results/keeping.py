"""Results whose time is over, with all their corrections."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.clearing import by_rows
from clubapp.core.registry import Keeping
from clubapp.results.models import Result


def _old(club_id: UUID, first: date) -> QuerySet[Result]:
    """A correction may give another day: what a younger row replaces stays, for the row would go with it."""
    rows = Result.objects.filter(trial__club=club_id)
    found = rows.exclude(replaces=None).values_list("pk", "replaces")
    replaces = {newer: older for newer, older in found if older}
    stays = set(rows.filter(on__gte=first).values_list("pk", flat=True))
    more = stays
    while more := {replaces[pk] for pk in more if pk in replaces}:
        stays |= more
    return rows.filter(on__lt=first).exclude(pk__in=stays & set(replaces.values()))


def _say(count: int) -> str:
    return ngettext("%(n)d result of a test", "%(n)d results of tests", count) % {"n": count}


RESULTS = Keeping("results", _lazy("Results of tests"), "", 60, 12, 300, *by_rows(_old, _say))
