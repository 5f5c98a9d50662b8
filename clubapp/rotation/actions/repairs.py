"""A plan that runs, made to fit what has happened."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import queries, repairing
from clubapp.rotation.actions.rows import RefusedError, copied
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import evening_of, names_for
from clubapp.rotation.models import Plan
from clubapp.rotation.repairing import Case, Changes


def case_of(session: Session, plan: queries.PlanView, changes: Changes, at_round: int) -> Case:
    """What there is to be put right, with all that an answer depends on."""
    evening, here = evening_of(session, also=plan.placed), evening_of(session).here
    if not here:
        raise RefusedError(_("Nobody is marked here: take the register first."))
    if repairing.is_stale(evening, plan):
        raise RefusedError(_("A station of this plan was taken away: make new groups."))
    if not 1 <= at_round <= len(plan.rounds):
        raise RefusedError(_("This plan has no such round: look again."))
    return Case(evening, here, plan, changes, at_round, names_for(session, set(here | plan.placed)))


def repair(
    *, plan: Plan, changes: Changes, at_round: int, by: User, choice: tuple[str, str] = (repairing.BEST, "")
) -> Plan | Clash:
    """A new plan from a round on, in which as few children move as can be; the past stays.

    choice: which of the plans that are offered, and the mark of what was shown; without a mark it is taken unseen.
    """
    key, mark = choice
    found = repairing.offers(case_of(plan.session, queries.shown(plan), changes, at_round))
    if isinstance(found, Clash):
        return found
    offer = next((offer for offer in found if offer.key == key), None)
    if offer is None or (mark and mark != offer.mark):
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    return _take(plan, offer, by)


@transaction.atomic
def _take(plan: Plan, offer: repairing.Offer, by: User) -> Plan:
    if queries.newest(plan.session_id) != plan:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    wishes = {**plan.wishes, "rounds": len(offer.draft.answer["rounds"])}
    return copied(plan, by, "repaired", answer=offer.draft.answer, proof=offer.draft.proof, wishes=wishes)
