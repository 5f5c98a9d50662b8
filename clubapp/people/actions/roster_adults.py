"""What a roster says of children's adults, written and taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db import transaction

from clubapp.people.actions.guardians import GuardianDetails, add_guardian, change_guardian, remove_guardian
from clubapp.people.models import Athlete, Club, Consent, Guardian, Guardianship, User
from clubapp.people.roster.adults import OWN, AdultChange, AdultSaid, changes
from clubapp.people.roster.preview import PreviewRow
from clubapp.people.same import digits

Done = dict[str, Any]


@transaction.atomic
def write_adults(club: Club, rows: Iterable[tuple[PreviewRow, Athlete]], by: User) -> Done:
    """Each row's adults by the ordinary actions, so that each stands in the log. Answers with what undo needs."""
    done: Done = {}
    for shown, child in rows:
        said: Sequence[AdultSaid] = shown.said.values.get("adults", ())
        if said:
            ties = list(Guardianship.everyone.filter(athlete=child).select_related("guardian", "athlete__club"))
            written = [_write(club, child, change, by) for change in changes(said, ties)]
            done[str(child.pk)] = written
    return done


def _write(club: Club, child: Athlete, change: AdultChange, by: User) -> list[Any]:
    """The tie's id, its fields before (none: it is new) and after."""
    tie, said = change.tie, change.said
    if tie is None:
        known = _known(club, said)
        tie = add_guardian(athlete=child, details=_details(child, change), by=by, known=known)
        return [str(tie.pk), None, _now(tie)]
    before = _now(tie)
    wanted = {**before, **change.fields}
    change_guardian(tie=tie, details=GuardianDetails(**wanted), by=by)
    return [str(tie.pk), before, _now(tie)]


def _details(child: Athlete, change: AdultChange) -> GuardianDetails:
    order = 1 + Guardianship.everyone.filter(athlete=child).count()
    return GuardianDetails(name=change.said.name, emergency_order=order, **change.fields)


def _known(club: Club, said: AdultSaid) -> Guardian | None:
    """One adult for brothers and sisters: of one name with one e-mail or one number."""
    for row in Guardian.objects.filter(club=club, name__iexact=said.name).order_by("pk"):
        mailed = bool(said.email) and row.email.casefold() == said.email.casefold()
        if mailed or (said.phone and digits(row.phone) == digits(said.phone)):
            return row
    return None


def _now(tie: Guardianship) -> dict[str, Any]:
    own = {name: getattr(tie.guardian, name) for name in ("name", *OWN)}
    return own | {name: getattr(tie, name) for name in ("relation", "may_collect", "emergency_order", "restricted")}


@transaction.atomic
def undo_adults(club: Club, done: Mapping[str, Sequence[list[Any]]], by: User) -> None:
    """Take back what nobody has touched since. A restriction stays: it is lifted on the adult's page alone."""
    for tie_id, before, after in (entry for entries in done.values() for entry in entries):
        rows = Guardianship.everyone.select_related("guardian", "athlete__club")
        tie = rows.filter(pk=tie_id, athlete__club=club).first()
        if tie is None or tie.restricted or _now(tie) != after:
            continue
        if before is not None:
            change_guardian(tie=tie, details=GuardianDetails(**before), by=by)
        elif not tie.guardian.user_id and not Consent.objects.filter(guardian=tie.guardian).exists():
            remove_guardian(tie=tie, by=by)
