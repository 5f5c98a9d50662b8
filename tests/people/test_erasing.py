"""A child's record handed out, and erased from every table."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connection, models
from django.urls import reverse
from django.utils import timezone
from pytest_django import Settings

from clubapp.core import post
from clubapp.core.fields import unseal
from clubapp.core.models import AuditLog
from clubapp.core.registry import registry
from clubapp.games.models import Draw
from clubapp.live.models import Incident, KeptIncident, Whereabouts
from clubapp.people import actions
from clubapp.people.actions import record_consent
from clubapp.people.models import Athlete, Guardian, MedicalNote, PairRule, User
from clubapp.planning.models import Review
from clubapp.register.models import Mark
from clubapp.results.actions import add_speeds
from clubapp.results.models import Result
from tests.cast import Cast, make_cast, make_child
from tests.people.test_import_action import take_over
from tests.rules.addresses import game_of, written


def leading_to_a_child() -> list[type[models.Model]]:
    """Every model with a foreign key to Athlete, directly or over another such model."""
    found: set[type[models.Model]] = {Athlete}
    everywhere = apps.get_models(include_auto_created=True)
    while more := {model for model in everywhere if model not in found and parents(model) & found}:
        found |= more
    return sorted(found, key=lambda model: model._meta.label)


def parents(model: type[models.Model]) -> set[type[models.Model]]:
    """The models its foreign keys lead to."""
    return {field.related_model for field in model._meta.concrete_fields if isinstance(field, models.ForeignKey)}


@pytest.mark.parametrize("model", leading_to_a_child(), ids=lambda model: model._meta.label)
def test_every_app_that_leads_to_a_child_hands_out_and_erases(model: type[models.Model]) -> None:
    assert model._meta.app_label in registry.erasers
    assert model._meta.app_label in registry.exporters


def test_a_model_that_leads_to_a_child_is_found() -> None:
    assert {Mark, Result, MedicalNote, PairRule.athletes.through} <= set(leading_to_a_child())
    assert PairRule not in leading_to_a_child()


def everything() -> Iterator[tuple[str, str]]:
    """Every cell of every table with the table's name, sealed ones opened."""
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            for row in cursor.fetchall():
                for cell in row:
                    yield table, unseal(cell) if isinstance(cell, str) and cell.startswith("gAAAA") else str(cell)


@pytest.fixture
def known(cast: Cast) -> Athlete:
    """A child with traces everywhere."""
    take_over(
        cast,
        ",Quillon,Underwater,2016-04-09,f,3,7.42,A,",
        f",Ada,Reed,{cast.ada.date_of_birth},f,,,A,",
    )
    child = Athlete.objects.get(given_name="Quillon")
    answer = actions.HealthAnswer(health="yes", what_to_do="Quillon takes the blue inhaler")
    actions.write_medical_note(athlete=child, answer=answer, by=cast.hazel)
    tie = actions.add_guardian(athlete=child, details=actions.GuardianDetails(name="Iris Underwater"), by=cast.hazel)
    actions.join_new(
        link=_link(actions.invite_guardian(guardian=tie.guardian, by=cast.hazel)),
        new=actions.NewAdult("Iris Underwater", "iris@underwater.example", "four-grey-herons"),
    )
    wish = actions.PairWish(PairRule.Kind.APART, (child, *cast.athletes[:2]), reason="Quillon pushes")
    actions.make_pair_rule(club=cast.club, wish=wish, by=cast.hazel)
    add_speeds(club_id=cast.club.pk, milliseconds={child.pk: 7300}, on=cast.club.today())
    Mark.objects.create(session=cast.session, athlete=child, kind="here", tapped_at=timezone.now())
    return child


def _link(path: str):
    from clubapp.people.links import good_link
    from clubapp.people.models import OneTimeLink

    return good_link(path.rstrip("/").rsplit("/", 1)[1], OneTimeLink.Purpose.GUARDIAN)


NAMES = re.compile("quillon|underwater", re.IGNORECASE)


def test_nothing_of_an_erased_child_is_left_but_what_the_dry_run_said(
    cast: Cast, known: Athlete, settings: Settings, tmp_path: Path
) -> None:
    """Every cell of every table, opened; the mail folder; what was written about others; what other phones are sent."""
    settings.MAIL_FOLDER = settings.EMAIL_FILE_PATH = tmp_path
    cast.client(cast.hazel).post(reverse("people:athlete_leave", args=[known.pk]))
    cast.client(cast.hazel).post(reverse("people:athlete_return", args=[known.pk]))
    note = written(cast.session, cast.hazel, known)
    other = written(cast.session, cast.hazel, cast.athletes[1])
    Incident.objects.filter(pk=other.pk).update(what="Ran into Quillon.")
    game = Draw.objects.get(game=game_of(cast.session))
    Draw.objects.filter(pk=game.pk).update(answer={"heats": [[[1, str(known.pk)]]]})
    tap = {"session": cast.session, "tapped_at": timezone.now()}
    Whereabouts.objects.create(athlete=known, kind="away", with_whom="quillon underwater's coach", **tap)
    Mark.objects.create(athlete=cast.ada, kind="left", with_whom="Iris underwater", word="with Quillon", **tap)
    Review.objects.create(session=cast.session, went_well="Quillon’s relay", at=timezone.now())
    record_consent(
        tie=known.adults.get(), kind="photographs", given=True, by=User.objects.get(email="iris@underwater.example")
    )
    letter = post.send(post.Letter("iris@underwater.example", "Hello", "Hello Iris Underwater", "x", about=known.pk))
    (tmp_path / f"{letter.pk}.eml").write_text("To: iris@underwater.example")
    worry = actions.Worry(about="Quillon Underwater", words="It worries me")
    actions.write_concern(club=cast.club, worry=worry, by=cast.finn, host="")

    page = cast.client(cast.hazel).get(reverse("people:athlete_erase", args=[known.pk]))
    goes, stays = dict(page.context["goes"]), page.context["stays"]
    assert goes["The name in notes about something else"] == 5  # two of a mark, a review, a rule, a letter
    assert [line for line in stays if "about another child" in line]
    actions.erase_athlete(athlete=known, by=cast.hazel)

    left = {table for table, cell in everything() if NAMES.search(cell)}
    assert left == {"live_keptincident", "live_incident", "people_concern"}
    assert KeptIncident.objects.get().pk == note.pk
    assert Incident.objects.get().what == "Ran into Quillon.", "evidence about another child is not changed"
    assert "worries" not in str(stays), "of a concern only the welfare officer hears"
    assert Mark.objects.get(athlete=cast.ada).word == "with [erased]"
    assert Review.objects.get().went_well == "[erased]’s relay"
    assert not list(tmp_path.iterdir())
    assert not User.objects.filter(email="iris@underwater.example").exists()
    assert AuditLog.objects.filter(verb="erased", user=cast.hazel).count() == 1
    for path in ("people:athletes", "people:log", "people:mails", "people:keeping"):
        assert not NAMES.search(cast.client(cast.hazel).get(reverse(path)).content.decode()), path


