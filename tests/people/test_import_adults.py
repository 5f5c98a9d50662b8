"""A roster with children's adults: several in a row, told beforehand, taken back, and never a restriction lifted."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people import actions, csvfile
from clubapp.people.models import Athlete, Guardian, Guardianship, Import
from clubapp.people.roster import columns, drafting, exporting
from clubapp.people.roster.preview import State
from tests.cast import Cast
from tests.people.test_import_action import seen, take_over

HEADER = (
    "given_name,family_name,date_of_birth,Parent 1 name,Parent 1 phone,adult_1_collects,guardian2 name,guardian2 email"
)


def adults(child: Athlete) -> dict[str, tuple[Any, ...]]:
    rows = Guardianship.everyone.filter(athlete=child).select_related("guardian")
    return {
        tie.guardian.name: (
            tie.guardian.phone,
            tie.guardian.email,
            tie.may_collect,
            tie.restricted,
            tie.emergency_order,
        )
        for tie in rows
    }


def test_headings_of_other_people_are_known() -> None:
    guessed = columns.guess(HEADER.split(","))
    assert guessed[3:] == ["adult_1", "adult_1_phone", "adult_1_collects", "adult_2", "adult_2_email"]


def test_several_in_a_row_are_kept_in_order_and_one_adult_for_two_children(cast: Cast) -> None:
    lines = (
        "Ivy,Marsh,2016-04-09,Iris Marsh,+44 7700 900456,yes,Otto Marsh,otto@marsh.example",
        "Jo,Marsh,2018-04-09,Iris Marsh,07700 900456,,,",
    )
    preview = seen(cast, *lines, header=HEADER)
    assert [change.becomes for change in preview.rows[0].changes if change.column == "adults"] == [
        "Iris Marsh: phone +44 7700 900456, may collect",
        "Otto Marsh: e-mail otto@marsh.example",
    ]
    done = take_over(cast, *lines, header=HEADER)
    ivy, jo = Athlete.objects.filter(family_name="Marsh").order_by("given_name")
    iris = ("+44 7700 900456", "", True, False, 1)
    assert adults(ivy) == {"Iris Marsh": iris, "Otto Marsh": ("", "otto@marsh.example", False, False, 2)}
    assert adults(jo) == {"Iris Marsh": ("+44 7700 900456", "", False, False, 1)}  # nobody ticked it for Jo
    assert Guardian.objects.filter(name="Iris Marsh").count() == 1
    assert AuditLog.objects.filter(verb="made", kind="guardian", about=ivy.pk).count() == 2
    assert drafting.preview_of(again(cast)).counts["same"] == len(cast.athletes) + 2
    undone = actions.undo_import(done=done, by=cast.hazel)
    assert (undone.removed, Guardian.objects.filter(name__endswith="Marsh").exists()) == (2, False)


def again(cast: Cast) -> Any:
    """The club's own file with its adults, brought in again."""
    own = csvfile.write(*exporting.table(cast.club, with_adults=True))
    kept = actions.keep_draft(club=cast.club, table=csvfile.read(own), squad=None, by=cast.hazel)
    actions.set_columns(draft=kept, meanings=kept.columns, order="either")
    return kept


def row(
    cast: Cast, cells: str, header: str = "adult_1,adult_1_phone,adult_1_collects,adult_1_restricted"
) -> tuple[str, str]:
    return f"Ada,Reed,{cast.ada.date_of_birth},{cells}", f"given_name,family_name,date_of_birth,{header}"


def test_a_blank_cell_changes_nothing_and_a_file_never_lifts_a_restriction(cast: Cast) -> None:
    before = adults(cast.ada)
    line, header = row(cast, "Greta,,,")
    assert seen(cast, line, header=header).counts["same"] == 1
    line, _header = row(cast, "greta,07700 900999,,yes")
    done = take_over(cast, line, header=header)
    assert adults(cast.ada)["Greta"][2:4] == (False, True)
    for cells in ("Greta,,,", "Greta,07700 900999,,yes"):
        line, _header = row(cast, cells)
        assert seen(cast, line, header=header).counts["same"] == 1, cells
    for cells in ("Greta,,,no", "Greta,,yes,"):
        line, _header = row(cast, cells)
        assert "restricted in the club" in seen(cast, line, header=header).rows[0].faults[0], cells
    actions.undo_import(done=done, by=cast.hazel)
    assert adults(cast.ada)["Greta"][3] is True
    assert before["Greta"][3] is False


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        (",07700 900456,,", "has no name"),
        ("Iris,ask,,", "phone number"),
        ("Iris,,yes,yes", "never collects"),
        ("Iris,,2,", "neither yes nor no"),
    ],
    ids=str,
)
def test_a_wrong_cell_is_named(cast: Cast, cells: str, fault: str) -> None:
    line, header = row(cast, cells)
    preview = seen(cast, line, header=header)
    assert preview.rows[0].state == State.WRONG
    assert fault in preview.rows[0].faults[0]


def test_the_list_goes_out_as_csv_and_as_a_workbook_with_its_adults(cast: Cast) -> None:
    hazel, path = cast.client(cast.hazel), reverse("people:roster_export")
    assert "Greta" not in hazel.get(path).content.decode()  # only where they are asked for
    table = csvfile.read(hazel.get(path, {"adults": "yes"}).content)
    ada = next(line.cells for line in table.rows if line.cells["given_name"] == "Ada")
    assert (ada["adult_1"], ada["adult_1_phone"], ada["adult_1_collects"]) == ("Greta", "+447700900123", "yes")
    book = hazel.get(path, {"file": "xlsx", "adults": "yes"})
    assert book["Content-Type"].endswith("spreadsheetml.sheet")
    assert book.content.startswith(b"PK")
    assert AuditLog.objects.filter(verb="exported", kind="roster with adults").count() == 2


def test_erasing_a_child_takes_its_adults_out_of_what_undo_remembers(cast: Cast) -> None:
    line, header = row(cast, "Iris Marsh,07700 900456,,")
    take_over(cast, line, header=header)
    assert "Iris" in Import.objects.get().before
    actions.erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert "Iris" not in Import.objects.get().before
