"""A child nobody expected, written down on the field; and the end of the register."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from clubapp.core.tell import tell
from clubapp.people import actions as people
from clubapp.people.models import Athlete, Health, User
from clubapp.planning.models import Session
from clubapp.register.actions.marks import Said, mark
from clubapp.register.actions.taps import Tap, known
from clubapp.register.models import FinishedRegister, Mark


@dataclass(frozen=True)
class NewChild:
    """What is asked at the gate. collectors: who may collect the child; the phone is the first one's."""

    given_name: str
    birth_year: int
    phone: str
    health: Health
    what_to_do: str
    collectors: tuple[str, ...]


@transaction.atomic
def add_child(*, session: Session, new: NewChild, here: bool, tap: Tap) -> Athlete:
    """Make the child, its adults and the answer about health; "here" only if the adult said so by its own button.

    The same tap sent twice makes one child. The rest of the details waits for the head coach.
    """
    row = known(Mark, tap, session_id=session.pk)
    if row is not None:
        return row.athlete
    details = people.AthleteDetails(
        given_name=new.given_name, birth_year=new.birth_year, joined_on=session.date, details_wanted=True
    )
    athlete = people.make_athlete(club=session.club, details=details, squads=[session.squad], by=tap.by)
    answer = people.HealthAnswer(new.health, new.what_to_do)
    people.write_medical_note(athlete=athlete, answer=answer, by=tap.by)
    _add_adults(athlete, new, tap.by)
    mark(session=session, athlete=athlete, said=Said(Mark.Kind.HERE if here else Mark.Kind.CLEARED), tap=tap)
    return athlete


def _add_adults(athlete: Athlete, new: NewChild, by: User | None) -> None:
    for number, name in enumerate(new.collectors, start=1):
        details = people.GuardianDetails(
            name=name, phone=new.phone if number == 1 else "", may_collect=True, emergency_order=number
        )
        people.add_guardian(athlete=athlete, details=details, by=by)


@transaction.atomic
def finish_register(*, session: Session, by: User) -> FinishedRegister:
    """Say that the register is done; saying so twice changes nothing, and a later mark does not undo it."""
    row, made = FinishedRegister.objects.get_or_create(session=session, defaults={"at": timezone.now(), "by": by})
    if made:
        tell(session.pk, "register")
    return row
