"""The roster file: kept as a draft, taken over all or nothing, taken back."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any
from uuid import UUID

from django.core.serializers.json import DjangoJSONEncoder
from django.db import transaction
from django.shortcuts import get_object_or_404
from django.utils import timezone

from clubapp.core.audit import record, record_many
from clubapp.core.registry import registry
from clubapp.people.actions.roster_adults import write_adults
from clubapp.people.csvfile import Table
from clubapp.people.models import Athlete, Club, Import, ImportDraft, PairRule, Squad, User
from clubapp.people.roster import columns, drafting, exporting, snapshot
from clubapp.people.roster.preview import FIELDS, Preview, PreviewRow, State
from clubapp.people.roster.snapshot import KINDS

DRAFTS_KEPT = timedelta(days=1)
SquadTie = Athlete.squads.through
RuleTie = PairRule.athletes.through


class NotAsShownError(ValueError):
    """A row is wrong, or the club changed since the preview: nothing was taken over."""


@transaction.atomic
def keep_draft(*, club: Club, table: Table, squad: Squad | None, by: User) -> ImportDraft:
    """Seal an uploaded table until it is confirmed; an older draft of this adult makes room, forgotten ones go."""
    ImportDraft.objects.filter(by=by).delete()
    ImportDraft.objects.filter(made_at__lt=timezone.now() - DRAFTS_KEPT).delete()
    return ImportDraft.objects.create(
        club=club, by=by, table=drafting.packed(table), columns=columns.guess(table.header), squad=squad
    )


@transaction.atomic
def set_columns(*, draft: ImportDraft, meanings: Sequence[str], order: str) -> None:
    draft.columns, draft.date_order = list(meanings), order
    draft.save(update_fields=["columns", "date_order"])


@transaction.atomic
def drop_draft(*, draft: ImportDraft) -> None:
    draft.delete()


@transaction.atomic
def export_roster(*, club: Club, with_adults: bool, by: User) -> exporting.Table:
    """The roster as headings and rows; that it was taken out stands in the log."""
    kind = "roster with adults" if with_adults else "roster"
    record(club_id=club.pk, user_id=by.pk, verb="exported", kind=kind, about=club.pk)
    return exporting.table(club, with_adults=with_adults)


@transaction.atomic
def confirm_import(*, draft: ImportDraft, digest: str, by: User) -> Import:
    """Take the whole draft over, or nothing of it.

    Raises:
        NotAsShownError: a row is wrong, or what would happen is not what `digest` stands for.
    """
    Club.objects.select_for_update().get(pk=draft.club_id)  # one import of a club at a time
    get_object_or_404(ImportDraft, pk=draft.pk)
    seen = drafting.preview_of(draft)
    if not seen.fit or seen.digest != digest:
        raise NotAsShownError
    rows = _write_athletes(draft, seen)
    before = {
        "made": {str(row.child.pk): row.fields(after=True) for row in rows if row.shown.state == State.NEW},
        "changed": {
            str(row.child.pk): [row.fields(after=False), row.fields(after=True)]
            for row in rows
            if row.shown.state == State.CHANGED
        },
        "squads": _write_squads(draft, rows),
        "labels": _write_labels(draft.club, rows),
        "columns": _write_registered(draft.club, rows),
        "adults": write_adults(draft.club, [(row.shown, row.child) for row in rows], by),
    }
    done = Import.objects.create(
        club=draft.club,
        by=by,
        made=seen.counts[State.NEW],
        changed=seen.counts[State.CHANGED],
        before=json.dumps(before, cls=DjangoJSONEncoder),
    )
    _record(done, rows, by)
    draft.delete()
    return done


@dataclass(frozen=True)
class _Written:
    """A row that does something, with the child it was written to."""

    shown: PreviewRow
    child: Athlete

    def after(self, column: str) -> Any:
        """The new value, or None when the row does not change this column."""
        return next((change.after for change in self.shown.changes if change.column == column), None)

    def fields(self, *, after: bool) -> dict[str, Any]:
        """Field names and values on one side of the change."""
        return {
            field: change.after if after else change.before
            for change in self.shown.changes
            if (field := _field(change.column))
        }


def _field(column: str) -> str | None:
    return "left_on" if column == "left" else FIELDS.get(column)


def _write_athletes(draft: ImportDraft, seen: Preview) -> list[_Written]:
    """One statement for the new and one for each batch of changed children, however many there are."""
    rows = []
    for shown in seen.rows:
        if shown.state in (State.NEW, State.CHANGED):
            row = _Written(shown, shown.athlete or Athlete(club=draft.club))
            for field, value in row.fields(after=True).items():
                setattr(row.child, field, value)
            rows.append(row)
    Athlete.objects.bulk_create([row.child for row in rows if row.shown.state == State.NEW])
    Athlete.objects.bulk_create(
        [row.child for row in rows if row.shown.state == State.CHANGED],
        update_conflicts=True,
        unique_fields=["id"],
        update_fields=[*FIELDS.values(), "left_on"],
    )
    return rows


def _write_squads(draft: ImportDraft, rows: Iterable[_Written]) -> dict[str, Any]:
    """New children without a squad of their own join the one chosen at upload. Answers with before and after."""
    chosen = [str(draft.squad_id)] if draft.squad_id else []
    moved: dict[str, Any] = {}
    for row in rows:
        after = row.after("squads") or (chosen if row.shown.state == State.NEW else None)
        if after:
            before = next((change.before for change in row.shown.changes if change.column == "squads"), None)
            moved[str(row.child.pk)] = [list(before or ()), list(after)]
    replace_ties(SquadTie, "squad_id", moved)
    placed = [child for child, (_before, after) in moved.items() if after]
    Athlete.objects.filter(pk__in=placed).update(waiting_since=None)  # with a squad a child waits no more
    return moved


def _write_labels(club: Club, rows: Sequence[_Written]) -> dict[str, Any]:
    """Labels become pair rules, made where the club has none of that name. Answers with rule ids before and after."""
    now, known = snapshot.labels_of(club)
    moved: dict[str, Any] = {}
    for kind in KINDS:
        wanted = {row.child.pk: row.after(kind) for row in rows if row.after(kind)}
        rules = known | _new_rules(club, kind, {label for labels in wanted.values() for label in labels}, known)
        for child, labels in wanted.items():
            before = [str(rules[kind, label]) for label in now[kind].get(child, ())]
            was, will = moved.get(str(child), [[], []])
            moved[str(child)] = [was + before, will + [str(rules[kind, label]) for label in labels]]
    replace_ties(RuleTie, "pairrule_id", moved)
    return moved


def _new_rules(
    club: Club, kind: str, labels: set[str], known: Mapping[tuple[str, str], UUID]
) -> dict[tuple[str, str], UUID]:
    fresh = [PairRule(club=club, kind=kind, label=label) for label in sorted(labels) if (kind, label) not in known]
    return {(kind, rule.label): rule.pk for rule in PairRule.objects.bulk_create(fresh)}


def replace_ties(through: Any, other: str, moved: Mapping[str, Any]) -> None:
    """Take away the ties that stood only before and add those that stand only after; others are not touched."""
    gone = {(child, tie) for child, (before, after) in moved.items() for tie in set(before) - set(after)}
    here = [(child, tie) for child, (before, after) in moved.items() for tie in after if tie not in before]
    ties = through.objects.filter(athlete_id__in={child for child, _tie in gone}).values_list("pk", "athlete_id", other)
    through.objects.filter(pk__in=[pk for pk, child, tie in ties if (str(child), str(tie)) in gone]).delete()
    rows = [through(**{"athlete_id": UUID(child), other: UUID(tie)}) for child, tie in here]
    through.objects.bulk_create(rows, ignore_conflicts=True)


def _write_registered(club: Club, rows: Sequence[_Written]) -> dict[str, Any]:
    """Hand other apps their columns; each answers with what its undo needs."""
    undo = {}
    for name, column in registry.columns.items():
        values = {row.child.pk: value for row in rows if (value := row.after(name)) is not None}
        if values:
            undo[name] = column.write(club.pk, values, club.today())
    return undo


def _record(done: Import, rows: Sequence[_Written], by: User) -> None:
    record(club_id=done.club_id, user_id=by.pk, verb="imported", kind="roster", about=done.pk)
    for state, verb in ((State.NEW, "made"), (State.CHANGED, "changed")):
        about = [row.child.pk for row in rows if row.shown.state == state]
        record_many(club_id=done.club_id, user_id=by.pk, verb=verb, kind="athlete", about=about)
