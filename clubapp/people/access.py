"""The only door to the club's people. Whoever may not see a row gets 404, as if it were not there."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from clubapp.people import keeping
from clubapp.people.models import (
    Athlete,
    Club,
    Concern,
    Guardian,
    Guardianship,
    HealthProposal,
    ImportDraft,
    Membership,
    PairRule,
    Role,
    Squad,
    User,
)

Person = User | AnonymousUser


def membership_of(user: Person) -> Membership | None:
    """The adult's place in a club: a head coach's first, then the oldest."""
    if not user.is_authenticated:
        return None
    rows = Membership.objects.filter(user=user).select_related("club")
    return rows.filter(role=Role.HEAD_COACH).first() or rows.order_by("club__made_at").first()


def is_head_coach(user: Person, club_id: UUID) -> bool:
    return (
        user.is_authenticated and Membership.objects.filter(user=user, club_id=club_id, role=Role.HEAD_COACH).exists()
    )


def coached_club(user: Person) -> Club:
    """The club this adult is head coach of, or 404."""
    membership = membership_of(user)
    if membership is None or membership.role != Role.HEAD_COACH:
        raise Http404
    return membership.club


def visible_to(user: Person) -> QuerySet[Athlete]:
    """Children this adult works with: the head coach's whole club, an assistant's own squads."""
    if not user.is_authenticated:
        return Athlete.objects.none()
    coached = Membership.objects.filter(user=user, role=Role.HEAD_COACH).values("club")
    assisted = Membership.objects.filter(user=user, role=Role.ASSISTANT).values("squads")
    rows = Athlete.objects.filter(club__in=coached) | Athlete.objects.filter(squads__in=assisted)
    return rows.distinct()


def is_welfare(user: Person, club_id: UUID) -> bool:
    return user.is_authenticated and Membership.objects.filter(user=user, club_id=club_id, role=Role.WELFARE).exists()


def welfare_club(user: Person) -> Club:
    """The club this adult is welfare officer of, or 404."""
    membership = membership_of(user)
    if membership is None or membership.role != Role.WELFARE:
        raise Http404
    return membership.club


def spent_concern(user: Person, concern_id: UUID) -> Concern:
    """A concern of the club this adult is welfare officer of, whose time is over; or 404."""
    row = get_object_or_404(Concern.objects.select_related("club"), pk=concern_id, club=welfare_club(user))
    if keeping.concern_until(row) >= row.club.today():
        raise Http404
    return row


def own_club(user: Person) -> Club:
    """The club an adult works in, or whose child's guardian it is; or 404."""
    membership = membership_of(user)
    if membership is not None:
        return membership.club
    child = children_of(user).select_related("club").order_by("pk").first()
    if child is None:
        raise Http404
    return child.club


def coached_athlete(user: Person, athlete_id: UUID) -> Athlete:
    """A child of the club this adult is head coach of, or 404."""
    return get_object_or_404(Athlete, pk=athlete_id, club=coached_club(user))


def children_of(user: Person) -> QuerySet[Athlete]:
    """A guardian's own children."""
    if not user.is_authenticated:
        return Athlete.objects.none()
    mine = Guardianship.objects.filter(guardian__user=user).values("athlete")
    return Athlete.objects.filter(pk__in=mine, left_on__isnull=True)


def child_for(user: Person, athlete_id: UUID) -> Athlete:
    """A guardian's own child, or 404."""
    return get_object_or_404(children_of(user), pk=athlete_id)


def own_tie(user: Person, athlete_id: UUID) -> Guardianship:
    """What a guardian is to an own child, or 404."""
    child = child_for(user, athlete_id)
    rows = Guardianship.objects.filter(athlete=child, guardian__user=user.pk).select_related(
        "guardian", "athlete__club"
    )
    return rows.earliest("pk")


def own_guardians(user: Person) -> QuerySet[Guardian]:
    """A guardian's own entries, one a club; those whose contact is restricted for every child are not among them."""
    if not user.is_authenticated:
        return Guardian.objects.none()
    mine = Guardianship.objects.filter(guardian__user=user, athlete__left_on__isnull=True).values("guardian")
    return Guardian.objects.filter(pk__in=mine).order_by("pk")


def coached_squad(user: Person, squad_id: UUID) -> Squad:
    return get_object_or_404(Squad, pk=squad_id, club=coached_club(user))


def coached_guardian(user: Person, guardian_id: UUID) -> Guardian:
    return get_object_or_404(Guardian, pk=guardian_id, club=coached_club(user))


def coached_tie(user: Person, athlete_id: UUID, guardian_id: UUID) -> Guardianship:
    """What one adult is to one child of the club."""
    rows = Guardianship.everyone.select_related("guardian", "athlete__club")
    return get_object_or_404(rows, athlete=athlete_id, guardian=guardian_id, athlete__club=coached_club(user))


def coached_proposal(user: Person, athlete_id: UUID, proposal_id: UUID) -> HealthProposal:
    """What a guardian wants changed in the health note of a child of this club."""
    rows = HealthProposal.objects.select_related("athlete__club")
    return get_object_or_404(rows, pk=proposal_id, athlete=athlete_id, athlete__club=coached_club(user))


def coached_rule(user: Person, rule_id: UUID) -> PairRule:
    return get_object_or_404(PairRule, pk=rule_id, club=coached_club(user))


def coached_member(user: Person, membership_id: UUID) -> Membership:
    """An adult of the club this adult coaches."""
    rows = Membership.objects.select_related("user", "club")
    return get_object_or_404(rows, pk=membership_id, club=coached_club(user))


def other_member(user: Person, membership_id: UUID) -> Membership:
    """An adult of the club other than oneself: nobody takes the own role away, so a head coach always stays."""
    row = coached_member(user, membership_id)
    if row.user_id == user.pk:
        raise Http404
    return row


def trusted_club(user: Person) -> Club:
    """The club whose adults and log this adult may look at, as head coach or welfare officer; or 404."""
    membership = membership_of(user)
    if membership is None or membership.role not in (Role.HEAD_COACH, Role.WELFARE):
        raise Http404
    return membership.club


def own_draft(user: Person, draft_id: UUID) -> ImportDraft:
    """An adult's own unconfirmed roster, for the club this adult coaches."""
    rows = ImportDraft.objects.select_related("club", "squad")
    return get_object_or_404(rows, pk=draft_id, by=user, club=coached_club(user))


def last_draft(user: Person, club: Club) -> ImportDraft | None:
    """The roster this adult brought in and did not confirm yet."""
    return ImportDraft.objects.filter(by=user.pk, club=club).select_related("squad").first()
