"""What a club does with its activities: own ones made, brought in, changed, starred, put away, taken away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import count

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.people.models import Club, User
from clubapp.planning.library.card import Card
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Activity

CODE = 34  # of 40 letters, so that a number has room


@transaction.atomic
def make_activity(*, club: Club, card: Card, by: User) -> Activity:
    """One of the club's own; nothing that stands is ever overwritten, so its code is free."""
    stem = f"own-{slugify(card.name)}"[:CODE].rstrip("-")
    taken = {*standard(), *Activity.objects.filter(club=club).values_list("code", flat=True)}
    code = next(code for n in count(1) if (code := stem if n == 1 else f"{stem}-{n}") not in taken)
    row = Activity.objects.create(club=club, code=code, card=card.as_json())
    _record(row, by, "made")
    return row


@transaction.atomic
def bring_in(*, club: Club, cards: Iterable[Card], by: User) -> list[Activity]:
    """Cards another club shared, each as one of this club's own."""
    return [make_activity(club=club, card=card, by=by) for card in cards]


@transaction.atomic
def copy_activity(*, club: Club, card: Card, by: User) -> Activity:
    """The same once more under a name that says so."""
    name = _("%(name)s, our way") % {"name": card.name}
    return make_activity(club=club, card=replace(card, name=name[:60]), by=by)


@transaction.atomic
def change_activity(*, club: Club, code: str, card: Card, by: User) -> None:
    """A card of the library gets the club's own wording under its code."""
    row, _made = Activity.objects.update_or_create(club=club, code=code, defaults={"card": card.as_json()})
    _record(row, by, "changed")


@transaction.atomic
def star_activity(*, club: Club, code: str, starred: bool) -> None:
    """What is starred is offered first."""
    Activity.objects.update_or_create(club=club, code=code, defaults={"starred": starred})


@transaction.atomic
def put_away(*, club: Club, code: str, away: bool) -> None:
    """Offer it no more, or again."""
    Activity.objects.update_or_create(club=club, code=code, defaults={"put_away": away})


@transaction.atomic
def restore_activity(*, club: Club, code: str, by: User) -> None:
    """Back to the library's own words; of one that is only the club's nothing stays."""
    row = Activity.objects.filter(club=club, code=code).first()
    if row is None:
        return
    _record(row, by, "removed")
    if code in standard():
        row.card = {}
        row.save(update_fields=["card"])
    else:
        row.delete()


def _record(row: Activity, by: User, verb: str) -> None:
    record(club_id=row.club_id, user_id=by.pk, verb=verb, kind="activity", about=row.pk)
