"""A roster taken over all or nothing, and taken back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pytest
from django.http import Http404
from pytest_django import DjangoAssertNumQueries

from clubapp.core.models import AuditLog
from clubapp.people import actions, csvfile
from clubapp.people.models import Athlete, Import, ImportDraft, PairRule
from clubapp.people.roster import drafting, exporting
from clubapp.people.roster.preview import Preview, State
from clubapp.results.models import Result
from clubapp.results.queries import latest_seconds
from tests.cast import Cast

QUERIES = 100  # for a file of any length: rows are read and written in batches
HEADER = "id,given_name,family_name,date_of_birth,sex,skill,speed_s,together,apart"


def draft(cast: Cast, *lines: str, header: str = HEADER, order: str = "either") -> ImportDraft:
    table = csvfile.read("\r\n".join([header, *lines]).encode())
    kept = actions.keep_draft(club=cast.club, table=table, squad=cast.squad, by=cast.hazel)
    actions.set_columns(draft=kept, meanings=kept.columns, order=order)
    return kept


def take_over(cast: Cast, *lines: str, header: str = HEADER) -> Import:
    kept = draft(cast, *lines, header=header)
    return actions.confirm_import(draft=kept, digest=drafting.preview_of(kept).digest, by=cast.hazel)


def seen(cast: Cast, *lines: str, header: str = HEADER) -> Preview:
    return drafting.preview_of(draft(cast, *lines, header=header))


def states(preview: Preview) -> list[tuple[int, State]]:
    return sorted((row.number, row.state) for row in preview.rows)


def test_new_changed_same_and_wrong_are_told_apart(cast: Cast) -> None:
    born = cast.ada.date_of_birth
    preview = seen(
        cast,
        f",Ada,Reed,{born},,{cast.ada.skill},,,",
        f",Bo,Reed,{cast.athletes[1].date_of_birth},f,,,,",
        ",Ivy,Marsh,2016-04-09,f,3,7.42,,",
        ",Jo,Marsh,2016-04-09,q,9,7.42,,",
    )
    assert states(preview) == [(2, State.SAME), (3, State.CHANGED), (4, State.NEW), (5, State.WRONG)]
    assert preview.counts == {"wrong": 1, "new": 1, "changed": 1, "same": 1}
    assert preview.rows[0].faults == (
        "sex: “q” is none of f, m and x.",
        "skill: “9” is no skill: write a whole number from 1 to 5.",
    )


def test_confirming_writes_children_results_rules_and_squad(cast: Cast) -> None:
    done = take_over(
        cast,
        "7,Ivy,Marsh,2016-04-09,f,3,7.42,A,",
        "8,Jo,Marsh,2015-01-02,m,4,7.9,A;B,",
        f",Bo,Reed,{cast.athletes[1].date_of_birth},f,,8.5,B,",
    )
    assert (done.made, done.changed) == (2, 1)
    ivy, jo = Athlete.objects.get(roster_id="7"), Athlete.objects.get(roster_id="8")
    assert (ivy.given_name, ivy.date_of_birth, ivy.sex, ivy.skill) == ("Ivy", date(2016, 4, 9), "f", 3)
    assert list(ivy.squads.all()) == [cast.squad]
    assert latest_seconds([ivy.pk, jo.pk, cast.athletes[1].pk]) == {
        ivy.pk: 7.42,
        jo.pk: 7.9,
        cast.athletes[1].pk: 8.5,
    }
    assert set(PairRule.objects.get(label="A").athletes.all()) == {ivy, jo}
    assert set(PairRule.objects.get(label="B").athletes.all()) == {jo, cast.athletes[1]}
    assert Result.objects.get(athlete=ivy).on == cast.club.today()
    assert not ImportDraft.objects.exists()
    assert AuditLog.objects.filter(verb="made", kind="athlete", about=ivy.pk, user=cast.hazel).count() == 1
    assert "Marsh" not in done.__class__.objects.extra(select={"raw": "before"}).values_list("raw", flat=True)[0]


def test_one_wrong_row_stops_everything(cast: Cast) -> None:
    before = Athlete.objects.count()
    with pytest.raises(actions.NotAsShownError):
        take_over(cast, ",Ivy,Marsh,2016-04-09,,,,,", ",,Marsh,2016-04-09,,,,,")
    assert (Athlete.objects.count(), Import.objects.count()) == (before, 0)


def test_what_was_not_shown_is_not_confirmed(cast: Cast) -> None:
    kept = draft(cast, f",Ada,Reed,{cast.ada.date_of_birth},f,,,,")
    digest = drafting.preview_of(kept).digest
    Athlete.objects.filter(pk=cast.ada.pk).update(sex="f")
    with pytest.raises(actions.NotAsShownError):
        actions.confirm_import(draft=kept, digest=digest, by=cast.hazel)


def test_a_draft_is_confirmed_once(cast: Cast) -> None:
    kept = draft(cast, ",Ivy,Marsh,2016-04-09,,,,,")
    digest = drafting.preview_of(kept).digest
    actions.confirm_import(draft=kept, digest=digest, by=cast.hazel)
    with pytest.raises(Http404):
        actions.confirm_import(draft=ImportDraft(pk=kept.pk, club=cast.club), digest=digest, by=cast.hazel)
    assert Athlete.objects.filter(given_name="Ivy").count() == 1


def test_the_draft_is_unreadable_in_the_database(cast: Cast) -> None:
    draft(cast, ",Ivy,Marsh,2016-04-09,,,,,")
    raw = ImportDraft.objects.extra(select={"raw": '"people_importdraft"."table"'}).values_list("raw", flat=True)[0]
    assert "Marsh" not in raw  # three letters may stand in a cipher by chance


@pytest.mark.parametrize(
    ("lines", "number", "sentence"),
    [
        ([",Ivy,Marsh,31/2/2016,,,,,"], 2, "date_of_birth: “31/2/2016”"),
        ([",Ivy,Marsh,2999-01-01,,,,,"], 2, "date_of_birth: 2999-01-01 is in the future."),
        ([",Ivy,Marsh,1916-01-01,,,,,"], 2, "date_of_birth: A child of the club is not born in 1916."),
        ([",Ivy,Marsh,2016-04-09,,,-7,,"], 2, "speed_s: “-7” is no time."),
        ([f",{'I' * 61},Marsh,,,,,,"], 2, "given_name: “IIIIIIIIIIII…” is longer than 60 letters."),
        ([",,Marsh,,,,,,"], 2, "A new child needs a given name."),
        (["7,Ivy,Marsh,,,,,,", "7,Jo,Marsh,,,,,,"], 3, "Row 3 and row 2 are the same child."),
        ([",Ivy,Marsh,2016-04-09,,,,,", "7,ivy,MARSH,2016-04-09,,,,,"], 2, "Row 2 and row 3 are the same child."),
    ],
)
def test_a_bad_cell_names_row_and_column(cast: Cast, lines: Sequence[str], number: int, sentence: str) -> None:
    row = next(row for row in seen(cast, *lines).rows if row.number == number)
    assert row.state == State.WRONG
    assert any(fault.startswith(sentence) for fault in row.faults), row.faults


def test_matches_by_roster_id_even_under_a_new_name(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(roster_id="1")
    take_over(cast, "1,Adaline,Reed,,,,,,")
    cast.ada.refresh_from_db()
    assert cast.ada.given_name == "Adaline"


def test_a_child_known_by_year_gets_its_whole_date(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(date_of_birth=None, birth_year=2016)
    take_over(cast, ",Ada,Reed,2016-04-09,,,,,")
    cast.ada.refresh_from_db()
    assert (cast.ada.date_of_birth, cast.ada.birth_year) == (date(2016, 4, 9), None)


def test_two_children_of_one_name_and_birthday_need_an_id(cast: Cast) -> None:
    born = cast.ada.date_of_birth
    Athlete.objects.filter(pk=cast.athletes[1].pk).update(given_name="Ada", date_of_birth=born)
    assert "More than one child" in seen(cast, f",Ada,Reed,{born},,,,,").rows[0].faults[0]


def test_another_roster_id_for_a_known_child_is_wrong(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(roster_id="1")
    assert "with the roster id 1" in seen(cast, f"2,Ada,Reed,{cast.ada.date_of_birth},,,,,").rows[0].faults[0]


def test_an_empty_cell_changes_nothing(cast: Cast) -> None:
    assert seen(cast, f",Ada,Reed,{cast.ada.date_of_birth},,,,,").rows[0].state == State.SAME


def test_another_club_is_never_matched(cast: Cast) -> None:
    zed = Athlete.objects.get(given_name="Zed")
    assert seen(cast, f",Zed,Reed,{zed.date_of_birth},,,,,").rows[0].state == State.NEW


def test_whole_names_part_into_given_and_family(cast: Cast) -> None:
    take_over(cast, "Ivy Mae Marsh", '"Fen, Jo"', "Ada Reed", header="name")
    assert Athlete.objects.filter(given_name="Ivy", family_name="Mae Marsh").exists()
    assert Athlete.objects.filter(given_name="Jo", family_name="Fen").exists()
    assert Athlete.objects.filter(club=cast.club, given_name="Ada").count() == 1


def test_a_child_that_left_comes_back(cast: Cast) -> None:
    actions.leave_club(athlete=cast.ada, by=cast.hazel)
    done = take_over(cast, f",Ada,Reed,{cast.ada.date_of_birth},,,,,")
    cast.ada.refresh_from_db()
    assert (done.changed, cast.ada.left_on) == (1, None)


def test_undo_puts_everything_back(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(skill=1)
    before = exporting.roster_file(cast.club)
    done = take_over(
        cast,
        ",Ivy,Marsh,2016-04-09,f,3,7.42,A,",
        f",Ada,Reed,{cast.ada.date_of_birth},f,5,8.1,A,",
    )
    undone = actions.undo_import(done=done, by=cast.hazel)
    assert (undone.removed, undone.restored, undone.kept, undone.left_alone) == (1, 1, (), ())
    assert exporting.roster_file(cast.club) == before
    assert not PairRule.objects.exists()
    assert not Result.objects.exists()


def test_undo_leaves_a_new_child_that_gained_data(cast: Cast) -> None:
    done = take_over(cast, ",Ivy,Marsh,2016-04-09,,,7.42,,", ",Jo,Fen,2016-04-09,,,,,", ",Kit,Fen,2016-04-10,,,,,")
    ivy, jo = Athlete.objects.get(given_name="Ivy"), Athlete.objects.get(given_name="Jo")
    actions.add_guardian(athlete=ivy, details=actions.GuardianDetails(name="Iris"), by=cast.hazel)
    Athlete.objects.filter(pk=jo.pk).update(known_as="Joey")
    Athlete.objects.filter(pk=jo.pk).update(family_name="Fenn")
    undone = actions.undo_import(done=done, by=cast.hazel)
    assert {child.pk for child in undone.kept} == {ivy.pk, jo.pk}
    assert undone.removed == 1
    assert list(ivy.squads.all()) == [cast.squad]


def test_undo_leaves_a_value_changed_since(cast: Cast) -> None:
    Athlete.objects.filter(pk=cast.ada.pk).update(skill=1)
    done = take_over(cast, f",Ada,Reed,{cast.ada.date_of_birth},f,5,,,")
    Athlete.objects.filter(pk=cast.ada.pk).update(skill=4)
    undone = actions.undo_import(done=done, by=cast.hazel)
    cast.ada.refresh_from_db()
    assert (cast.ada.skill, cast.ada.sex) == (4, "")
    assert undone.left_alone == (cast.ada,)


def test_only_the_last_import_is_taken_back_and_once(cast: Cast) -> None:
    first = take_over(cast, ",Ivy,Marsh,2016-04-09,,,,,")
    second = take_over(cast, ",Jo,Marsh,2016-04-09,,,,,")
    with pytest.raises(Http404):
        actions.undo_import(done=first, by=cast.hazel)
    actions.undo_import(done=second, by=cast.hazel)
    with pytest.raises(Http404):
        actions.undo_import(done=second, by=cast.hazel)


@pytest.mark.parametrize("rows", [50, 1000])
def test_the_questions_to_the_database_do_not_grow_with_the_rows(
    cast: Cast, rows: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    """What makes 5,000 rows quick (the seconds are a row of `manage.py bench`)."""
    lines = [
        f"{n},Child{n},Reed,{date(2012 + n % 5, 1 + n % 12, 1 + n % 28)},{'fm'[n % 2]},{1 + n % 5},"
        f"{6 + n % 300 / 100:.2f},{f'T{n // 20}' if n % 20 < 2 else ''},{f'A{n // 30}' if n % 30 < 2 else ''}"
        for n in range(rows)
    ]
    renamed = [line.replace("Reed", "Rush") for line in lines]
    for file, made, changed in ((lines, rows, 0), (renamed, 0, rows)):
        with django_assert_max_num_queries(QUERIES):
            done = take_over(cast, *file)
        assert (done.made, done.changed) == (made, changed)
