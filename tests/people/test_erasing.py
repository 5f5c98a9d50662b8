"""A child's record handed out, and erased from every table."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator

import pytest
from django.apps import apps
from django.db import connection, models
from django.urls import reverse
from django.utils import timezone

from clubapp.core.fields import unseal
from clubapp.core.models import AuditLog
from clubapp.core.registry import registry
from clubapp.people import actions
from clubapp.people.models import Athlete, Guardian, MedicalNote, PairRule, User
from clubapp.register.models import Mark
from clubapp.results.actions import add_speeds
from clubapp.results.models import Result
from tests.cast import Cast
from tests.people.test_import_action import take_over


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


def everything() -> Iterator[str]:
    """Every cell of every table, sealed ones opened."""
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            for row in cursor.fetchall():
                for cell in row:
                    yield unseal(cell) if isinstance(cell, str) and cell.startswith("gAAAA") else str(cell)


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


def test_nothing_of_an_erased_child_is_left(cast: Cast, known: Athlete) -> None:
    assert any("Quillon" in cell for cell in everything())
    actions.erase_athlete(athlete=known, by=cast.hazel)
    left = [cell for cell in everything() if "Quillon" in cell or "Underwater" in cell or "underwater" in cell]
    assert left == []
    assert not User.objects.filter(email="iris@underwater.example").exists()
    assert AuditLog.objects.filter(verb="erased", user=cast.hazel).count() == 1


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
