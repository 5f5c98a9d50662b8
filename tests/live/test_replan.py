"""The leader repairs the plan while the bell runs: looked at, taken from the round the bell says, undone at once."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.live import page, played
from clubapp.live.access import Watcher
from clubapp.live.actions import hold_station
from clubapp.live.models import Command
from clubapp.people.models import Athlete, PairRule
from clubapp.register.models import Mark
from clubapp.register.queries import current_marks
from clubapp.rotation.models import Plan
from tests.cast import Cast, guardian_of
from tests.live.evening import assistant, give, helper, leader, pass_of, post, ready
from tests.rotation.evening import child_of, groups, mark, said, spot


def at_round(cast: Cast, number: int) -> Plan:
    """The bell runs, and a round is on."""
    plan = ready(cast)
    seq = give(leader(cast), "start").seq
    while page.evening_of(leader(cast)).seen.round != number or page.evening_of(leader(cast)).seen.kind != "work":
        seq = give(leader(cast), "next", seq).seq
    return plan


def look(cast: Cast, user: Any = None, **query: Any) -> Any:
    return cast.client(user or cast.hazel).get(reverse("live:repair", args=[cast.session.pk]), query)


def take(cast: Cast, offer: int = 0, words: dict[str, Any] | None = None, **query: Any) -> Any:
    seen = look(cast, **query)
    chosen = seen.context["proposals"][offer]
    fields = {name: [] for name, _ in seen.context["form"].hidden()}
    for name, value in seen.context["form"].hidden():
        fields[name].append(value)
    client = cast.client(cast.hazel)
    address = reverse("live:replan", args=[cast.session.pk])
    return client.post(address, {**fields, **(words or {}), "offer": f"{chosen.key}:{chosen.mark}"}, follow=True)


def newest(cast: Cast) -> Plan:
    plan = Plan.objects.filter(session=cast.session).first()
    assert plan is not None
    return plan


def late(cast: Cast, number: int = 30, **more: Any) -> Athlete:
    child = child_of(cast, number, **more)
    mark(cast.session, child, "late", minutes=40)
    return child


def names_at(watcher: Watcher, child: Athlete) -> list[int]:
    """The rounds in which a child's name stands at some station."""
    evening = page.evening_of(watcher)
    visits = [visit for place in evening.stations.values() for visit in page.visits(evening, place)]
    return sorted(v.number for v in visits for group in v.here for one in group.children if one.id == child.pk)


# --- who may


@pytest.mark.parametrize("name", ["repair", "replan", "replan_undo"])
@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda", "finn"])
def test_to_everybody_else_it_is_not_there(cast: Cast, name: str, who: str) -> None:
    at_round(cast, 2)
    late(cast)
    client = cast.client(getattr(cast, who))
    address = reverse(f"live:{name}", args=[cast.session.pk])
    assert (client.get if name == "repair" else client.post)(address).status_code == 404
    assert Plan.objects.count() == 1


def test_a_helper_has_neither_page_nor_button(cast: Cast) -> None:
    at_round(cast, 2)
    late(cast, known_as="Mia")
    client, _visitor = helper(pass_of(cast), cast.hazel)
    assert client.get(reverse("live:repair", args=[cast.session.pk])).status_code == 404
    assert post(client, "replan", cast.session, offer="best:").status_code == 404
    bell = client.get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert reverse("live:repair", args=[cast.session.pk]) not in bell
    bell = cast.client(cast.finn).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert reverse("live:repair", args=[cast.session.pk]) not in bell


def test_an_assistant_who_leads_learns_no_pair_rule(cast: Cast) -> None:
    at_round(cast, 2)
    child = late(cast)
    for group in groups(cast.session)[:2]:
        PairRule.objects.create(club=cast.club, kind="apart").athletes.set([child.pk, min(group)])
    cast.session.leader = cast.finn
    cast.session.save()
    text = look(cast, cast.finn).content.decode()
    assert "In every other group a rule would be broken." in text
    assert "kept apart" not in text


# --- from which round


def test_the_round_comes_from_the_bell(cast: Cast) -> None:
    at_round(cast, 2)
    late(cast)
    shown = look(cast)
    assert shown.context["form"].cleaned_data["round"] == 3
    assert "Counts from round 3 on." in shown.content.decode()
    assert look(cast, round=2).status_code == 422


def test_in_a_change_over_it_is_the_round_that_comes(cast: Cast) -> None:
    at_round(cast, 1)
    give(leader(cast), "next", played.state_of(cast.session.pk).seq)
    assert page.evening_of(leader(cast)).seen.kind == "change"
    late(cast)
    assert look(cast).context["form"].cleaned_data["round"] == 2


