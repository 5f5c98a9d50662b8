"""A small named cast. Everybody is invented.

Hazel is head coach of Alder Bank, Finn assists its Saturday squad, Wanda sees to welfare. Greta is the guardian of
Ada and Bo, Gus of Cleo. Sal belongs nowhere; Olga is head coach of another club with a squad and a session of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import cache
from random import Random
from typing import Any
from uuid import UUID

import factory
from django.contrib.auth.hashers import make_password
from django.test import Client

from clubapp.people.models import Athlete, Club, Guardian, Guardianship, Membership, Role, Squad, User
from clubapp.planning.models import Block, Session, Station

PASSWORD = "four-grey-herons"


@cache
def hashed_password() -> str:
    """Hashed once a run: the real hasher is slow on purpose."""
    return make_password(PASSWORD)


class UserFactory(factory.django.DjangoModelFactory[User]):
    class Meta:
        model = User
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Adult {n}")
    email = factory.LazyAttribute(lambda user: f"{user.name.lower().replace(' ', '.')}@alder.example")
    password = factory.LazyFunction(hashed_password)


class ClubFactory(factory.django.DjangoModelFactory[Club]):
    class Meta:
        model = Club

    name = "Alder Bank"
    time_zone = "Europe/London"


class SquadFactory(factory.django.DjangoModelFactory[Squad]):
    class Meta:
        model = Squad

    club = factory.SubFactory(ClubFactory)
    name = "Saturday"


def child_id(number: int) -> UUID:
    """Like lots, but the same in every test: what was computed for the same children need not be computed again."""
    return UUID(int=Random(number).getrandbits(128), version=4)


class AthleteFactory(factory.django.DjangoModelFactory[Athlete]):
    class Meta:
        model = Athlete
        skip_postgeneration_save = True

    id = factory.Sequence(child_id)
    club = factory.SubFactory(ClubFactory)
    given_name = factory.Sequence(lambda n: f"Child{n}")
    family_name = "Reed"
    date_of_birth = factory.Sequence(lambda n: date(2015, 3, 1) + timedelta(days=97 * (n % 24)))
    skill = factory.Sequence(lambda n: 1 + n % 5)


class SessionFactory(factory.django.DjangoModelFactory[Session]):
    class Meta:
        model = Session

    starts = time(10, 0)
    minutes = 60
    place = "River field"


@dataclass(frozen=True)
class Cast:
    """The people and rows a test starts from; `client(user)` is a browser signed in as that person."""

    club: Club
    squad: Squad
    hazel: User  # head coach
    finn: User  # assistant of the squad
    wanda: User  # welfare officer
    greta: User  # guardian of Ada and Bo
    gus: User  # guardian of Cleo
    sal: User  # belongs nowhere
    olga: User  # head coach of another club
    other_squad: Squad
    other_session: Session
    session: Session  # today's, of Alder Bank
    athletes: tuple[Athlete, ...]  # Ada, Bo, Cleo, Dev, Eli, Fay

    @property
    def ada(self) -> Athlete:
        return self.athletes[0]

    def client(self, user: User | None = None) -> Client:
        client = Client()
        if user is not None:
            client.force_login(user)
        return client


def make_cast() -> Cast:
    """Write the cast into the database, its children with the same birthdays whatever ran before."""
    AthleteFactory.reset_sequence(0)
    club, other = ClubFactory(), ClubFactory(name="Far Meadow")
    squad, other_squad = SquadFactory(club=club), SquadFactory(club=other, name="Wrens")
    named = UserFactory.build_batch(7, name=factory.Iterator(("Hazel", "Finn", "Wanda", "Greta", "Gus", "Sal", "Olga")))
    people = {user.name.lower(): user for user in User.objects.bulk_create(named)}
    Membership.objects.create(user=people["hazel"], club=club, role=Role.HEAD_COACH)
    Membership.objects.create(user=people["finn"], club=club, role=Role.ASSISTANT).squads.add(squad)
    Membership.objects.create(user=people["wanda"], club=club, role=Role.WELFARE)
    Membership.objects.create(user=people["olga"], club=other, role=Role.HEAD_COACH)
    athletes = make_children(club, squad, ("Ada", "Bo", "Cleo", "Dev", "Eli", "Fay"))
    make_children(other, other_squad, ("Zed",))
    make_guardian(club, people["greta"], athletes[:2])
    make_guardian(club, people["gus"], athletes[2:3])
    session = make_session(club, squad)
    return Cast(
        club=club,
        squad=squad,
        other_squad=other_squad,
        session=session,
        other_session=make_session(other, other_squad),
        athletes=athletes,
        **people,
    )


def make_child(club: Club, squad: Squad, given_name: str) -> Athlete:
    return make_children(club, squad, (given_name,))[0]


def make_children(club: Club, squad: Squad, names: Sequence[str], **more: Any) -> tuple[Athlete, ...]:
    """All at once: row after row takes longer than most tests."""
    named = [AthleteFactory.build(club=club, given_name=name, **more) for name in names]
    made = Athlete.objects.bulk_create(named)
    squad.athletes.add(*made)
    return tuple(made)


def make_guardian(club: Club, user: User, children: tuple[Athlete, ...]) -> Guardian:
    guardian = Guardian.objects.create(club=club, user=user, name=user.name, phone="+447700900123", email=user.email)
    ties = [Guardianship(guardian=guardian, athlete=child, relation="parent", may_collect=True) for child in children]
    Guardianship.objects.bulk_create(ties)
    return guardian


def guardian_of(child: Athlete) -> UUID:
    """The id of the first adult who may collect this child."""
    return child.adults.filter(may_collect=True).earliest("emergency_order", "guardian__name").guardian_id


def make_session(club: Club, squad: Squad, stations: int = 3) -> Session:
    """Today's session with a rotation block, water and a few stations along a line."""
    session = SessionFactory(club=club, squad=squad, date=club.today())
    kinds = (("gather", 300), ("rotation", 0), ("water", 120), ("cool-down", 300))
    Block.objects.bulk_create(
        Block(session=session, position=position, kind=kind, seconds=seconds)
        for position, (kind, seconds) in enumerate(kinds)
    )
    Station.objects.bulk_create(
        Station(
            session=session,
            number=number,
            name=f"Station {number}",
            x_m=10.0 * number,
            y_m=0.0,
            intensity="hard" if number % 2 else "easy",
        )
        for number in range(1, stations + 1)
    )
    return session
