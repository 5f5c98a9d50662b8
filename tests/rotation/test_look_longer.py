"""Looking longer for fairer groups: asked for on the page, stored only if it is better.

Nothing is committed here, so no process is started and these tests search themselves; test_search_process starts one.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.engine import groups as engine_groups
from clubapp.engine.limits import QUICK
from clubapp.people.models import Athlete
from clubapp.rotation import launching, queries, searching
from clubapp.rotation.actions import searches
from clubapp.rotation.models import Plan, Think
from tests.cast import Cast
from tests.rotation.evening import everybody_here, groups, made, mark, post, ring, said, spot, standing

ACTIONS = ["look_longer", "enough"]


def ask(cast: Cast, who: str = "hazel", version: int | None = None) -> Any:
    newest = queries.newest(cast.session.pk)
    number = version or (newest.version if newest else 1)
    return post(cast.client(getattr(cast, who)), "look_longer", cast.session, version=number)


def asked(cast: Cast) -> Think:
    """Everybody here in groups that can be bettered, and a search asked for."""
    everybody_here(cast)
    standing(cast)
    ask(cast)
    return Think.objects.get()


def panel(cast: Cast, who: str = "hazel", version: int = 1, **more: str) -> Any:
    address = reverse("rotation:progress", args=[cast.session.pk])
    return cast.client(getattr(cast, who)).get(address, {"version": version, **more}, headers={"HX-Request": "true"})


# --- who may ---


@pytest.mark.parametrize("action", ACTIONS)
def test_anonymous_is_sent_to_sign_in(cast: Cast, action: str) -> None:
    response = post(cast.client(), action, cast.session, version=1)
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("action", ACTIONS)
@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_looks_longer_or_ends_it(cast: Cast, name: str, action: str) -> None:
    think = asked(cast)
    assert post(cast.client(getattr(cast, name)), action, cast.session, version=1).status_code == 404
    assert not Think.objects.get(pk=think.pk).enough


@pytest.mark.parametrize("name", ["sal", "olga", "greta", "wanda", "finn"])
def test_nobody_else_sees_how_far_it_is(cast: Cast, name: str) -> None:
    asked(cast)
    assert panel(cast, name).status_code == 404


def test_the_leader_looks_longer_and_sees_no_figure_that_holds_skill(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    ask(cast, "finn")
    Think.objects.update(heard_at=timezone.now(), score=0.5, bound=0.25)
    text = panel(cast, "finn").content.decode()
    assert "at most 50 % less" in text
    assert "0.50" not in text


# --- asking ---


def test_the_page_offers_it_where_better_groups_may_exist(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Look longer for fairer groups" in page
    made(cast)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "No fairer ones keep the rules." in page
    assert "Look longer" not in page


def test_one_search_a_session(cast: Cast, django_capture_on_commit_callbacks: Any) -> None:
    everybody_here(cast)
    standing(cast)
    with django_capture_on_commit_callbacks() as started:
        assert ask(cast)["Location"] == reverse("rotation:plan", args=[cast.session.pk]) + "#result"
        ask(cast)
    assert Think.objects.count() == 1
    assert started == [launching.start]


def test_a_plan_that_changed_meanwhile_is_looked_at_first(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    standing(cast)
    response = cast.client(cast.hazel).post(
        reverse("rotation:look_longer", args=[cast.session.pk]), {"version": 1}, follow=True
    )
    assert "Somebody changed the plan meanwhile" in said(response)[0]
    assert not Think.objects.exists()


def test_not_while_the_bell_runs(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    ring(cast)
    ask(cast)
    assert not Think.objects.exists()


@pytest.mark.parametrize("sent", [{}, {"version": "x"}])
def test_a_number_that_is_none(cast: Cast, sent: dict[str, str]) -> None:
    everybody_here(cast)
    standing(cast)
    assert post(cast.client(cast.hazel), "look_longer", cast.session, **sent).status_code == 302
    assert not Think.objects.exists()


# --- how it comes out ---


def test_fairer_groups_are_stored_and_rounds_times_and_bibs_stay(cast: Cast) -> None:
    asked(cast)
    before = Plan.objects.get()
    assert searching.work(QUICK) == 1
    after = Plan.objects.latest("version")
    assert (after.version, after.why, after.before, after.by) == (2, "longer", before, cast.hazel)
    for kept in ("rounds", "timetable"):
        assert after.answer[kept] == before.answer[kept]
    assert [row["bib"] for row in after.answer["groups"]] == [row["bib"] for row in before.answer["groups"]]
    assert after.proof["groups"]["status"] == "BEST"
    assert Think.objects.get().outcome == Think.Outcome.STORED
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Fairer groups were found." in page
    assert "Undo" in page
    assert "Look longer" not in page


def test_the_page_with_the_old_groups_is_told_of_the_new_ones_and_does_not_jump(cast: Cast) -> None:
    asked(cast)
    searching.work(QUICK)
    answer = panel(cast, version=1)
    assert "Fairer groups were found." in answer.content.decode()
    assert "Show the groups as they are now" in answer.content.decode()
    assert "HX-Refresh" not in answer
    assert "hx-trigger" not in answer.content.decode()


def test_after_good_enough_the_page_comes_anew(cast: Cast) -> None:
    think = asked(cast)
    assert searches.hear(think_id=think.pk, score=0.5, bound=0.1)
    post(cast.client(cast.hazel), "enough", cast.session)
    assert not searches.hear(think_id=think.pk, score=0.5, bound=0.1)
    assert "Good enough" not in panel(cast, enough="1").content.decode()
    Think.objects.update(heard_at=None)
    searching.work(QUICK)
    assert panel(cast, enough="1")["HX-Refresh"] == "true"
    assert Think.objects.get().outcome == Think.Outcome.STORED


def test_where_nothing_is_fairer_the_groups_stay_and_are_known_to_be_the_best(cast: Cast) -> None:
    everybody_here(cast)
    plan = made(cast)
    Plan.objects.update(proof={**plan.proof, "groups": {**plan.proof["groups"], "status": "GOOD", "bound": 0.0}})
    ask(cast)
    searching.work(QUICK)
    assert Think.objects.get().outcome == Think.Outcome.NO_BETTER
    after = Plan.objects.latest("version")
    assert (after.answer, after.why, after.before) == (plan.answer, "built", None)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "nothing fairer was found" in page
    assert "No fairer ones keep the rules." in page


def test_where_nothing_is_fairer_and_nothing_proven_the_bound_is_told(cast: Cast) -> None:
    everybody_here(cast, children=24)
    made(cast, groups=6)
    Plan.objects.update(proof={})
    ask(cast)
    Think.objects.update(enough=True)  # had enough before it began: no time for a proof
    searching.work(QUICK)
    assert Think.objects.get().outcome == Think.Outcome.NO_BETTER
    assert Plan.objects.latest("version").proof["groups"]["status"] == "GOOD"
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Look longer for fairer groups" in page


def test_groups_changed_by_hand_meanwhile_stand(cast: Cast) -> None:
    asked(cast)
    there = (spot(cast.session, cast.ada) + 1) % 3
    post(cast.client(cast.hazel), "move", cast.session, athlete=cast.ada.pk, group=there)
    searching.work(QUICK)
    assert Think.objects.get().outcome == Think.Outcome.LEFT
    assert spot(cast.session, cast.ada) == there
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "what was found was left aside" in page


def test_a_bell_that_began_meanwhile_keeps_its_groups(cast: Cast) -> None:
    think = asked(cast)
    job = searches.job_of(think)
    before = groups(cast.session)
    ring(cast)
    searches.finish(job=job, found=engine_groups.solve(job.problem, limit=QUICK))
    assert Think.objects.get().outcome == Think.Outcome.LEFT
    assert groups(cast.session) == before


def test_a_search_that_cannot_be_done_ends_and_the_groups_stand(cast: Cast) -> None:
    asked(cast)
    ring(cast)  # from the first look on nothing may be built
    before = groups(cast.session)
    searching.work(QUICK)
    assert Think.objects.get().outcome == Think.Outcome.FAILED
    assert groups(cast.session) == before


def test_the_children_here_now_are_the_ones_that_count(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    mark(cast.session, cast.ada, "absent", minutes=5)
    ask(cast)
    searching.work(QUICK)
    assert str(cast.ada.pk) not in set().union(*groups(cast.session))
    assert Athlete.objects.filter(pk=cast.ada.pk).exists()


# --- on the way ---


def test_progress_is_told_in_figures(cast: Cast) -> None:
    think = asked(cast)
    assert "Waiting to look" in panel(cast).content.decode()
    claimed = searches.claim()
    assert claimed == think
    assert "Looking for fairer groups …" in panel(cast).content.decode()
    assert searching.Pulse(think)(0.314, 0.0512)
    text = panel(cast).content.decode()
    assert "fairness 0.31 (0 is perfect), best possible at least 0.05" in text
    assert "every 1s" in text
    assert "Good enough" in text


def test_without_a_script_the_address_leads_to_the_page(cast: Cast) -> None:
    asked(cast)
    answer = cast.client(cast.hazel).get(reverse("rotation:progress", args=[cast.session.pk]))
    assert answer["Location"] == reverse("rotation:plan", args=[cast.session.pk]) + "#result"


@pytest.mark.parametrize("heard", [True, False])
def test_a_search_that_was_cut_off_is_offered_again(cast: Cast, heard: bool) -> None:
    think = asked(cast)
    long_ago = timezone.now() - timedelta(seconds=queries.SILENT_SECONDS + 1)
    Think.objects.update(asked_at=long_ago, heard_at=long_ago if heard else None)
    before = groups(cast.session)
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "The search was interrupted. Nothing is lost: these groups stand." in page
    assert page.count("Look longer for fairer groups") == 1
    ask(cast)
    assert Think.objects.get(pk=think.pk).outcome == Think.Outcome.INTERRUPTED
    assert Think.objects.filter(outcome="").count() == 1
    assert groups(cast.session) == before


def test_a_search_given_up_for_dead_stores_nothing(cast: Cast) -> None:
    think = asked(cast)
    job = searches.job_of(think)
    Think.objects.update(outcome=Think.Outcome.INTERRUPTED)
    assert not searches.hear(think_id=think.pk, score=0.5, bound=0.1)
    searches.finish(job=job, found=engine_groups.solve(job.problem, limit=QUICK))
    assert Plan.objects.count() == 1


def test_only_two_search_at_a_time_and_the_third_waits(cast: Cast) -> None:
    third = asked(cast)
    others = [_other_search(cast, number) for number in range(2)]
    assert searches.claim() is None
    Think.objects.filter(pk=others[0].pk).update(outcome=Think.Outcome.NO_BETTER)
    assert searches.claim() == third


def _other_search(cast: Cast, number: int) -> Think:
    """A search of another session that is heard of now."""
    session = cast.other_session
    session.pk, session._state.adding = None, True
    session = type(session).objects.create(
        club=session.club, squad=session.squad, date=session.date, starts=session.starts, minutes=60
    )
    plan = Plan.objects.create(session=session, version=1, answer={}, engine="1", why="built")
    return Think.objects.create(session=session, base=plan, by=cast.olga, heard_at=timezone.now())
