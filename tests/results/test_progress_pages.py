"""The head coach's pages on progress: a child's line with its verdict, a squad by name, and nobody else's eyes."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.people.actions import erase_athlete, export_athlete
from clubapp.people.models import Athlete, Membership, Role
from clubapp.results import progress
from clubapp.results.models import Result, Trial
from tests.cast import Cast, SquadFactory, UserFactory, make_child
from tests.live.evening import helper, pass_of

SQUAD = reverse("progress:squad")
START = date(2026, 3, 7)
# Millimetres or milliseconds of chance, the same for nobody.
CHANCE = (0, 30, -20, 10, -40, 20, -10, 40, -30, 15, -25, 35)


def page_of(child: Athlete) -> str:
    return reverse("progress:child", args=[child.pk])


def body(client: Client, path: str) -> str:
    return client.get(path).content.decode()


def sprint(cast: Cast, **more: object) -> Trial:
    values = {"name": "Sprint 20 m", "hand_rounding": False, **more}
    return Trial.objects.get_or_create(club=cast.club, code="sprint-20-m", defaults=values)[0]


def ran(trial: Trial, child: Athlete, value_ms: int, week: int, **more: object) -> Result:
    row = {"timing": "hand", "surface": "grass"} | more
    on = START + timedelta(weeks=week)
    return Result.objects.create(trial=trial, athlete=child, on=on, value_ms=value_ms, tapped_at=timezone.now(), **row)


def season(cast: Cast, gain: int = 0, weeks: int = 3, **more: object) -> Trial:
    """Twelve children tested every week; only Ada changes, by so much."""
    trial = sprint(cast, **more)
    children = [*cast.athletes, *(make_child(cast.club, cast.squad, f"Kit{number}") for number in range(6))]
    for week in range(weeks):
        for at, child in enumerate(children):
            moved = gain * week // (weeks - 1) if child == cast.ada else 0
            ran(trial, child, 4000 + 100 * at + CHANCE[(at * 5 + week * 7) % 12] - moved, week)
    return trial


# --- who gets in ------------------------------------------------------------------------------------------------------


def test_only_the_head_coach_gets_in(cast: Cast) -> None:
    season(cast)
    elsewhere = UserFactory(name="Otto")
    seat = Membership.objects.create(user=elsewhere, club=cast.club, role=Role.ASSISTANT)
    seat.squads.add(SquadFactory(club=cast.club, name="Sunday"))
    others = [cast.finn, elsewhere, cast.wanda, cast.greta, cast.gus, cast.sal, cast.olga]
    for path in (SQUAD, page_of(cast.ada)):
        assert cast.client(cast.hazel).get(path).status_code == 200
        assert cast.client(cast.hazel).post(path).status_code == 405
        assert cast.client().get(path).status_code == 302
        for user in others:
            answer = cast.client(user).get(path)
            assert answer.status_code == 404 or (user == cast.olga and "Ada" not in answer.content.decode())
        client, _visitor = helper(pass_of(cast), cast.hazel)
        assert client.get(path).status_code == 302


def test_another_club_s_squad_test_and_child_are_not_there(cast: Cast) -> None:
    season(cast)
    olga, hazel = cast.client(cast.olga), cast.client(cast.hazel)
    assert olga.get(page_of(cast.ada)).status_code == 404
    for query in (f"?squad={cast.other_squad.pk}", "?squad=nonsense", "?test=speed"):
        assert hazel.get(SQUAD + query).status_code == 404
    assert olga.get(f"{SQUAD}?test=sprint-20-m").status_code == 404


# --- a child ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gain", "words"),
    [(600, "better, and more than chance"), (-600, "worse, and more than chance"), (0, "no clear change")],
)
def test_the_verdict_stands_in_words(cast: Cast, gain: int, words: str) -> None:
    season(cast, gain)
    shown = body(cast.client(cast.hazel), page_of(cast.ada))
    assert f"<strong>{words}</strong>" in shown
    assert 'class="line-band"' in shown
    assert ("quicker" if gain > 0 else "slower") in shown or not gain


def test_of_a_jump_more_is_better(cast: Cast) -> None:
    season(cast, -600, unit="m", better="more")
    assert "<strong>better, and more than chance</strong>" in body(cast.client(cast.hazel), page_of(cast.ada))


def test_two_days_are_not_enough(cast: Cast) -> None:
    season(cast, 600, weeks=2)
    shown = body(cast.client(cast.hazel), page_of(cast.ada))
    assert "not enough tests yet" in shown
    assert "So far there are 2." in shown
    assert "line-band" not in shown


def test_few_children_do_not_tell_what_chance_does(cast: Cast) -> None:
    trial = sprint(cast)
    for week in range(4):
        ran(trial, cast.ada, 4000 - 300 * week, week)
    shown = body(cast.client(cast.hazel), page_of(cast.ada))
    assert "not enough tests yet" in shown
    assert "How far chance goes is not known yet" in shown


@pytest.mark.parametrize("other", [{"surface": "hall"}, {"timing": "electronic"}, {"surface": ""}])
def test_another_ground_or_timing_is_marked_and_not_judged(cast: Cast, other: dict[str, str]) -> None:
    trial = season(cast, 600)
    row = Result.objects.filter(athlete=cast.ada, on=START).get()
    ran(trial, cast.ada, row.value_ms - 2000, -1, **other)  # far quicker, elsewhere: Ada would be much worse since
    shown = body(cast.client(cast.hazel), page_of(cast.ada))
    assert "<strong>better, and more than chance</strong>" in shown
    assert shown.count('class="line-odd"') == 1
    assert "not judged" in shown


def test_slipped_and_corrected_results_do_not_count(cast: Cast) -> None:
    trial = season(cast, 600)
    before = progress.lines_of(cast.ada.pk, cast.club)
    ran(trial, cast.ada, 9000, 2, state="slipped", attempt=2)
    ran(trial, cast.ada, 9000, 2, state="void", attempt=3)
    assert progress.lines_of(cast.ada.pk, cast.club)[0].said == before[0].said


def test_bests_stand_beside_the_line_and_every_day_in_the_table(cast: Cast) -> None:
    season(cast, 600)
    shown = body(cast.client(cast.hazel), page_of(cast.ada))
    assert "Personal best, 21 Mar 2026" in shown
    assert shown.count('<th scope="row">') == 3
    assert 'role="img" aria-label="Sprint 20 m: better, and more than chance.' in shown


def test_a_child_without_a_result_has_a_page_that_says_what_to_do(cast: Cast) -> None:
    assert "No result yet" in body(cast.client(cast.hazel), page_of(cast.ada))
    assert "No result yet" in body(cast.client(cast.hazel), SQUAD)


# --- published values -------------------------------------------------------------------------------------------------


def jumper(cast: Cast, **details: object) -> Athlete:
    trial = Trial.objects.create(club=cast.club, code="standing-long-jump", name="Jump", unit="cm", better="more")
    for week in range(3):
        ran(trial, cast.ada, 1500, week)
    Athlete.objects.filter(pk=cast.ada.pk).update(**{"sex": "f", "date_of_birth": date(2014, 3, 10), **details})
    return cast.ada


def test_published_values_are_off_until_asked_for_and_name_whose_they_are(cast: Cast) -> None:
    child, hazel = jumper(cast), cast.client(cast.hazel)
    plain = body(hazel, page_of(child))
    assert "Hungary" not in plain
    assert "line-beside" not in plain
    beside = body(hazel, f"{page_of(child)}?beside=published")
    assert beside.count('class="line-beside"') == 1
    assert "2,427 pupils in Hungary" in beside
    assert "not what this child should do" in beside


@pytest.mark.parametrize(
    ("details", "words"),
    [
        ({"sex": "x"}, "go by sex and date of birth"),
        ({"sex": ""}, "go by sex and date of birth"),
        ({"date_of_birth": None}, "go by sex and date of birth"),
        ({"date_of_birth": date(2018, 3, 1)}, "No value is published for this age."),
    ],
)
def test_no_published_line_without_what_it_goes_by(cast: Cast, details: dict[str, object], words: str) -> None:
    shown = body(cast.client(cast.hazel), f"{page_of(jumper(cast, **details))}?beside=published")
    assert words in shown
    assert "line-beside" not in shown


def test_a_test_without_published_values_offers_none(cast: Cast) -> None:
    season(cast)
    assert "beside=published" not in body(cast.client(cast.hazel), page_of(cast.ada))


# --- the squad --------------------------------------------------------------------------------------------------------


def listed(cast: Cast, query: str = "") -> list[str]:
    page = cast.client(cast.hazel).get(SQUAD + query).context["page"]
    return [member.child.given_name for member in page.members]


def test_a_squad_stands_by_name_unless_the_coach_asks_for_an_order(cast: Cast) -> None:
    season(cast, 600)
    names = listed(cast)
    assert names == sorted(names)
    assert listed(cast, "?order=nonsense") == names
    assert listed(cast, "?order=change")[0] == "Ada"
    assert listed(cast, "?order=result")[-1] == "Kit5"
    assert "for your eyes alone" in body(cast.client(cast.hazel), f"{SQUAD}?order=change")
    assert "for your eyes alone" not in body(cast.client(cast.hazel), SQUAD)


def test_ready_is_who_was_better_twice_running(cast: Cast) -> None:
    season(cast, 600)
    page = cast.client(cast.hazel).get(SQUAD).context["page"]
    assert [member.child.given_name for member in page.ready] == ["Ada"]
    Result.objects.filter(athlete=cast.ada, on=START + timedelta(weeks=1)).update(value_ms=9000)
    assert cast.client(cast.hazel).get(SQUAD).context["page"].ready == []


def test_who_was_not_tested_and_who_not_for_long_is_named(cast: Cast) -> None:
    trial = season(cast)
    make_child(cast.club, cast.squad, "Vito")
    page = cast.client(cast.hazel).get(SQUAD).context["page"]
    assert [child.given_name for child in page.untested] == ["Vito"]
    today = cast.club.today()
    Result.objects.filter(trial=trial).update(on=today - timedelta(weeks=13))
    Result.objects.filter(athlete=cast.ada).update(on=today)
    page = cast.client(cast.hazel).get(SQUAD).context["page"]
    assert [member.child.given_name for member in page.members if not member.due] == ["Ada"]


def test_one_squad_at_a_time_where_there_are_two(cast: Cast) -> None:
    season(cast)
    second = SquadFactory(club=cast.club, name="Sunday")
    cast.ada.squads.add(second)
    assert listed(cast, f"?squad={second.pk}") == ["Ada"]


# --- erasing and taking out -------------------------------------------------------------------------------------------


def test_an_erased_child_is_on_no_page_and_its_results_come_out_before(cast: Cast) -> None:
    season(cast)
    assert len(export_athlete(athlete=cast.ada, by=cast.hazel)["results"]) == 3
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert cast.client(cast.hazel).get(page_of(cast.ada)).status_code == 404
    assert "Ada" not in body(cast.client(cast.hazel), SQUAD)
    assert not Result.objects.filter(athlete=cast.ada.pk).exists()
