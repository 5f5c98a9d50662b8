"""Two records of one child made one. Nothing is lost, and of two rules the stricter one holds."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from clubapp.core.audit import record
from clubapp.core.post import readdress
from clubapp.core.registry import registry
from clubapp.people.actions.guardians import cut_off
from clubapp.people.actions.undoing import with_data
from clubapp.people.models import (
    Athlete,
    Club,
    Consent,
    Guardianship,
    Health,
    HealthProposal,
    MedicalNote,
    PairRule,
    User,
)
from clubapp.people.same import same_adult

FILLED = ("family_name", "known_as", "date_of_birth", "birth_year", "sex", "skill", "roster_id")


@transaction.atomic
def merge_children(*, stays: Athlete, double: Athlete, by: User) -> None:
    """Move everything every app keeps of the double to the record that stays, the highest app first.

    Raises:
        ValueError: they are one record, or of two clubs.
    """
    Club.objects.select_for_update().get(pk=stays.club_id)
    if stays.pk == double.pk or stays.club_id != double.club_id:
        raise ValueError("two records of one club")
    record(club_id=stays.club_id, user_id=by.pk, verb="merged", kind="athlete", about=stays.pk, double=str(double.pk))
    for merge in reversed(list(registry.mergers.values())):
        merge(stays.pk, double.pk)
    if with_data([double.pk]):
        raise RuntimeError("something of the double was not moved")  # rather nothing at all than a loss
    double.delete()


@transaction.atomic
def merge_child(stays_id: UUID, double_id: UUID) -> None:
    """What the people app keeps."""
    stays, double = Athlete.objects.get(pk=stays_id), Athlete.objects.get(pk=double_id)
    _merge_adults(stays, double)
    _merge_note(stays, double)
    _merge_rules(stays, double)
    for model in (Consent, HealthProposal):
        model.objects.filter(athlete=double).update(athlete=stays)
    _merge_details(stays, double)
    readdress(about=double_id, to=stays_id)


def _merge_details(stays: Athlete, double: Athlete) -> None:
    """What the staying record does not know it takes over; a child that is still here in one of them is here."""
    stays.squads.add(*double.squads.all())
    taken = {name: getattr(double, name) for name in FILLED if not getattr(stays, name)}
    Athlete.objects.filter(pk=double.pk).update(roster_id="")  # an id stands for one child of a club
    if stays.date_of_birth or taken.get("date_of_birth"):
        taken["birth_year"] = None
    taken["joined_on"] = min((day for day in (stays.joined_on, double.joined_on) if day), default=None)
    taken["sessions_before"] = max(stays.sessions_before, double.sessions_before)
    taken["left_on"] = max(stays.left_on, double.left_on) if stays.left_on and double.left_on else None
    taken["waiting_since"] = stays.waiting_since if double.waiting_since else None
    taken["health"] = _health(stays, double)
    for name, value in taken.items():
        setattr(stays, name, value)
    stays.save(update_fields=list(taken))


def _health(stays: Athlete, double: Athlete) -> str:
    """A note anywhere is a note; "nothing to know" counts where the other record was never asked about."""
    said = {stays.health, double.health}
    return next((answer for answer in (Health.NOTE, Health.NOTHING) if answer in said), Health.NOT_ASKED)


def _merge_note(stays: Athlete, double: Athlete) -> None:
    """Both notes, one below the other; the older day of review counts."""
    other = MedicalNote.objects.filter(athlete=double).first()
    note = MedicalNote.objects.filter(athlete=stays).first()
    if other is None:
        return
    if note is None:
        MedicalNote.objects.filter(pk=other.pk).update(athlete=stays)
        return
    for name in ("what_to_do", "note"):
        both = dict.fromkeys(text for text in (getattr(note, name), getattr(other, name)) if text)
        setattr(note, name, "\n\n".join(both))
    note.to_bring = note.to_bring or other.to_bring
    note.reviewed_on = min((day for day in (note.reviewed_on, other.reviewed_on) if day), default=None)
    note.save()
    other.delete()


def _merge_adults(stays: Athlete, double: Athlete) -> None:
    """Each adult once. Restricted in either record, under whichever entry of the adult, is restricted."""
    kept = {tie.guardian_id: tie for tie in Guardianship.everyone.filter(athlete=stays)}
    for tie in Guardianship.everyone.filter(athlete=double):
        mine = kept.get(tie.guardian_id)
        if mine is None:
            tie.athlete = stays
            tie.save(update_fields=["athlete"])
            continue
        mine.may_collect = mine.may_collect and tie.may_collect
        mine.restricted = mine.restricted or tie.restricted
        mine.may_collect = mine.may_collect and not mine.restricted
        mine.relation = mine.relation or tie.relation
        mine.save(update_fields=["may_collect", "restricted", "relation"])
        tie.delete()
    _restrict_namesakes(stays)
    for tie in Guardianship.everyone.filter(athlete=stays, restricted=True).select_related("guardian"):
        cut_off(tie.guardian)


def _restrict_namesakes(child: Athlete) -> None:
    ties = list(Guardianship.everyone.filter(athlete=child).select_related("guardian"))
    restricted = [tie.guardian for tie in ties if tie.restricted]
    for tie in ties:
        if not tie.restricted and any(same_adult(tie.guardian, other) for other in restricted):
            tie.restricted, tie.may_collect = True, False
            tie.save(update_fields=["restricted", "may_collect"])


def _merge_rules(stays: Athlete, double: Athlete) -> None:
    """The child takes the double's place; a rule between the two of them is about nobody and goes."""
    for rule in PairRule.objects.filter(athletes=double):
        rule.athletes.add(stays)
        rule.athletes.remove(double)
        if rule.athletes.count() < 2:
            rule.delete()
