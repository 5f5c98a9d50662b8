"""The log that is only added to, and concerns that only the welfare officer reads."""

from __future__ import annotations

import pytest
from django.db import connection
from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.people import actions
from clubapp.people.models import Concern, Membership
from clubapp.register.actions import Tap, mark_here
from tests.cast import Cast
from tests.rotation.evening import standing
from tests.rules.addresses import game_of

LOG, NEW, READ = (reverse(f"people:{name}") for name in ("log", "concern_new", "concerns"))
WORRY = {"about": "Bo Reed", "words": "Bruises on both arms; he said he fell."}


def seen(cast: Cast, path: str) -> dict[str, int]:
    names = ("hazel", "finn", "wanda", "greta", "sal", "olga")
    return {name: cast.client(getattr(cast, name)).get(path).status_code for name in names}


def test_head_coach_and_welfare_officer_read_the_log(cast: Cast) -> None:
    actions.read_medical_notes(athlete_ids=[cast.ada.pk], club_id=cast.club.pk, by=cast.finn)
    actions.change_athlete(athlete=cast.ada, details=actions.AthleteDetails("Ada"), squads=[cast.squad], by=cast.hazel)
    codes = seen(cast, LOG)
    assert {name for name, code in codes.items() if code == 200} == {"hazel", "wanda", "olga"}
    page = cast.client(cast.wanda).get(LOG).content.decode()
    assert "Hazel: changed athlete" in page
    assert "Ada" not in cast.client(cast.olga).get(LOG).content.decode()
    for number in ("2", "0", "-1", "x", "9" * 30, "²"):
        assert cast.client(cast.hazel).get(LOG, {"page": number}).status_code == 200


def test_marks_plans_and_draws_stand_in_the_log_too(cast: Cast) -> None:
    mark_here(session=cast.session, athlete=cast.ada, tap=Tap(cast.finn))
    standing(cast, 1)
    game_of(cast.session)
    of = {"of": "evenings"}
    for user in (cast.hazel, cast.wanda):
        page = cast.client(user).get(LOG, of).content.decode()
        assert "Finn: marked here · <b>Ada Reed</b>" in page
        assert "built plan" in page
        assert "made heats" in page
    assert "Ada" not in cast.client(cast.olga).get(LOG, of).content.decode()
    assert cast.client(cast.finn).get(LOG, of).status_code == 404


def test_the_log_is_only_added_to(cast: Cast) -> None:
    actions.make_squad(club=cast.club, name="Tuesday", by=cast.hazel)
    row = AuditLog.objects.latest("at")
    row.verb = "nothing"
    for change in (row.save, row.delete, AuditLog.objects.all().delete, lambda: AuditLog.objects.update(verb="x")):
        with pytest.raises(TypeError, match="log"):
            change()
    assert AuditLog.objects.get(pk=row.pk).verb == "made"


def test_a_concern_reaches_the_welfare_officer_and_nobody_else(cast: Cast) -> None:
    codes = seen(cast, NEW)
    assert {name for name, code in codes.items() if code == 404} == {"sal"}
    assert cast.client(cast.finn).post(NEW, WORRY)["Location"] == reverse("desk:home")
    assert {name for name, code in seen(cast, READ).items() if code == 200} == {"wanda"}
    assert "he said he fell" in cast.client(cast.wanda).get(READ).content.decode()
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM people_concern")
        assert "Bruises" not in repr(cursor.fetchall())
    mail = Outbox.objects.get()
    assert (mail.to, "Bo" in mail.subject + mail.text, mail.club_id) == (cast.wanda.email, False, None)
    logs = {name: cast.client(getattr(cast, name)).get(LOG).content.decode() for name in ("hazel", "wanda")}
    assert ["concern" in text.lower() for text in logs.values()] == [False, True]


def test_a_concern_outlives_an_erased_child_and_is_in_no_record(cast: Cast) -> None:
    actions.write_concern(club=cast.club, worry=actions.Worry(**WORRY), by=cast.finn, host="http://x")
    bo = cast.athletes[1]
    assert "Bruises" not in str(actions.export_athlete(athlete=bo, by=cast.hazel))
    actions.erase_athlete(athlete=bo, by=cast.hazel)
    assert Concern.objects.get().words == WORRY["words"]


def test_what_is_missing_is_named_and_nothing_is_lost(cast: Cast) -> None:
    page = cast.client(cast.greta).post(NEW, {"about": "", "words": "Kept words"})
    assert "about" in page.context["form"].errors
    assert "Kept words" in page.content.decode()
    assert not Concern.objects.exists()


def test_without_a_welfare_officer_the_page_says_that_nobody_reads_it(cast: Cast) -> None:
    Membership.objects.filter(user=cast.wanda).delete()
    assert "no welfare officer" in cast.client(cast.finn).get(NEW).content.decode()
    assert cast.client(cast.finn).post(NEW, WORRY).status_code == 302
    assert Concern.objects.count() == 1