def test_a_name_that_somebody_else_bears_is_taken_out_with_the_family_name_only(cast: Cast) -> None:
    twin = make_child(cast.club, cast.squad, "Ada")
    Athlete.objects.filter(pk=twin.pk).update(family_name="Marsh", known_as="Al")
    tap = {"session": cast.session, "tapped_at": timezone.now()}
    Mark.objects.create(athlete=cast.ada, kind="here", word="Ada Marsh's ball, Ada's shoes; Al Marsh, also", **tap)
    actions.erase_athlete(athlete=Athlete.objects.get(pk=twin.pk), by=cast.hazel)
    assert Mark.objects.get().word == "[erased]'s ball, Ada's shoes; [erased], also"


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="looks into the file of SQLite")
@pytest.mark.django_db(transaction=True)
def test_the_name_is_not_in_the_database_file_either() -> None:
    cast = make_cast()
    child = make_child(cast.club, cast.squad, "Zebulonia")
    file = Path(connection.settings_dict["NAME"])
    files = [file, file.with_name(f"{file.name}-wal")]
    assert any(b"Zebulonia" in one.read_bytes() for one in files if one.exists())
    coach = cast.client(cast.hazel)
    edition = coach.get("/")["X-Erased"]
    actions.erase_athlete(athlete=child, by=cast.hazel)
    assert not any(b"Zebulonia" in one.read_bytes() for one in files if one.exists())
    assert coach.get("/")["X-Erased"] not in ("", edition), "phones fetch what they keep anew"


def test_erasing_one_child_leaves_the_others(cast: Cast, known: Athlete) -> None:
    before = set(Athlete.objects.exclude(pk=known.pk))
    actions.erase_athlete(athlete=known, by=cast.hazel)
    assert set(Athlete.objects.all()) == before
    assert Guardian.objects.filter(user=cast.greta).exists()
    assert set(PairRule.objects.get(kind="apart").athletes.all()) == set(cast.athletes[:2])


def test_the_import_can_still_be_taken_back_after_erasing(cast: Cast, known: Athlete) -> None:
    from clubapp.people.models import Import

    actions.erase_athlete(athlete=known, by=cast.hazel)
    actions.undo_import(done=Import.objects.get(), by=cast.hazel)
    cast.ada.refresh_from_db()
    assert cast.ada.sex == ""


def test_the_page_asks_twice(cast: Cast) -> None:
    client, path = cast.client(cast.hazel), reverse("people:athlete_erase", args=[cast.ada.pk])
    client.get(path)
    assert "Tick the line" in client.post(path).content.decode()
    assert Athlete.objects.filter(pk=cast.ada.pk).exists()
    assert client.post(path, {"sure": "yes"}).status_code == 302
    assert not Athlete.objects.filter(pk=cast.ada.pk).exists()


def test_the_record_for_the_family_holds_every_app_and_nobody_else(cast: Cast, known: Athlete) -> None:
    Mark.objects.filter(athlete=known).update(word=f"came with {cast.ada.given_name} and Iris", by=cast.hazel)
    worry = actions.Worry(about="Quillon Underwater", words="It worries me")
    actions.write_concern(club=cast.club, worry=worry, by=cast.finn, host="")
    answer = cast.client(cast.hazel).post(reverse("people:athlete_record", args=[known.pk]))
    pack = zipfile.ZipFile(io.BytesIO(answer.content))
    inside = {name: pack.read(name).decode("utf-8-sig") for name in pack.namelist()}
    record = json.loads(inside["record.json"])
    assert {"record.html", "csv/results.csv", "csv/people.csv", "csv/register-marks.csv"} <= inside.keys()
    assert record["people"]["given_name"] == "Quillon"
    assert record["people"]["adults"] == [{"relation": "", "may_collect": False}]
    assert record["register"]["marks"][0]["word"] == "came with [somebody else] and [somebody else]"
    assert record["health"]["what_to_do"] == "Quillon takes the blue inhaler"
    assert {row["seconds"] for row in record["results"]} == {7.42, 7.3}
    for name, text in inside.items():
        assert "Quillon" in text or name.startswith("csv/"), name
        assert not [word for word in ("Reed", "pushes", "Iris", "Hazel", "worries", "@") if word in text], name
    assert AuditLog.objects.filter(verb="exported", about=known.pk).exists()
    assert AuditLog.objects.filter(verb="read", kind="medical note", about=known.pk).exists()
