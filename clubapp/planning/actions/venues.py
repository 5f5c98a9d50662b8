"""Where sessions take place, and the kit a club owns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields

from django.db import transaction

from clubapp.core.audit import record
from clubapp.people.models import Club, User
from clubapp.planning.models import Kit, Spot, Venue


@dataclass(frozen=True)
class VenueDetails:
    """Fields are those of the model; places in metres east and north of the ground's south-west corner."""

    name: str
    outline: list[Spot]
    closed: list[dict[str, object]] = field(default_factory=list)
    water: Spot | None = None
    first_aid: Spot | None = None
    first_aid_at: str = ""
    meeting_place: str = ""
    indoors: bool = False
    address: str = ""
    gate: str = ""
    entrance: str = ""
    phone: str = ""


@transaction.atomic
def keep_venue(*, club: Club, venue: Venue | None, details: VenueDetails, by: User) -> Venue:
    """A new venue, or another form of one that is there. Sessions that are planned there show it from then on."""
    row = venue or Venue(club=club)
    for one in fields(details):
        setattr(row, one.name, getattr(details, one.name))
    row.save()
    record(club_id=club.pk, user_id=by.pk, verb="changed" if venue else "made", kind="venue", about=row.pk)
    return row


@transaction.atomic
def remove_venue(*, venue: Venue, by: User) -> None:
    """Sessions keep their words for the place, and have no ground any more."""
    record(club_id=venue.club_id, user_id=by.pk, verb="removed", kind="venue", about=venue.pk)
    venue.delete()


@transaction.atomic
def keep_kit(*, club: Club, owned: Mapping[str, int], by: User) -> None:
    """All that the club owns, by name and number."""
    Kit.objects.filter(club=club).delete()
    Kit.objects.bulk_create(Kit(club=club, name=name, number=number) for name, number in owned.items())
    record(club_id=club.pk, user_id=by.pk, verb="changed", kind="kit", about=club.pk)