def test_the_page_of_the_plan_leads_to_the_bells(cast: Cast) -> None:
    at_round(cast, 2)
    response = cast.client(cast.hazel).get(reverse("rotation:repair", args=[cast.session.pk]), {"lost": 3})
    assert response["Location"] == f"{reverse('live:repair', args=[cast.session.pk])}?lost=3"
    answer = cast.client(cast.hazel).post(reverse("rotation:take", args=[cast.session.pk]), {"lost": 3}, follow=True)
    assert said(answer) == ["The bell has started meanwhile: look at it again."]
    assert Plan.objects.count() == 1


def test_without_a_running_bell_it_leads_to_the_plan(cast: Cast) -> None:
    ready(cast)
    assert look(cast)["Location"] == reverse("rotation:plan", args=[cast.session.pk])


def test_in_the_last_round_nothing_is_left_to_plan(cast: Cast) -> None:
    at_round(cast, 3)
    late(cast)
    assert look(cast)["Location"] == f"{reverse('rotation:plan', args=[cast.session.pk])}#result"


# --- taken


def test_a_late_child_is_looked_for_from_the_next_round_on(cast: Cast) -> None:
    first = at_round(cast, 2)
    child = late(cast, known_as="Mia")
    answer = take(cast)
    assert said(answer) == ["The new plan counts from round 3 on. Until then with you: Mia."]
    state, plan = played.state_of(cast.session.pk), newest(cast)
    assert (plan.why, plan.before, state.plan) == ("repaired", first, plan.version)
    assert names_at(assistant(cast), child) == [3]
    evening = page.evening_of(assistant(cast))
    assert evening.field.standing(2).away == {child.pk: None}
    assert evening.field.standing(3).group_of(child.pk) == spot(cast.session, child)
    assert evening.field.standing(2).groups.keys() == evening.field.standing(3).groups.keys()


def test_a_second_repair_keeps_what_the_first_left_as_it_was(cast: Cast) -> None:
    at_round(cast, 1)
    one = late(cast, 30)
    take(cast)
    two = late(cast, 31)
    take(cast)
    assert names_at(leader(cast), one) == names_at(leader(cast), two) == [2, 3]
    state = played.state_of(cast.session.pk)
    give(leader(cast), "next", state.seq)
    give(leader(cast), "next", played.state_of(cast.session.pk).seq)
    three = late(cast, 32)
    take(cast)
    assert names_at(leader(cast), two) == [2, 3]
    assert names_at(leader(cast), three) == [3]


def test_a_child_placed_by_hand_stands_there_at_once(cast: Cast) -> None:
    at_round(cast, 2)
    late(cast, 30)
    take(cast)
    child = late(cast, 31)
    cast.client(cast.hazel).post(reverse("rotation:place", args=[cast.session.pk]), {"athlete": child.pk})
    assert names_at(leader(cast), child) == [1, 2, 3]


def test_a_closed_station_from_the_next_round_on(cast: Cast) -> None:
    at_round(cast, 1)
    station = cast.session.stations.all()[1]
    hold_station(by=assistant(cast), station=station)
    assert cast.finn.name in look(cast, open="adult").content.decode()
    take(cast, adult=station.pk)
    evening = page.evening_of(leader(cast))
    assert evening.plan is not None
    assert evening.plan.version == newest(cast).version
    assert evening.plan.groups_at(station.pk, 1)
    assert not any(evening.plan.groups_at(station.pk, number) for number in (2, 3))


def test_lost_time_changes_the_bells_own_parts(cast: Cast) -> None:
    at_round(cast, 1)
    before = played.state_of(cast.session.pk).schedule
    give(leader(cast), "add", played.state_of(cast.session.pk).seq, seconds=120)
    ends = page.evening_of(leader(cast)).seen.ends_ms
    take(cast, lost=2)
    after = played.state_of(cast.session.pk).schedule
    at = after.work(2)
    assert at is not None
    assert after.segments[: at - 1] == before.segments[: at - 1]
    assert after.segments[at].seconds < before.segments[at].seconds
    now = page.evening_of(leader(cast)).seen.ends_ms
    assert ends is not None
    assert now is not None
    assert ends - now >= 120_000


