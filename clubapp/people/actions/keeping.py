"""Old records removed when their time is over: what was listed, by the head coach or by the club's monthly run."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.utils.translation import ngettext

from clubapp.core.audit import record
from clubapp.core.registry import Keeping, registry
from clubapp.people import keeping
from clubapp.people.actions.erasing import erase_athlete
from clubapp.people.actions.roster import NotAsShownError
from clubapp.people.models import Athlete, Club, Concern, Import, ImportDraft, User

NIGHT = range(1, 6)  # the club's own hours; nobody waits for a tap then


@transaction.atomic
def set_periods(*, club: Club, months: Mapping[str, int], by: User) -> None:
    """How long things are kept from now on. The monthly run stops: its next list is one that nobody has seen."""
    changed = sorted(name for name, count in months.items() if keeping.months(club, name) != count)
    if not changed:
        return
    club.periods = {**club.periods, **months}
    club.tidies_itself = False
    club.save(update_fields=["periods", "tidies_itself"])
    record(club_id=club.pk, user_id=by.pk, verb="changed", kind="periods", about=club.pk, fields=changed)


@transaction.atomic
def tidy(*, club: Club, shown: str, by: User) -> list[keeping.Going]:
    """Remove what the list that was shown says, all of it or nothing.

    Raises:
        NotAsShownError: something else would go by now.
    """
    Club.objects.select_for_update().get(pk=club.pk)
    found = _as_shown(club, shown)
    _clear(club, found, by)
    return found


@transaction.atomic
def tidy_monthly(*, club: Club, wanted: bool, shown: str, by: User) -> None:
    """Let old records go every month from now on, or no more. Only who saw what goes today turns it on."""
    if wanted:
        _as_shown(club, shown)
    club.tidies_itself = wanted
    club.save(update_fields=["tidies_itself"])
    verb = "asked monthly clean-up" if wanted else "unasked monthly clean-up"
    record(club_id=club.pk, user_id=by.pk, verb=verb, kind="club", about=club.pk)


def tidy_due(now: datetime, *, by_night: bool = True) -> int:
    """The monthly run of every club that asked for it, once a month, in the club's night. How many had theirs."""
    due = [club for club in Club.objects.filter(tidies_itself=True) if not by_night or _is_night(club, now)]
    return sum(_tidy_if_due(club.pk, now) for club in due)


def _is_night(club: Club, now: datetime) -> bool:
    return now.astimezone(club.zone).hour in NIGHT


@transaction.atomic
def _tidy_if_due(club_id: UUID, now: datetime) -> bool:
    club = Club.objects.select_for_update().get(pk=club_id)
    today, last = club.today(now), club.tidied_on
    if not club.tidies_itself or (last and (last.year, last.month) == (today.year, today.month)):
        return False
    _clear(club, keeping.going(club), None)
    return True


def _as_shown(club: Club, shown: str) -> list[keeping.Going]:
    found = keeping.going(club)
    if keeping.mark_of(found) != shown:
        raise NotAsShownError("something else would go by now")
    return found


def _clear(club: Club, found: list[keeping.Going], by: User | None) -> None:
    for one in found:
        assert one.keeping.clear is not None
        one.keeping.clear(club.pk, one.first_kept, by)
        told = {"what": one.keeping.name, "before": one.first_kept.isoformat(), "lines": len(one.lines)}
        record(club_id=club.pk, user_id=by.pk if by else None, verb="cleared", kind="old records", about=None, **told)
    club.tidied_on = club.today()
    club.save(update_fields=["tidied_on"])


# --- what people keeps for a time ---


@transaction.atomic
def remove_concern(*, concern: Concern, by: User) -> None:
    """The welfare officer's alone, and only when its time is over.

    Raises:
        ValueError: its time is not over.
    """
    if keeping.concern_until(concern) >= concern.club.today():
        raise ValueError("a concern is kept for its time")
    record(club_id=concern.club_id, user_id=by.pk, verb="removed", kind="concern", about=concern.pk)
    concern.delete()


def _left(club_id: UUID, first: date) -> list[tuple[Athlete, str]]:
    rows = Athlete.objects.filter(club=club_id, left_on__lt=first).order_by("left_on", "given_name", "pk")
    sentence = _("%(name)s, who left on %(day)s: the whole record")
    return [(row, _whole(row, sentence % {"name": row.full_name, "day": _day(row.left_on)})) for row in rows]


def _waiting(club_id: UUID, first: date) -> list[tuple[Athlete, str]]:
    rows = Athlete.objects.filter(club=club_id, waiting_since__lt=first, squads=None, left_on=None)
    sentence = _("%(name)s, who waits since %(day)s: the whole record")
    rows = rows.order_by("waiting_since", "given_name", "pk")
    told = [(row, sentence % {"name": row.full_name, "day": _day(row.waiting_since)}) for row in rows]
    return [(row, _whole(row, line)) for row, line in told]


def _day(day: date | None) -> str:
    return date_format(day, "j M Y") if day else ""


def _whole(child: Athlete, line: str) -> str:
    """With what has to stay of the child."""
    stays = [kept for lines in registry.stays.values() for kept in lines(child.pk)]
    return _("%(line)s. Stays: %(stays)s") % {"line": line, "stays": "; ".join(stays)} if stays else line


def _erase(rows: list[tuple[Athlete, str]], by: Any) -> None:
    for child, _line in rows:
        erase_athlete(athlete=child, by=by)


def _rosters_go(club_id: UUID, first: date) -> list[str]:
    kept = Import.objects.filter(club=club_id, at__date__lt=first).exclude(before="").count()
    kept += ImportDraft.objects.filter(club=club_id, made_at__date__lt=first).count()
    return [ngettext("what %(n)d roster remembers", "what %(n)d rosters remember", kept) % {"n": kept}] if kept else []


def _clear_rosters(club_id: UUID, first: date, by: Any) -> None:
    Import.objects.filter(club=club_id, at__date__lt=first).update(before="")
    ImportDraft.objects.filter(club=club_id, made_at__date__lt=first).delete()


KEEPINGS = (
    Keeping(
        CONCERNS := keeping.CONCERNS,
        _lazy("Concerns, which only the welfare officer reads and, after that time, removes"),
        _lazy("Never shorter."),
        300,
        300,
        900,
        lambda club_id, first: [],
        None,
    ),
    Keeping("rosters", _lazy("What an import remembers to be taken back"), "", 3, 1, 36, _rosters_go, _clear_rosters),
    Keeping(
        "waiting",
        _lazy("Children on the waiting list, from the day they were put on it"),
        "",
        24,
        12,
        120,
        lambda club_id, first: [line for _row, line in _waiting(club_id, first)],
        lambda club_id, first, by: _erase(_waiting(club_id, first), by),
    ),
    Keeping(
        "leavers",
        _lazy("Children who left, from their last day"),
        "",
        24,
        12,
        300,
        lambda club_id, first: [line for _row, line in _left(club_id, first)],
        lambda club_id, first, by: _erase(_left(club_id, first), by),
    ),
)
