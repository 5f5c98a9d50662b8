"""A plan that runs, made to fit what has happened."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.people.models import Athlete, User
from clubapp.planning.models import Session
from clubapp.register import actions as register
from clubapp.register.actions import Said, Tap
from clubapp.rotation import queries, repairing
from clubapp.rotation.actions.rows import RefusedError, copied
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import evening_of, names_for
from clubapp.rotation.models import Plan
from clubapp.rotation.repairing import Case, Changes, Offer


def case_of(session: Session, plan: queries.PlanView, changes: Changes, at_round: int) -> Case:
    """What there is to be put right, with all that an answer depends on."""
    taking_part = frozenset(queries.taking_part(session.pk))
    here = (taking_part | set(changes.late)) - set(changes.left)
    if not here:
        raise RefusedError(_("Nobody is marked here: take the register first."))
    evening = evening_of(session, also=plan.placed | here)
    if repairing.is_stale(evening, plan):
        raise RefusedError(_("A station of this plan was taken away: make new groups."))
    if not 1 <= at_round <= len(plan.rounds):
        raise RefusedError(_("This plan has no such round: look again."))
    names = names_for(session, {*here, *plan.placed, *changes.left})
    return Case(evening, here, plan, changes, at_round, names)


def chosen(case: Case, choice: tuple[str, str]) -> Offer | Clash:
    """The plan that is wished of those on offer. Nothing is written: nobody's mark waits while it is looked for.

    choice: which one, and the mark of what was shown; without a mark it is taken unseen.
    """
    key, mark = choice
    found = repairing.offers(case)
    if isinstance(found, Clash):
        return found
    offer = next((offer for offer in found if offer.key == key), None)
    if offer is None or (mark and mark != offer.mark):
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    return offer


def repair(
    *, plan: Plan, changes: Changes, at_round: int, by: User, choice: tuple[str, str] = (repairing.BEST, "")
) -> Plan | Clash:
    """A new plan from a round on, in which as few children move as can be; the past stays."""
    case = case_of(plan.session, queries.shown(plan), changes, at_round)
    found = chosen(case, choice)
    return found if isinstance(found, Clash) else take(plan=plan, case=case, offer=found, by=by)


@transaction.atomic
def take(*, plan: Plan, case: Case, offer: Offer, by: User, said: Mapping[UUID, Said] | None = None) -> Plan:
    """Store a plan on offer. said: what the register is told of children at the same moment."""
    if queries.newest(plan.session_id) != plan:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    for child in Athlete.objects.filter(pk__in=said or ()):
        register.mark(session=plan.session, athlete=child, said=(said or {})[child.pk], tap=Tap(by))
    free = {token.replace("shut:", "group:").replace("lock:", "athlete:") for token in case.changes.dropped}
    dropped = {token for token in case.changes.dropped if not token.startswith(("shut:", "lock:"))}
    wishes = {
        **plan.wishes,
        "rounds": len(offer.draft.answer["rounds"]),
        "dropped": sorted({*plan.wishes.get("dropped", []), *dropped}),
    }
    locked = [token for token in plan.locked if token not in free]
    answer, proof = offer.draft.answer, offer.draft.proof
    proof = {**proof, "fitted": {**proof["fitted"], "told": bool(said)}}
    return copied(plan, by, "repaired", answer=answer, proof=proof, wishes=wishes, locked=locked)
