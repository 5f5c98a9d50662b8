"""The last import taken back, without taking anything back that an adult did since."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction
from django.http import Http404
from django.utils import timezone

from clubapp.core.audit import record, record_many
from clubapp.core.registry import registry
from clubapp.people import queries
from clubapp.people.actions.roster import RuleTie, SquadTie, replace_ties
from clubapp.people.actions.roster_adults import undo_adults
from clubapp.people.models import Athlete, Club, Import, PairRule, User
from clubapp.people.roster.preview import FIELDS


@dataclass(frozen=True)
class Undone:
    """What taking an import back did: children removed, restored, and those left alone because of later work."""

    removed: int
    restored: int
    kept: tuple[Athlete, ...]
    left_alone: tuple[Athlete, ...]


@transaction.atomic
def undo_import(*, done: Import, by: User) -> Undone:
    """Put back what stood before the import.

    A new child that gained data since, in any app, or was corrected since, stays; so does a value changed since.
    """
    Club.objects.select_for_update().get(pk=done.club_id)
    newest = queries.last_import(done.club)
    if newest is None or newest.pk != done.pk:
        raise Http404
    before = json.loads(newest.before)
    undo_adults(done.club, before.get("adults", {}), by)
    for name, info in before["columns"].items():
        registry.columns[name].undo(info)
    replace_ties(RuleTie, "pairrule_id", _turned(before["labels"]))
    restored, left_alone = _restore(done.club, before["changed"])
    removed, kept = _remove(done.club, before["made"])
    stays = {str(child.pk) for child in kept}
    replace_ties(SquadTie, "squad_id", _turned(before["squads"], without=stays))
    _forget_empty_rules(before["labels"])
    Import.objects.filter(pk=done.pk).update(undone_at=timezone.now(), before="")
    _record(done, by, restored, removed)
    return Undone(len(removed), len(restored), kept, left_alone)


def _turned(moved: Mapping[str, Any], without: Collection[str] = ()) -> dict[str, Any]:
    """The ties the other way round; a child that stays keeps its squads, or it would be on no register."""
    return {child: [after, before] for child, (before, after) in moved.items() if child not in without}


def _forget_empty_rules(moved: Mapping[str, Any]) -> None:
    """A rule that the import made and that nobody filled with a reason or a child goes with it."""
    touched = {tie for before, after in moved.values() for tie in after if tie not in before}
    PairRule.objects.filter(pk__in=touched, athletes__isnull=True, reason="").delete()


def _restore(club: Club, changed: Mapping[str, Any]) -> tuple[list[UUID], tuple[Athlete, ...]]:
    restored: list[Athlete] = []
    left_alone: list[Athlete] = []
    kinds = {field.name: field for field in Athlete._meta.concrete_fields}
    for child in Athlete.objects.filter(club=club, pk__in=changed):
        was, became = changed[str(child.pk)]
        untouched = [field for field in became if plain(getattr(child, field)) == became[field]]
        for field in untouched:
            setattr(child, field, kinds[field].to_python(was[field]))
        restored.append(child)
        if len(untouched) < len(became):
            left_alone.append(child)
    Athlete.objects.bulk_create(
        restored, update_conflicts=True, unique_fields=["id"], update_fields=[*FIELDS.values(), "left_on"]
    )
    return [child.pk for child in restored], tuple(left_alone)


def plain(value: Any) -> Any:
    """The value as it comes back from JSON."""
    return json.loads(json.dumps(value, cls=DjangoJSONEncoder))


def _remove(club: Club, made: Mapping[str, Any]) -> tuple[list[UUID], tuple[Athlete, ...]]:
    children = list(Athlete.objects.filter(club=club, pk__in=made))
    gained = with_data(child.pk for child in children)
    kept = tuple(child for child in children if child.pk in gained or _corrected(child, made[str(child.pk)]))
    removed = [child.pk for child in set(children) - set(kept)]
    Athlete.objects.filter(pk__in=removed).delete()
    return removed, kept


def _corrected(child: Athlete, written: Mapping[str, Any]) -> bool:
    """Whether somebody changed the child, or its health was asked about, after the import."""
    corrected = any(plain(getattr(child, field)) != value for field, value in written.items())
    return corrected or bool(child.health) or child.left_on is not None


def with_data(athlete_ids: Iterable[UUID]) -> set[UUID]:
    """The children to whom any row of any app leads, other than the lists of squads."""
    ids = list(athlete_ids)
    found: set[UUID] = set()
    for relation in Athlete._meta.get_fields(include_hidden=True):
        to_child = relation.auto_created and not relation.concrete and (relation.one_to_many or relation.one_to_one)
        if to_child and relation.related_model is not SquadTie:
            column = relation.field.name  # type: ignore[union-attr]
            rows = relation.related_model._base_manager.filter(**{f"{column}__in": ids})  # type: ignore[union-attr]
            found |= set(rows.values_list(column, flat=True))
    return found


def _record(done: Import, by: User, restored: list[UUID], removed: list[UUID]) -> None:
    record(club_id=done.club_id, user_id=by.pk, verb="taken back", kind="roster", about=done.pk)
    for verb, about in (("changed", restored), ("removed", removed)):
        record_many(club_id=done.club_id, user_id=by.pk, verb=verb, kind="athlete", about=about)
