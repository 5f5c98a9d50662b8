"""Children of the club: made, changed, left."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date

from django.db import transaction

from clubapp.core.audit import record
from clubapp.people.models import Athlete, Club, Squad, User


@dataclass(frozen=True)
class AthleteDetails:
    """What the club keeps about a child, apart from health and adults. Fields are those of the model."""

    given_name: str
    family_name: str = ""
    known_as: str = ""
    date_of_birth: date | None = None
    birth_year: int | None = None
    sex: str = ""
    skill: int | None = None
    joined_on: date | None = None
    sessions_before: int = 0
    roster_id: str = ""
    details_wanted: bool = False


@transaction.atomic
def make_athlete(
    *, club: Club, details: AthleteDetails, squads: Iterable[Squad] = (), by: User | None = None
) -> Athlete:
    athlete = Athlete.objects.create(club=club, **_values(details))
    athlete.squads.set(squads)
    _record(athlete, by, "made")
    return athlete


@transaction.atomic
def change_athlete(*, athlete: Athlete, details: AthleteDetails, squads: Iterable[Squad], by: User) -> None:
    """Take the new details over; the log keeps which fields changed, not what stood in them."""
    values = _values(details)
    changed = [name for name, value in values.items() if getattr(athlete, name) != value]
    for name in changed:
        setattr(athlete, name, values[name])
    squads = list(squads)
    if athlete.waiting_since and squads:  # with a squad the child waits no more
        athlete.waiting_since = None
        changed.append("waiting_since")
    athlete.save(update_fields=changed)
    before = set(athlete.squads.all())
    athlete.squads.set(squads)
    if before != set(athlete.squads.all()):
        changed.append("squads")
    if changed:
        _record(athlete, by, "changed", fields=changed)


@transaction.atomic
def put_on_waiting_list(*, athlete: Athlete, by: User) -> None:
    """Known to the club, in no squad and on no register until there is a place."""
    athlete.waiting_since = athlete.waiting_since or athlete.club.today()
    athlete.save(update_fields=["waiting_since"])
    athlete.squads.clear()
    _record(athlete, by, "put on waiting list")


@transaction.atomic
def give_place(*, athlete: Athlete, squad: Squad, by: User) -> None:
    """From the waiting list into a squad; the child has joined today."""
    athlete.waiting_since, athlete.joined_on = None, athlete.club.today()
    athlete.save(update_fields=["waiting_since", "joined_on"])
    athlete.squads.add(squad)
    _record(athlete, by, "given a place")


@transaction.atomic
def leave_club(*, athlete: Athlete, by: User) -> None:
    """The child is on no list any more; the record stays until it is erased."""
    athlete.left_on, athlete.waiting_since = athlete.club.today(), None
    athlete.save(update_fields=["left_on", "waiting_since"])
    _record(athlete, by, "left")


@transaction.atomic
def return_to_club(*, athlete: Athlete, by: User) -> None:
    athlete.left_on = None
    athlete.save(update_fields=["left_on"])
    _record(athlete, by, "returned")


def _values(details: AthleteDetails) -> dict[str, object]:
    """A whole date of birth says the year as well."""
    values = {field.name: getattr(details, field.name) for field in fields(details)}
    return values | ({"birth_year": None} if details.date_of_birth else {})


def _record(athlete: Athlete, by: User | None, verb: str, **detail: object) -> None:
    user_id = by.pk if by else None
    record(club_id=athlete.club_id, user_id=user_id, verb=verb, kind="athlete", about=athlete.pk, **detail)
