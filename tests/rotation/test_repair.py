"""A plan that must change while it runs: looked at before anything changes, then taken, the best or another."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.people.models import Athlete, PairRule
from clubapp.register.queries import current_marks
from clubapp.rotation import repair_page
from clubapp.rotation.actions import RefusedError, erase_child, repair
from clubapp.rotation.building import Clash
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import current_plan, unplaced
from clubapp.rotation.repairing import Changes
from tests.cast import Cast, guardian_of
from tests.rotation.evening import child_of, everybody_here, groups, mark, post, said, spot, standing

STRANGERS = ["sal", "olga", "greta", "wanda", "finn"]


def look(cast: Cast, user: Any = None, **query: Any) -> Any:
    client = cast.client(user or cast.hazel)
    return client.get(reverse("rotation:repair", args=[cast.session.pk]), query)


def take(cast: Cast, offer: int = 0, **query: Any) -> Any:
    """Look, then tap what is offered."""
    page = look(cast, **query)
    chosen = page.context["proposals"][offer]
    fields = dict(page.context["form"].hidden())
    return post(cast.client(cast.hazel), "take", cast.session, **fields, offer=f"{chosen.key}:{chosen.mark}")


def newest(cast: Cast) -> Plan:
    plan = Plan.objects.filter(session=cast.session).first()
    assert plan is not None
    return plan


# --- who may


@pytest.mark.parametrize("name", ["repair", "take"])
def test_anonymous_is_sent_to_sign_in(cast: Cast, name: str) -> None:
    address = reverse(f"rotation:{name}", args=[cast.session.pk])
    response = cast.client().get(address) if name == "repair" else cast.client().post(address)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("people:sign_in"))


@pytest.mark.parametrize("name", STRANGERS)
def test_nobody_else_looks_or_takes(cast: Cast, name: str) -> None:
    everybody_here(cast)
    standing(cast)
    user = getattr(cast, name)
    assert look(cast, user, round=1, lost=2).status_code == 404
    assert post(cast.client(user), "take", cast.session, round=1, lost=2, offer="best").status_code == 404
    assert Plan.objects.count() == 1


def test_the_leader_may_and_learns_no_pair_rule(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    late = child_of(cast, 30)
    mark(cast.session, late)
    for group in groups(cast.session)[:2]:
        PairRule.objects.create(club=cast.club, kind="apart").athletes.set([late.pk, min(group)])
    text = look(cast, cast.finn, round=2).content.decode()
    assert "In every other group a rule would be broken." in text
    assert "kept apart" not in text
    assert "skill" not in text


def test_before_there_is_a_plan(cast: Cast) -> None:
    everybody_here(cast)
    assert look(cast)["Location"] == reverse("rotation:plan", args=[cast.session.pk])
    assert post(cast.client(cast.hazel), "take", cast.session)["Location"] == reverse(
        "rotation:plan", args=[cast.session.pk]
    )


# --- who came and who left


def test_looking_changes_nothing(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    mark(cast.session, child_of(cast, 30))
    before = groups(cast.session)
    assert look(cast, round=2, lost=3).status_code == 200
    assert groups(cast.session) == before
    assert Plan.objects.count() == 1


def test_one_leaves_and_two_arrive(cast: Cast) -> None:
    everybody_here(cast)
    first = standing(cast)
    before = groups(cast.session)
    mark(cast.session, cast.ada, "left", minutes=30, with_whom="Greta")
    late = [child_of(cast, number) for number in (30, 31)]
    for child in late:
        mark(cast.session, child, "late", minutes=31)
    text = look(cast, round=2).content.decode()
    assert "Nobody changes groups" in text
    assert f"Ada of {current_plan(cast.session.pk).group_of(cast.ada.pk).bib} is not here." in text  # type: ignore[union-attr]
    assert take(cast, round=2).status_code == 302
    plan, now = newest(cast), groups(cast.session)
    assert (plan.why, plan.before, plan.version) == ("repaired", first, 2)
    newcomers = {str(child.pk) for child in late}
    assert [group - newcomers for group in now] == [group - {str(cast.ada.pk)} for group in before]
    assert sum(map(len, now)) == 13
    assert unplaced(cast.session.pk) == []
    for part in ("rounds", "timetable"):
        assert plan.answer[part] == first.answer[part]


def test_the_second_best_is_another(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    late = child_of(cast, 30)
    mark(cast.session, late)
    page = look(cast, round=2)
    assert [one.key for one in page.context["proposals"]] == ["best", "second"]
    best, second = (one.steps[0].now for one in page.context["proposals"])
    assert best != second
    take(cast, 1, round=2)
    assert newest(cast).answer["groups"][spot(cast.session, late)]["bib"] == second


def test_why_a_child_changes_groups(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    stay = groups(cast.session)[spot(cast.session, cast.ada)]
    for child in sorted(stay - {str(cast.ada.pk)}):
        mark(cast.session, UUID(child), "absent", minutes=40)
    page = look(cast, round=1)
    steps = page.context["proposals"][0].steps
    assert [step.why for step in steps] == ["The groups would be less equal in size otherwise."]
    assert "1 child changes groups" in page.content.decode()


def test_a_move_by_hand_against_a_rule_is_not_taken_back(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    friend = next(iter(groups(cast.session)[spot(cast.session, cast.ada)] - {str(cast.ada.pk)}))
    PairRule.objects.create(club=cast.club, kind="apart").athletes.set([cast.ada.pk, friend])
    mark(cast.session, child_of(cast, 30))
    take(cast, round=1)
    assert friend in groups(cast.session)[spot(cast.session, cast.ada)]


def test_locked_children_and_groups_stay(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    client = cast.client(cast.hazel)
    post(client, "lock", cast.session, token="group:0", on="1")
    post(client, "lock", cast.session, token=f"athlete:{cast.ada.pk}", on="1")
    before, at = groups(cast.session)[0], spot(cast.session, cast.ada)
    for number in (30, 31):
        mark(cast.session, child_of(cast, number))
    take(cast, round=1)
    assert groups(cast.session)[0] == before
    assert spot(cast.session, cast.ada) == at
    assert newest(cast).locked == sorted(["group:0", f"athlete:{cast.ada.pk}"])


def test_rules_that_cannot_be_kept_are_named(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    late = child_of(cast, 30)
    mark(cast.session, late)
    for group in groups(cast.session):
        PairRule.objects.create(club=cast.club, kind="apart").athletes.set([late.pk, min(group)])
    for index in range(2):
        post(cast.client(cast.hazel), "lock", cast.session, token=f"group:{index}", on="1")
    before = Plan.objects.count()
    page = look(cast, round=1)
    assert "These rules cannot all be kept now" in page.content.decode()
    assert "is locked: nobody joins it." in " ".join(way.text for way in page.context["clash"])
    assert isinstance(repair(plan=newest(cast), changes=Changes(), at_round=1, by=cast.hazel), Clash)
    assert Plan.objects.count() == before


def clashing(cast: Cast, count: int = 3) -> Athlete:
    """A late child who is to be kept apart from somebody locked in so many of the groups."""
    everybody_here(cast)
    standing(cast)
    late = child_of(cast, 30)
    mark(cast.session, late)
    for group in groups(cast.session)[-count:]:
        PairRule.objects.create(club=cast.club, kind="apart").athletes.set([late.pk, min(group)])
        post(cast.client(cast.hazel), "lock", cast.session, token=f"athlete:{min(group)}", on="1")
    return late


def test_each_rule_of_a_clash_has_its_way_out(cast: Cast) -> None:
    clashing(cast)
    page, client = look(cast, round=1), cast.client(cast.hazel)
    assert len(page.context["clash"]) == 6
    assert all(way.button for way in page.context["clash"])
    for way in page.context["clash"]:
        freed = client.get(f"{reverse('rotation:repair', args=[cast.session.pk])}?{way.query}")
        assert freed.context["proposals"]
        if "pair" in way.query:
            fields = dict(freed.context["form"].hidden())
    post(client, "take", cast.session, **fields, offer="best:")
    assert newest(cast).wishes["dropped"] == [fields["dropped"]]
    assert len(newest(cast).locked) == 3


def test_a_leader_who_may_not_know_a_pair_rule_cannot_drop_it(cast: Cast) -> None:
    clashing(cast)
    cast.session.leader = cast.finn
    cast.session.save()
    page = look(cast, cast.finn, round=1)
    secret = [way for way in page.context["clash"] if way.text == "A rule of the head coach on who is with whom."]
    assert [way.query for way in secret] == ["", "", ""]
    assert "kept apart" not in page.content.decode()


def test_a_locked_group_is_unlocked_by_one_tap(cast: Cast) -> None:
    late = clashing(cast, 2)
    post(cast.client(cast.hazel), "lock", cast.session, token="group:0", on="1")
    page = look(cast, round=1)
    assert "dropped=shut%3A0" in " ".join(way.query for way in page.context["clash"])
    take(cast, round=1, dropped="shut:0")
    assert "group:0" not in newest(cast).locked
    assert newest(cast).wishes["dropped"] == []
    assert spot(cast.session, late) == 0


# --- said on the page


def test_who_is_said_to_come_leave_and_go_easy(cast: Cast) -> None:
    cast.session.stations.update(intensity="hard")
    everybody_here(cast)
    standing(cast)
    late, stays = child_of(cast, 30), groups(cast.session)[spot(cast.session, cast.ada)]
    easy = UUID(min(stays - {str(cast.ada.pk)}))
    page = look(cast, round=2, late=late.pk, left=cast.ada.pk, easy=easy)
    assert len(page.context["chosen"]) == 3
    fields = dict(page.context["form"].hidden())
    words = {f"went_{cast.ada.pk}": str(guardian_of(cast.ada)), f"leave_{easy}": ["sprints", "jumps"]}
    post(cast.client(cast.hazel), "take", cast.session, **fields, **words, offer="best:")
    marks = current_marks(cast.session.pk)
    assert [marks[child].kind for child in (late.pk, cast.ada.pk, easy)] == ["late", "left", "easy"]
    assert (marks[cast.ada.pk].with_whom, sorted(marks[easy].leave_out)) == ("Greta", ["jumps", "sprints"])
    assert str(late.pk) in set().union(*groups(cast.session))
    assert str(easy) in {child for child, _station in newest(cast).proof["owed"]}


def test_nobody_is_marked_without_the_adults_word(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    easy = min(groups(cast.session)[spot(cast.session, cast.ada)] - {str(cast.ada.pk)})
    fields = dict(look(cast, round=2, left=cast.ada.pk, easy=easy).context["form"].hidden())
    client = cast.client(cast.hazel)
    answer = client.post(reverse("rotation:take", args=[cast.session.pk]), {**fields, "offer": "best:"}, follow=True)
    assert "Who takes Ada along?" in said(answer)[0]
    assert "Tick what to leave out." in said(answer)[0]
    assert current_marks(cast.session.pk)[cast.ada.pk].kind == "here"
    assert Plan.objects.count() == 1


# --- stations, groups, time


def test_an_adult_who_is_gone_closes_the_station(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    station = cast.session.stations.all()[1]
    take(cast, round=2, adult=station.pk)
    assert str(station.pk) not in {at for row in newest(cast).answer["rounds"][1:] for at in row}


def test_a_group_all_of_whose_children_go_into_one_other(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    assert "All of them into" in look(cast, round=2, merged=1).content.decode()
    take(cast, round=2, merged=1, into=2)
    assert [len(group) for group in groups(cast.session)] == [4, 0, 8]


def test_the_time_a_dropped_round_frees_may_go_to_the_others(cast: Cast) -> None:
    everybody_here(cast)
    first = standing(cast)
    offers = {one.key: one for one in look(cast, round=2, lost=4).context["proposals"]}
    assert "It ends 4 min earlier than planned." in offers["drop"].lines
    assert "The rounds to come take 11 min each." in offers["longer"].lines
    assert offers["drop"].owed == offers["longer"].owed != []
    take(cast, list(offers).index("longer"), round=2, lost=4)
    total = sum(part["seconds"] for part in newest(cast).answer["timetable"])
    assert total + 240 == sum(part["seconds"] for part in first.answer["timetable"])


def test_a_closed_station(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    station = cast.session.stations.all()[1]
    text = look(cast, round=2, closed=station.pk).content.decode()
    assert "a rest in round 2" in text
    assert "Where groups go from now on" in text
    assert "Owed next week" in text
    take(cast, round=2, closed=station.pk)
    rounds = newest(cast).answer["rounds"]
    assert rounds[0] == newest(cast).before.answer["rounds"][0]  # type: ignore[union-attr]
    assert str(station.pk) not in {at for row in rounds[1:] for at in row}
    page = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "Owed next week" in page
    assert f"{station.name}: " in page


def test_what_was_owed_before_is_still_owed(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    one, two = cast.session.stations.all()[1:3]
    take(cast, round=2, closed=one.pk)
    take(cast, round=3, closed=two.pk)
    assert {station for _child, station in newest(cast).proof["owed"]} == {str(one.pk), str(two.pk)}


def test_a_group_given_up_and_nobody_put_into_it_again(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    assert "4 children change groups" in look(cast, round=2, merged=1).content.decode()
    take(cast, round=2, merged=1)
    assert [len(group) for group in groups(cast.session)] == [6, 0, 6]
    assert [row[1] is None for row in newest(cast).answer["rounds"]] == [False, True, True]
    late = child_of(cast, 30)
    mark(cast.session, late)
    post(cast.client(cast.hazel), "place", cast.session, athlete=late.pk)
    assert spot(cast.session, late) != 1
    assert look(cast, round=2, merged=1).status_code == 422


@pytest.mark.parametrize(
    ("offer", "key", "line"),
    [
        (0, "best", "Every round from round 2 on takes 5 min."),
        (1, "drop", "2 rounds instead of 3."),
        (3, "over", "It ends 4 min later; every round stays as long as it was."),
    ],
)
def test_three_ways_with_lost_time(cast: Cast, offer: int, key: str, line: str) -> None:
    everybody_here(cast)
    first = standing(cast)
    proposal = look(cast, round=2, lost=4).context["proposals"][offer]
    assert proposal.key == key
    assert line in proposal.lines
    take(cast, offer, round=2, lost=4)
    plan = newest(cast)
    assert plan.answer["groups"] == first.answer["groups"]
    assert plan.wishes["rounds"] == len(plan.answer["rounds"]) == (2 if key == "drop" else 3)
    assert plan.answer["rounds"][0] == first.answer["rounds"][0]
    assert plan.answer["timetable"][:2] == first.answer["timetable"][:2]
    total = sum(part["seconds"] for part in plan.answer["timetable"])
    planned = sum(part["seconds"] for part in first.answer["timetable"])
    assert (total + 240 > planned) is (key == "over")


def test_undo_brings_the_plan_back(cast: Cast) -> None:
    everybody_here(cast)
    first = standing(cast)
    take(cast, 1, round=2, lost=4)
    post(cast.client(cast.hazel), "undo", cast.session, version=2)
    assert newest(cast).answer == first.answer
    assert newest(cast).wishes["rounds"] == first.wishes["rounds"]


# --- which round


def test_the_round_of_the_planned_times_is_asked_first(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    plan = current_plan(cast.session.pk)
    assert plan is not None

    def now(minutes: float) -> int:
        start: datetime = timezone.localtime(timezone.now() - timedelta(minutes=minutes), cast.club.zone)
        cast.session.date, cast.session.starts = start.date(), start.time()
        return repair_page.round_now(cast.session, plan)

    assert [now(minutes) for minutes in (-5, 2, 6, 14, 22, 90)] == [1, 1, 2, 3, 3, 3]


def test_the_round_is_on_the_page(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    assert look(cast, round=3).context["form"].cleaned_data["round"] == 3
    assert look(cast).status_code == 200


# --- what is not so


@pytest.mark.parametrize(
    "query", [{"round": 9}, {"round": "x"}, {"lost": -1}, {"lost": "x"}, {"closed": "x"}, {"merged": 7}]
)
def test_a_wrong_question(cast: Cast, query: dict[str, Any]) -> None:
    everybody_here(cast)
    standing(cast)
    assert look(cast, **{"round": 1, **query}).status_code == 422
    response = post(cast.client(cast.hazel), "take", cast.session, **{"round": 1, **query}, offer="best:")
    assert response["Location"] == reverse("rotation:repair", args=[cast.session.pk])
    assert Plan.objects.count() == 1


def test_nothing_changed(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    assert "Everybody who is here is in a group." in look(cast, round=1).content.decode()


def test_nobody_is_here(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.marks.all().delete()
    assert "Nobody is marked here" in look(cast, round=1).content.decode()


def test_a_station_taken_away(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    cast.session.stations.all()[0].delete()
    assert "A station of this plan was taken away" in look(cast, round=1).content.decode()
    with pytest.raises(RefusedError):
        repair(plan=newest(cast), changes=Changes(lost_s=60), at_round=1, by=cast.hazel)


def test_a_round_that_is_not_there(cast: Cast) -> None:
    everybody_here(cast)
    plan = standing(cast)
    with pytest.raises(RefusedError):
        repair(plan=plan, changes=Changes(lost_s=60), at_round=4, by=cast.hazel)


def test_only_what_was_shown_is_taken(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    mark(cast.session, child_of(cast, 30))
    shown = look(cast, round=2).context["proposals"][0]
    mark(cast.session, child_of(cast, 31))
    client = cast.client(cast.hazel)
    address = reverse("rotation:take", args=[cast.session.pk])
    for key, marked in (("best", shown.mark), ("drop", ""), ("", "")):
        response = client.post(address, {"round": 2, "offer": f"{key}:{marked}"}, follow=True)
        assert said(response) == ["Something changed meanwhile: look at it again."]
    assert Plan.objects.count() == 1


def test_an_older_plan_is_not_changed(cast: Cast) -> None:
    everybody_here(cast)
    old = standing(cast)
    standing(cast)
    with pytest.raises(RefusedError):
        repair(plan=old, changes=Changes(lost_s=60), at_round=2, by=cast.hazel)
    assert Plan.objects.count() == 2


def test_the_best_is_taken_unseen_by_whoever_calls(cast: Cast) -> None:
    everybody_here(cast)
    plan = standing(cast)
    made = repair(plan=plan, changes=Changes(lost_s=120), at_round=2, by=cast.hazel)
    assert isinstance(made, Plan)
    assert (made.why, made.by) == ("repaired", cast.hazel)


def test_a_child_who_is_erased_is_owed_nothing_more(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    take(cast, round=2, merged=spot(cast.session, cast.ada))
    take(cast, round=2, closed=cast.session.stations.all()[0].pk)
    plan = Plan.objects.get(version=2)
    assert str(cast.ada.pk) in plan.proof["fitted"]["moved"]
    erase_child(cast.ada.pk)
    for row in Plan.objects.all():
        assert str(cast.ada.pk) not in str([row.answer, row.proof, row.locked, row.wishes])


def test_the_plan_page_leads_here(cast: Cast) -> None:
    everybody_here(cast)
    standing(cast)
    mark(cast.session, cast.ada, "left", minutes=30)
    mark(cast.session, child_of(cast, 30, known_as="Mia"))
    text = cast.client(cast.hazel).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    for words in ("Ada has left", "Close station 2", "We started late"):
        assert words in text
    assert reverse("rotation:repair", args=[cast.session.pk]) in text
    seen = cast.client(cast.finn).get(reverse("rotation:plan", args=[cast.session.pk])).content.decode()
    assert "We started late" not in seen
