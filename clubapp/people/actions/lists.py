"""Squads, and children to keep together or apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.db.models import ProtectedError

from clubapp.core.audit import record
from clubapp.people.models import Athlete, Club, PairRule, Squad, User


@transaction.atomic
def make_squad(*, club: Club, name: str, by: User) -> Squad:
    squad = Squad.objects.create(club=club, name=name)
    record(club_id=club.pk, user_id=by.pk, verb="made", kind="squad", about=squad.pk)
    return squad


@transaction.atomic
def change_squad(*, squad: Squad, name: str, athletes: Iterable[Athlete], by: User) -> None:
    """Name and list of a squad; children who have left the club keep their place for their return."""
    squad.name = name
    squad.save(update_fields=["name"])
    left = squad.athletes.filter(left_on__isnull=False)
    squad.athletes.set([*athletes, *left])
    record(club_id=squad.club_id, user_id=by.pk, verb="changed", kind="squad", about=squad.pk)


@transaction.atomic
def share_results(*, squad: Squad, shared: bool, by: User) -> None:
    """Let guardians see their own child's results, or no more. The log keeps who said so."""
    if squad.shares_results == shared:
        return
    squad.shares_results = shared
    squad.save(update_fields=["shares_results"])
    verb = "shared results" if shared else "unshared results"
    record(club_id=squad.club_id, user_id=by.pk, verb=verb, kind="squad", about=squad.pk)


@transaction.atomic
def remove_squad(*, squad: Squad, by: User) -> None:
    """Take an empty list away; its children stay in the club.

    Raises:
        ValueError: sessions were held with it.
    """
    record(club_id=squad.club_id, user_id=by.pk, verb="removed", kind="squad", about=squad.pk)
    try:
        squad.delete()
    except ProtectedError as error:
        raise ValueError("the squad has sessions") from error


@dataclass(frozen=True)
class PairWish:
    """Children who stay together or are split, and why (for the head coach's eyes)."""

    kind: PairRule.Kind
    athletes: tuple[Athlete, ...]
    reason: str = ""
    label: str = ""


@transaction.atomic
def make_pair_rule(*, club: Club, wish: PairWish, by: User | None = None) -> PairRule:
    label = wish.label or _free_label(club, wish.kind)
    rule = PairRule.objects.create(club=club, kind=wish.kind, label=label, reason=wish.reason)
    rule.athletes.set(wish.athletes)
    record(club_id=club.pk, user_id=by.pk if by else None, verb="made", kind="pair rule", about=rule.pk)
    return rule


@transaction.atomic
def change_pair_rule(*, rule: PairRule, wish: PairWish, by: User) -> None:
    rule.kind, rule.reason = wish.kind, wish.reason
    others = PairRule.objects.filter(club=rule.club_id, kind=wish.kind).exclude(pk=rule.pk)
    if others.filter(label=rule.label).exists():
        rule.label = _free_label(rule.club, wish.kind)
    rule.save()
    rule.athletes.set(wish.athletes)
    record(club_id=rule.club_id, user_id=by.pk, verb="changed", kind="pair rule", about=rule.pk)


@transaction.atomic
def remove_pair_rule(*, rule: PairRule, by: User) -> None:
    record(club_id=rule.club_id, user_id=by.pk, verb="removed", kind="pair rule", about=rule.pk)
    rule.delete()


def _free_label(club: Club, kind: str) -> str:
    """The rule's short name in the roster file: a number nobody has."""
    taken = set(PairRule.objects.filter(club=club, kind=kind).values_list("label", flat=True))
    return next(label for number in range(1, len(taken) + 2) if (label := str(number)) not in taken)