def test_how_far_the_bell_is_behind_is_offered(cast: Cast) -> None:
    at_round(cast, 1)
    ends = page.evening_of(leader(cast)).seen.ends_ms
    assert ends is not None
    begins = (timezone.now() - timedelta(minutes=cast.session.minutes)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = begins.date(), begins.time()
    cast.session.save()
    kinds = {kind.code: kind for kind in look(cast).context["kinds"]}
    assert kinds["lost"].options[0].text.startswith("As far as the bell is behind: ")


def test_who_leaves_is_told_to_the_register_with_the_adult(cast: Cast) -> None:
    at_round(cast, 1)
    assert "Who takes Ada along?" in look(cast, left=cast.ada.pk).content.decode()
    answer = take(cast, left=cast.ada.pk)
    assert "Who takes Ada along?" in said(answer)[0]
    assert answer.redirect_chain[-1][0].endswith(f"?left={cast.ada.pk}")
    assert Plan.objects.count() == 1
    take(cast, left=cast.ada.pk, words={f"went_{cast.ada.pk}": str(guardian_of(cast.ada))})
    now = Mark.objects.filter(athlete=cast.ada).latest("tapped_at")
    assert (now.kind, now.with_whom, now.by) == ("left", "Greta", cast.hazel)
    assert names_at(leader(cast), cast.ada) == []
    assert str(cast.ada.pk) not in set().union(*groups(cast.session))


def test_who_goes_easy_stays_and_is_owed_what_is_hard(cast: Cast) -> None:
    cast.session.stations.update(intensity="hard")
    at_round(cast, 1)
    where = spot(cast.session, cast.ada)
    take(cast, easy=cast.ada.pk, words={f"leave_{cast.ada.pk}": ["jumps"]})
    now = current_marks(cast.session.pk)[cast.ada.pk]
    assert (now.kind, list(now.leave_out)) == ("easy", ["jumps"])
    assert spot(cast.session, cast.ada) == where
    assert {child for child, _station in newest(cast).proof["owed"]} == {str(cast.ada.pk)}


def test_a_child_who_only_now_comes(cast: Cast) -> None:
    at_round(cast, 1)
    child = child_of(cast, 30)
    take(cast, late=child.pk)
    assert current_marks(cast.session.pk)[child.pk].kind == "late"
    assert names_at(leader(cast), child) == [2, 3]


def test_a_round_that_began_meanwhile_changes_nothing(cast: Cast) -> None:
    at_round(cast, 1)
    late(cast)
    shown = look(cast).context["proposals"][0]
    fields = dict(look(cast).context["form"].hidden())
    for _step in range(2):
        give(leader(cast), "next", played.state_of(cast.session.pk).seq)
    client, sent = cast.client(cast.hazel), Command.objects.count()
    address = reverse("live:replan", args=[cast.session.pk])
    answer = client.post(address, {**fields, "offer": f"{shown.key}:{shown.mark}"}, follow=True)
    assert said(answer) == ["Something changed meanwhile: look at it again."]
    assert (Plan.objects.count(), Command.objects.count()) == (1, sent)


# --- undone


def undo(cast: Cast, version: int) -> Any:
    client = cast.client(cast.hazel)
    return client.post(reverse("live:replan_undo", args=[cast.session.pk]), {"version": version}, follow=True)


def test_undo_brings_plan_and_bell_back(cast: Cast) -> None:
    first = at_round(cast, 1)
    before = played.state_of(cast.session.pk).schedule
    take(cast, 1, lost=4)
    assert played.state_of(cast.session.pk).schedule != before
    bell = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "Undo the new plan" in bell
    undo(cast, 2)
    assert newest(cast).answer == first.answer
    assert played.state_of(cast.session.pk).schedule == before
    assert page.evening_of(leader(cast)).plan.version == 3  # type: ignore[union-attr]
    bell = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "Undo the new plan" not in bell


def test_too_late_to_undo(cast: Cast) -> None:
    at_round(cast, 1)
    take(cast, lost=2)
    Plan.objects.filter(version=2).update(made_at=timezone.now() - timedelta(seconds=16))
    assert said(undo(cast, 2)) == ["That came too late to undo: say what has changed instead."]
    assert newest(cast).version == 2


def test_what_the_register_was_told_is_not_undone_with_it(cast: Cast) -> None:
    at_round(cast, 1)
    take(cast, late=child_of(cast, 30).pk)
    bell = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "Undo the new plan" not in bell
    assert said(undo(cast, 2)) == ["That cannot be undone any more: say what has changed instead."]


def test_no_undo_once_it_has_begun(cast: Cast) -> None:
    at_round(cast, 1)
    take(cast, lost=2)
    for _step in range(2):
        give(leader(cast), "next", played.state_of(cast.session.pk).seq)
    assert said(undo(cast, 2)) == ["Round 2 has begun meanwhile: look at it again."]
    assert newest(cast).version == 2


# --- ways to it


def test_the_registers_late_mark_leads_there(cast: Cast) -> None:
    at_round(cast, 1)
    late(cast, known_as="Mia")
    address = reverse("live:repair", args=[cast.session.pk])
    client = cast.client(cast.hazel)
    register = client.get(reverse("register:register", args=[cast.session.pk])).content.decode()
    assert f'action="{address}"' in register
    assert client.post(address, {"athlete": "x"})["Location"] == address
    bell = client.get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert 'Fit <span class="unseen">Mia </span>in' in bell
    for words in ("Somebody leaves", "Close a station", "An adult is gone", "Time was lost"):
        assert words in bell
