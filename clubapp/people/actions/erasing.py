"""A child's record handed out, and erased for good."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.core.audit import merged_into, record, record_many
from clubapp.core.erased import leave_nothing_behind, remember
from clubapp.core.post import withdraw
from clubapp.core.registry import registry
from clubapp.people import consents, handout, queries, traces
from clubapp.people.actions.guardians import forget_if_alone
from clubapp.people.actions.health import read_medical_notes
from clubapp.people.models import Athlete, Guardian, Guardianship, Import, ImportDraft, Membership, PairRule, User


@transaction.atomic
def export_athlete(*, athlete: Athlete, by: User) -> dict[str, Any]:
    """Everything every app keeps about the child, other people left out; the health note counts as read."""
    record(club_id=athlete.club_id, user_id=by.pk, verb="exported", kind="athlete", about=athlete.pk)
    notes = read_medical_notes(athlete_ids=[athlete.pk], club_id=athlete.club_id, by=by)
    health = {"note": note.note, "what_to_do": note.to_do} if (note := notes.get(athlete.pk)) else {}
    return handout.without_others(_kept(athlete) | {"health": health}, athlete)


@transaction.atomic
def release_record(*, athlete: Athlete, by: User) -> bytes:
    """The same as one file that the club hands to the family."""
    return handout.packed(export_athlete(athlete=athlete, by=by), athlete)


def would_erase(athlete: Athlete) -> tuple[list[tuple[str, int]], list[str]]:
    """What goes, part by part with how many lines, and a sentence for each thing that has to stay."""
    stays = [line for lines in registry.stays.values() for line in lines(athlete.pk)]
    found = list(traces.traces(athlete.club, traces.names_of(athlete), athlete))
    gone, kept = (sum(trace.stays is stay for trace in found) for stay in (False, True))
    if kept:
        said = ngettext(
            "The name in %(n)d line of an incident note about another child",
            "The name in %(n)d lines of incident notes about other children",
            kept,
        )
        stays.append(said % {"n": kept})
    goes = handout.parts(_kept(athlete))
    return [*goes, (_("The name in notes about something else"), gone)] if gone else goes, stays


def _kept(athlete: Athlete) -> dict[str, Any]:
    return {app: export(athlete.pk) for app, export in registry.exporters.items()}


@transaction.atomic
def erase_athlete(*, athlete: Athlete, by: User | None) -> None:
    """Remove the child from every app, the highest first; the log keeps that it happened, not to whom by name.

    by: None when a backup is restored and the child was erased before.
    """
    child = athlete.pk
    ids = [child, *merged_into(child)]
    record_many(club_id=athlete.club_id, user_id=by.pk if by else None, verb="erased", kind="athlete", about=ids)
    transaction.on_commit(lambda: remember(ids), robust=True)
    transaction.on_commit(leave_nothing_behind, robust=True)
    club, names = athlete.club, traces.names_of(athlete)
    for erase in reversed(list(registry.erasers.values())):
        erase(athlete.pk)
    traces.blank(club, names)


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """What the people app keeps: the child, adults who are here for this child only, and traces in rules and files."""
    athlete = Athlete.objects.filter(pk=athlete_id).first()
    if athlete is None:
        return
    _erase_rules(athlete)
    _erase_from_files(athlete)
    withdraw(about=athlete_id)
    guardians = list(Guardian.objects.filter(children__athlete=athlete))
    athlete.delete()
    for guardian in guardians:
        user = guardian.user
        forget_if_alone(guardian)
        _forget_account(user)
        if user and user.pk:
            registry.part(user.pk, restricted=False)


def _erase_rules(athlete: Athlete) -> None:
    """A rule for one child is none, and a reason may name the child."""
    for rule in PairRule.objects.filter(athletes=athlete):
        if rule.athletes.count() <= 2:
            rule.delete()
        else:
            PairRule.objects.filter(pk=rule.pk).update(reason="")


def _erase_from_files(athlete: Athlete) -> None:
    """Unconfirmed rosters go; what the last imports remember for their undo loses this child."""
    ImportDraft.objects.filter(club=athlete.club_id).delete()
    child = str(athlete.pk)
    for row in Import.objects.filter(club=athlete.club_id).exclude(before=""):
        before = json.loads(row.before)
        for part in ("made", "changed", "squads", "labels", "adults"):
            before.get(part, {}).pop(child, None)
        row.before = json.dumps(before)
        row.save(update_fields=["before"])


def _forget_account(user: User | None) -> None:
    """An account that opens nothing any more."""
    if user and not Membership.objects.filter(user=user).exists() and not Guardian.objects.filter(user=user).exists():
        user.delete()


def export_child(athlete_id: UUID) -> dict[str, Any]:
    """The child's details, squads, rules, and what adults are to it; nobody else is named and no number given."""
    athlete = Athlete.objects.get(pk=athlete_id)
    fields = ("given_name", "family_name", "known_as", "sex", "skill", "birth_year", "roster_id", "sessions_before")
    dates = ("date_of_birth", "joined_on", "left_on")
    return {
        **{name: getattr(athlete, name) for name in fields},
        **{name: day.isoformat() if (day := getattr(athlete, name)) else None for name in dates},
        "squads": [squad.name for squad in athlete.squads.order_by("name")],
        "pair_rules": [rule.get_kind_display() for rule in athlete.pair_rules.order_by("kind", "label")],
        "adults": [_adult(tie) for tie in queries.adults_of(athlete) if not tie.restricted],
        "consents": consents.exported(athlete_id),
    }


def _adult(tie: Guardianship) -> dict[str, Any]:
    return {"relation": tie.relation, "may_collect": tie.may_collect}
