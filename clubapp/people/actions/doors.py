"""Who comes in: the first club, invited guardians and members."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.http import Http404
from django.utils import timezone

from clubapp.core.audit import record
from clubapp.core.post import send, withdraw
from clubapp.people import letters, links
from clubapp.people.models import Club, Guardian, Membership, OneTimeLink, Role, Squad, User

Purpose = OneTimeLink.Purpose


@dataclass(frozen=True)
class NewAdult:
    """An account to be made. password: None for somebody who signs in in another way."""

    name: str
    email: str
    password: str | None


@dataclass(frozen=True)
class NewClub:
    """A club to be made, with its first squad and its head coach."""

    name: str
    time_zone: str
    squad: str
    coach: NewAdult


@dataclass(frozen=True)
class Asked:
    """What an invited adult is to be."""

    role: Role
    squads: tuple[Squad, ...] = ()


@transaction.atomic
def make_set_up_link() -> str:
    """The path of the one link that makes the club; an older one that nobody used stops working."""
    OneTimeLink.objects.filter(purpose=Purpose.SET_UP).delete()
    token = links.new_token()
    links.unsaved(token, Purpose.SET_UP).save()
    return links.path_of(token, Purpose.SET_UP)


@transaction.atomic
def set_up_club(*, link: OneTimeLink, new: NewClub) -> Club:
    """Use the link up and make the club."""
    _use_up(link)
    return make_club(new=new)


@transaction.atomic
def make_club(*, new: NewClub) -> Club:
    club = Club.objects.create(name=new.name, time_zone=new.time_zone)
    Squad.objects.create(club=club, name=new.squad)
    coach = make_adult(new=new.coach)
    add_member(club=club, user=coach, role=Role.HEAD_COACH)
    record(club_id=club.pk, user_id=coach.pk, verb="made", kind="club", about=club.pk)
    return club


def make_adult(*, new: NewAdult) -> User:
    return User.objects.create_user(new.email, new.password, name=new.name)


@transaction.atomic
def add_member(
    *, club: Club, user: User, role: Role, squads: Iterable[Squad] = (), by: User | None = None
) -> Membership:
    """Give an adult a role; somebody who has the role already gets the squads as well.

    Raises:
        ValueError: the adult has another role in this club.
    """
    membership, made = Membership.objects.get_or_create(club=club, user=user, defaults={"role": role})
    if not made and membership.role != role:
        raise ValueError(f"{user.pk} is {membership.role} of this club already")
    membership.squads.add(*squads)
    record(club_id=club.pk, user_id=by.pk if by else user.pk, verb="joined", kind=role, about=user.pk)
    return membership


@transaction.atomic
def invite_guardian(*, guardian: Guardian, by: User) -> str:
    """The path of a link that ties an account to this guardian; an older unused one stops working."""
    OneTimeLink.objects.filter(guardian=guardian, used_at__isnull=True).delete()
    token = links.new_token()
    link = links.unsaved(token, Purpose.GUARDIAN)
    link.club, link.guardian = guardian.club, guardian
    link.save()
    record(club_id=guardian.club_id, user_id=by.pk, verb="invited", kind="guardian", about=guardian.pk)
    return links.path_of(token, Purpose.GUARDIAN)


@transaction.atomic
def mail_guardian(*, guardian: Guardian, host: str, by: User) -> None:
    """The same link, to the adult's e-mail; what waited there of an older one is not sent."""
    withdraw(person=guardian.pk)
    path = invite_guardian(guardian=guardian, by=by)
    send(letters.to_guardian(guardian, letters.absolute(path, host)))


@transaction.atomic
def mail_member(*, club: Club, asked: Asked, email: str, host: str, by: User) -> None:
    path = invite_member(club=club, role=asked.role, squads=asked.squads, by=by)
    send(letters.to_member(club, email, str(asked.role.label), letters.absolute(path, host)))


@transaction.atomic
def invite_member(*, club: Club, role: Role, squads: Iterable[Squad], by: User) -> str:
    """The path of a link that makes its user a member with this role and these squads."""
    token = links.new_token()
    link = links.unsaved(token, Purpose.MEMBER)
    link.club, link.role = club, role
    link.save()
    link.squads.set(squads)
    record(club_id=club.pk, user_id=by.pk, verb="invited", kind=role, about=None)
    return links.path_of(token, Purpose.MEMBER)


@transaction.atomic
def join(*, link: OneTimeLink, user: User) -> None:
    """Use the link up for an adult who has an account.

    Raises:
        ValueError: the adult has another role in this club; the link stays good.
    """
    _use_up(link)
    if link.guardian is not None:
        _join_as_guardian(link.guardian, user)
    elif link.club is not None:
        add_member(club=link.club, user=user, role=Role(link.role), squads=link.squads.all())


@transaction.atomic
def join_new(*, link: OneTimeLink, new: NewAdult) -> User:
    """Make the account and use the link up for it."""
    user = make_adult(new=new)
    join(link=link, user=user)
    return user


def _join_as_guardian(guardian: Guardian, user: User) -> None:
    guardian.user = user
    guardian.email = guardian.email or user.email
    guardian.save(update_fields=["user", "email"])
    record(club_id=guardian.club_id, user_id=user.pk, verb="joined", kind="guardian", about=guardian.pk)


def _use_up(link: OneTimeLink) -> None:
    """Two taps at once: the first one gets in, the second one sees what a used link shows."""
    now = timezone.now()
    fresh = OneTimeLink.objects.filter(pk=link.pk, used_at__isnull=True, expires_at__gt=now)
    if not fresh.update(used_at=now):
        raise Http404
