"""The roster's way in and out, through its pages."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people.models import Athlete, Import, ImportDraft
from tests.cast import Cast
from tests.people.access import for_no_club, only_the_head_coach

ROSTER = "Vorname,Surname,DOB,speed,Shoe size\r\nIvy,Marsh,2016-04-09,7.42,33\r\nJo,Fen,2015-01-30,7.9,35\r\n"
COLUMNS = {"column_0": "given_name", "column_1": "family_name", "column_2": "date_of_birth", "column_3": "speed_s"}


def upload(cast: Cast, client: Client, text: str | bytes = ROSTER) -> str:
    """The address of the columns page after an upload."""
    data = text.encode() if isinstance(text, str) else text
    file = SimpleUploadedFile("roster.csv", data, "text/csv")
    answer = client.post(reverse("people:roster_import"), {"file": file, "squad": str(cast.squad.pk)})
    assert answer.status_code == 302, answer.context["form"].errors
    return str(answer["Location"])


def preview(cast: Cast, client: Client, text: str | bytes = ROSTER, columns: dict[str, str] | None = None) -> Any:
    answer = client.post(upload(cast, client, text), COLUMNS if columns is None else columns, follow=True)
    assert answer.status_code == 200
    return answer


def confirm(client: Client, page: Any) -> Any:
    path = reverse("people:import_confirm", args=[page.context["draft"].pk])
    return client.post(path, {"digest": page.context["preview"].digest}, follow=True)


def test_only_the_head_coach_gets_in_and_only_to_the_own_draft(cast: Cast) -> None:
    for_no_club(cast, reverse("people:roster_import"))
    for_no_club(cast, reverse("people:roster_export"))
    assert cast.client(cast.finn).post(reverse("people:import_undo")).status_code == 404
    upload(cast, cast.client(cast.hazel))
    draft = ImportDraft.objects.get()
    for name in ("import_columns", "import_preview", "import_confirm", "import_drop"):
        only_the_head_coach(cast, reverse(f"people:{name}", args=[draft.pk]))
    assert ImportDraft.objects.filter(pk=draft.pk).exists()


def test_guesses_are_shown_with_examples_and_unknown_columns_left_open(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    form = client.get(upload(cast, client)).context["form"]
    assert [form.fields[f"column_{n}"].initial for n in range(5)] == ["", "family_name", "date_of_birth", "speed_s", ""]
    assert form.fields["column_0"].help_text == "Ivy · Jo"


def test_the_whole_way_in(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    page = preview(cast, client)
    assert [(row.number, row.state) for row in page.context["rows"]] == [(2, "new"), (3, "new")]
    assert page.context["left_out"] == ["Shoe size"]
    assert "Shoe size" in page.content.decode()
    done = confirm(client, page)
    assert "Taken over: 2 new, 0 changed." in done.content.decode()
    assert Athlete.objects.filter(club=cast.club, family_name__in=("Marsh", "Fen")).count() == 2


def test_pasted_cells_work_as_well(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    text = "First name\tDOB\nIvy\t2016-04-09\n"
    answer = client.post(reverse("people:roster_import"), {"text": text})
    page = client.post(answer["Location"], {"column_0": "given_name", "column_1": "date_of_birth"}, follow=True)
    assert page.context["preview"].counts["new"] == 1


@pytest.mark.parametrize(
    ("data", "field", "sentence"),
    [
        ({}, "file", "Choose a file or paste rows"),
        ({"text": "name\r\nAda", "file": b"name\r\nAda"}, "file", "one of the two"),
        ({"file": b"name,x\r\nAda\r\n"}, "file", "Row 2 has 1 cells"),
        ({"text": 'name\r\n"Ada\r\n'}, "text", "Row 2: a quotation mark"),
        ({"file": b"name\r\nA\0\r\n"}, "file", "no text"),
        ({"file": b""}, "file", "empty"),
    ],
)
def test_an_unreadable_file_says_where(cast: Cast, data: dict[str, Any], field: str, sentence: str) -> None:
    file = {"file": SimpleUploadedFile("r.csv", data["file"])} if "file" in data else {}
    sent = data | file
    page = cast.client(cast.hazel).post(reverse("people:roster_import"), sent)
    assert sentence in str(page.context["form"].errors[field])
    assert not ImportDraft.objects.exists()


@pytest.mark.parametrize(
    ("columns", "field"),
    [
        ({"column_0": "given_name", "column_1": "given_name"}, "column_1"),
        ({"column_0": "shoe"}, "column_0"),
        ({"column_2": "date_of_birth"}, "__all__"),
        ({"column_0": "given_name", "column_1": "name"}, "__all__"),
    ],
)
def test_columns_that_cannot_be_are_refused(cast: Cast, columns: dict[str, str], field: str) -> None:
    client = cast.client(cast.hazel)
    assert field in client.post(upload(cast, client), columns).context["form"].errors


def test_open_dates_are_asked_about(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    path = upload(cast, client, "name,dob\r\nIvy Marsh,9/4/2016\r\n")
    assert "order" in client.get(path).context["form"].fields
    columns = {"column_0": "name", "column_1": "date_of_birth"}
    assert "order" in client.post(path, columns).context["form"].errors
    page = client.post(path, columns | {"order": "mdy"}, follow=True)
    assert "2016-09-04" in page.content.decode()
    page = client.post(path, columns | {"order": "dmy"}, follow=True)
    assert "2016-04-09" in page.content.decode()


def test_dates_that_speak_for_themselves_are_not_asked_about(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    path = upload(cast, client, "name;dob\r\nIvy Marsh;9/4/2016\r\nJo Fen;13/4/2016\r\n")
    assert "order" not in client.get(path).context["form"].fields
    page = client.post(path, {"column_0": "name", "column_1": "date_of_birth"}, follow=True)
    assert "2016-04-09" in page.content.decode()


def test_wrong_rows_stand_first_with_row_and_column_and_stop_everything(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    page = preview(cast, client, ROSTER + "Kit,Moss,soon,fast,30\r\n")
    first = page.context["rows"][0]
    assert (first.number, first.state) == (4, "wrong")
    assert first.faults[0].startswith("DOB: “soon”")
    assert first.faults[1].startswith("speed: “fast”")
    assert "import_confirm" not in page.content.decode()
    assert reverse("people:import_confirm", args=[page.context["draft"].pk]) not in page.content.decode()
    confirm(client, page)
    assert not Athlete.objects.filter(family_name="Marsh").exists()


def test_a_club_that_changed_meanwhile_is_shown_again(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    page = preview(cast, client)
    Athlete.objects.create(club=cast.club, given_name="Ivy", family_name="Marsh", date_of_birth="2016-04-09")
    again = confirm(client, page)
    assert again.context["changed"] is True
    assert again.context["preview"].counts == {"wrong": 0, "new": 1, "changed": 1, "same": 0}
    assert "Taken over" in confirm(client, again).content.decode()


def test_nothing_of_a_draft_is_in_cookies_or_session(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    preview(cast, client)
    kept = str(client.cookies) + str(dict(client.session))
    assert "Ivy" not in kept
    assert "Marsh" not in kept


def test_dropping_a_draft(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    page = preview(cast, client)
    client.post(reverse("people:import_drop", args=[page.context["draft"].pk]))
    assert not ImportDraft.objects.exists()
    assert confirm(client, page).status_code == 404


def test_wrong_rows_come_back_to_be_put_right(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    seen = preview(cast, client, ROSTER.replace("2016-04-09", "2016-13-09"))
    address = reverse("people:roster_import") + "?again=yes"
    assert address in seen.content.decode()
    text = client.get(address).context["form"]["text"].value()
    assert text == ROSTER.replace("2016-04-09", "2016-13-09").replace("\r\n", "\n")
    again = client.post(address, {"text": text.replace("2016-13-09", "2016-12-09"), "squad": str(cast.squad.pk)})
    page = client.post(again["Location"], COLUMNS, follow=True)
    assert page.context["preview"].counts == {"wrong": 0, "new": 2, "changed": 0, "same": 0}


def test_the_rows_come_back_only_to_who_brought_them(cast: Cast) -> None:
    upload(cast, cast.client(cast.hazel))
    page = cast.client(cast.olga).get(reverse("people:roster_import") + "?again=yes")
    assert "Ivy" not in page.content.decode()


@pytest.mark.parametrize("text", ["given_name,skill", "given_name,skill\r\n\r\n"])
def test_headings_alone_are_refused(cast: Cast, text: str) -> None:
    answer = cast.client(cast.hazel).post(reverse("people:roster_import"), {"text": text})
    assert "no child under it" in answer.content.decode()
    assert not ImportDraft.objects.exists()


def test_children_without_headings_are_told_what_is_missing(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    page = client.post(upload(cast, client, "Ivy,Marsh,2016-04-09\r\nJo,Fen,2015-01-30\r\n"), {})
    assert "Put a row of headings above it." in page.content.decode()


def test_undo_says_who_stays(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    confirm(client, preview(cast, client))
    Athlete.objects.filter(given_name="Ivy").update(family_name="Marshall")
    done = Import.objects.get()
    page = client.post(reverse("people:import_undo"), {"import": str(done.pk)})
    text = page.content.decode()
    assert "Ivy Marshall" in text
    assert not Athlete.objects.filter(given_name="Jo").exists()
    again = client.post(reverse("people:import_undo"), {"import": str(done.pk)}, follow=True)
    assert "nothing to take back" in again.content.decode()


def test_export_is_a_file_and_is_logged(cast: Cast) -> None:
    answer = cast.client(cast.hazel).get(reverse("people:roster_export"))
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert "attachment" in answer["Content-Disposition"]
    assert b"Ada" in answer.content
    assert b"Zed" not in answer.content
    assert AuditLog.objects.filter(verb="exported", kind="roster", user=cast.hazel).exists()


def test_health_and_adults_are_not_in_the_export(cast: Cast) -> None:
    from clubapp.people.models import MedicalNote

    MedicalNote.objects.create(athlete=cast.ada, note="Asthma", what_to_do="Inhaler")
    text = cast.client(cast.hazel).get(reverse("people:roster_export")).content.decode()
    assert not any(word in text for word in ("Asthma", "Inhaler", "Greta", "+4477"))


def test_five_thousand_rows_through_the_pages(cast: Cast) -> None:
    lines = [f"Child{n},Reed,2015-03-{1 + n % 28:02},{7 + n % 300 / 100:.2f},33" for n in range(5000)]
    client = cast.client(cast.hazel)
    page = preview(cast, client, "\r\n".join(["Vorname,Surname,DOB,speed,Shoe size", *lines]))
    assert len(page.context["rows"]) == 200
    assert confirm(client, page).status_code == 200
    assert Athlete.objects.filter(club=cast.club).count() == 5006
