"""Two records of one child made one: nothing lost in any app, and of two rules the stricter one holds."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from clubapp.core import erased
from clubapp.core.models import AuditLog
from clubapp.core.registry import registry
from clubapp.games.models import Draw, Game
from clubapp.live.models import Incident
from clubapp.people import actions, consents, log, queries, same
from clubapp.people.actions.undoing import with_data
from clubapp.people.models import Athlete, Guardian, Guardianship, Health, MedicalNote, PairRule
from clubapp.register.actions import Tap, mark_here
from clubapp.register.models import Mark
from clubapp.results.models import Result
from clubapp.rotation.models import Plan
from tests.cast import Cast, make_child
from tests.people.access import only_the_head_coach
from tests.rotation.evening import standing
from tests.rules.addresses import game_of, written, written_down


def path(child: Athlete) -> str:
    return reverse("people:athlete_merge", args=[child.pk])


def double_of(cast: Cast) -> Athlete:
    """Ada once more, as she was written down on the field, with something in every app."""
    child = make_child(cast.club, cast.squad, "Ada")
    child.family_name, child.date_of_birth, child.birth_year = "", None, cast.ada.date_of_birth.year
    child.save()
    mark_here(session=cast.session, athlete=child, tap=Tap(cast.hazel))
    standing(cast, 1)
    written(cast.session, cast.hazel, child)
    written_down(cast.session, child)
    return child


def merge(cast: Cast, child: Athlete, other: Athlete, stays: str) -> None:
    sent = cast.client(cast.hazel).post(path(child), {"other": other.pk, "stays_is": stays})
    assert sent.status_code == 302, sent.context["form"].errors


def test_only_the_head_coach_and_only_within_the_club(cast: Cast) -> None:
    only_the_head_coach(cast, path(cast.ada), {"other": cast.athletes[1].pk, "stays_is": "this"})
    zed = cast.other_squad.athletes.get()
    sent = cast.client(cast.hazel).post(path(cast.ada), {"other": zed.pk, "stays_is": "this"})
    assert (sent.status_code, "other" in sent.context["form"].errors) == (422, True)
    assert (
        "stays_is"
        in cast.client(cast.hazel).post(path(cast.ada), {"other": cast.athletes[1].pk}).context["form"].errors
    )
    assert Athlete.objects.filter(club=cast.club).count() == len(cast.athletes)


def test_everything_of_every_app_moves(cast: Cast) -> None:
    double = double_of(cast)
    assert {cast.ada, double} in [set(pair) for pair in same.doubles(queries.roster(cast.club))]
    seen = cast.client(cast.hazel).get(path(double), {"other": cast.ada.pk}).content.decode()
    assert "Make them one" in seen
    assert "Look twice" not in seen
    bo = cast.client(cast.hazel).get(path(cast.ada), {"other": cast.athletes[1].pk}).content.decode()
    assert "Look twice" in bo
    merge(cast, double, cast.ada, "other")
    assert not Athlete.objects.filter(pk=double.pk).exists()
    for model in (Mark, Incident, Result):
        assert model.objects.get().athlete == cast.ada, model
    plan = Plan.objects.get()
    assert str(cast.ada.pk) in str(plan.answer)
    assert str(double.pk) not in str(plan.answer)
    row = AuditLog.objects.get(verb="merged")
    assert (row.about, row.user, row.detail) == (cast.ada.pk, cast.hazel, {"double": str(double.pk)})
    lines, _more = log.lines(cast.club, welfare=False)
    assert {line.about for line in lines if line.kind == "incident note"} == {"Ada Reed"}
    actions.erase_athlete(athlete=Athlete.objects.get(pk=cast.ada.pk), by=cast.hazel)
    told = AuditLog.objects.filter(verb="erased").values("verb", "kind", "about")
    assert {cast.ada.pk, double.pk} <= erased.erased_since(told)


def test_of_two_rules_the_stricter_one_holds_and_both_notes_stay(cast: Cast) -> None:
    double = double_of(cast)
    greta = Guardian.objects.get(name="Greta")
    again = actions.GuardianDetails("Greta Marsh", phone="07700 900123", restricted=True)
    actions.add_guardian(athlete=double, details=again, by=cast.hazel)  # the same adult under a second entry
    gus = Guardian.objects.get(name="Gus")
    for child, may in ((cast.ada, True), (double, False)):
        actions.add_guardian(
            athlete=child, details=actions.GuardianDetails("", may_collect=may), known=gus, by=cast.hazel
        )
    for child, words in ((cast.ada, "Sit."), (double, "Two puffs.")):
        note = actions.HealthAnswer(Health.NOTE, words, to_bring=child == double)
        actions.write_medical_note(athlete=child, answer=note, by=cast.hazel)
    rule = PairRule.objects.create(club=cast.club, kind=PairRule.Kind.APART)
    rule.athletes.set([double, cast.athletes[2]])
    actions.record_consent(
        tie=Guardianship.objects.get(athlete=cast.ada, guardian=gus), kind="photographs", given=True, by=cast.hazel
    )
    cast.ada.left_on, cast.ada.skill = date(2026, 1, 1), 4
    cast.ada.save()
    merge(cast, cast.ada, double, "this")
    ada = Athlete.objects.get(pk=cast.ada.pk)
    assert (ada.left_on, ada.skill, ada.health) == (None, 4, Health.NOTE)
    ties = Guardianship.everyone.filter(athlete=ada)
    assert {tie.guardian.name: (tie.restricted, tie.may_collect) for tie in ties} == {
        "Greta Marsh": (True, False),
        "Greta": (True, False),  # one adult under two entries
        "Gus": (False, False),  # another one with the same number
    }
    assert Guardianship.everyone.get(athlete=ada, guardian=greta).restricted
    read = MedicalNote.objects.get()
    assert (read.athlete, read.what_to_do, read.to_bring) == (ada, "Sit.\n\nTwo puffs.", True)
    assert set(rule.athletes.all()) == {ada, cast.athletes[2]}
    assert consents.no_photos([ada.pk]) == set()


def test_what_an_app_forgot_to_move_stops_the_merge(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    double = double_of(cast)
    monkeypatch.setitem(registry.mergers, "register", lambda stays, double: None)
    with pytest.raises(RuntimeError, match="not moved"):
        actions.merge_children(stays=cast.ada, double=double, by=cast.hazel)
    assert with_data([double.pk]) == {double.pk}


def test_twins_and_other_years_are_no_doubles(cast: Cast) -> None:
    one, two = cast.athletes[:2]
    two.given_name = one.given_name
    assert not same.may_be_one(one, two)  # other days of birth
    two.date_of_birth = None
    two.birth_year = one.date_of_birth.year
    assert same.may_be_one(one, two)
    two.family_name = "Marsh"
    assert not same.may_be_one(one, two)


def test_in_games_the_child_takes_the_doubles_place_but_where_both_took_part(cast: Cast) -> None:
    double = make_child(cast.club, cast.squad, "Ada")
    alone, both = game_of(cast.session), Game.objects.create(session=cast.session, number=2, state="over")
    Draw.objects.filter(game=alone).update(answer={"heats": [[str(double.pk)]]})
    heat = {"heats": [[str(double.pk), str(cast.ada.pk)]]}
    Draw.objects.create(game=both, round=1, version=1, answer=heat, engine="1", why="made")
    actions.merge_children(stays=cast.ada, double=double, by=cast.hazel)
    assert Draw.objects.get(game=alone).answer == {"heats": [[str(cast.ada.pk)]]}
    (stranger, child), *_rest = Draw.objects.get(game=both).answer["heats"]
    assert child == str(cast.ada.pk)
    assert stranger not in (child, str(double.pk))
