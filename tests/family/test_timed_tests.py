"""A guardian sees the own child's results only where the club shares them, and never a word that marks it down."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog
from clubapp.people.actions import share_results
from clubapp.people.models import Athlete, Squad
from tests.cast import Cast, SquadFactory
from tests.live.evening import helper, pass_of
from tests.results.test_progress_pages import season


def path_of(child: Athlete) -> str:
    return reverse("family:tests", args=[child.pk])


def share(cast: Cast, squad: Squad | None = None, *, shared: bool = True) -> None:
    share_results(squad=squad or cast.squad, shared=shared, by=cast.hazel)


def seen(cast: Cast) -> str:
    answer = cast.client(cast.greta).get(path_of(cast.ada))
    assert answer.status_code == 200
    return answer.content.decode()


def test_nothing_is_shared_until_the_head_coach_says_so(cast: Cast) -> None:
    season(cast, 600)
    assert "does not show results" in seen(cast)
    assert "Sprint" not in seen(cast)
    assert path_of(cast.ada) not in cast.client(cast.greta).get(reverse("family:child", args=[cast.ada.pk])).text
    share(cast)
    assert "Sprint 20 m" in seen(cast)
    assert path_of(cast.ada) in cast.client(cast.greta).get(reverse("family:child", args=[cast.ada.pk])).text
    share(cast, shared=False)
    assert "Sprint" not in seen(cast)
    assert [row.verb for row in AuditLog.objects.filter(about=cast.squad.pk).order_by("pk")][-2:] == [
        "shared results",
        "unshared results",
    ]


def test_access(cast: Cast) -> None:
    season(cast)
    share(cast)
    assert cast.client().get(path_of(cast.ada)).status_code == 302
    client, _visitor = helper(pass_of(cast), cast.hazel)
    assert client.get(path_of(cast.ada)).status_code == 302
    for user in (cast.gus, cast.sal, cast.olga, cast.hazel, cast.finn, cast.wanda):
        assert cast.client(user).get(path_of(cast.ada)).status_code == 404
    assert cast.client(cast.greta).get(path_of(cast.athletes[2])).status_code == 404
    assert cast.client(cast.greta).post(path_of(cast.ada)).status_code == 405


def test_a_child_of_two_squads_is_shown_only_if_both_share(cast: Cast) -> None:
    season(cast)
    second = SquadFactory(club=cast.club, name="Sunday")
    cast.ada.squads.add(second)
    share(cast)
    assert "Sprint" not in seen(cast)
    share(cast, second)
    assert "Sprint" in seen(cast)


def test_a_child_of_no_squad_is_shown_to_nobody(cast: Cast) -> None:
    season(cast)
    share(cast)
    cast.ada.squads.clear()
    assert "Sprint" not in seen(cast)


@pytest.mark.parametrize(
    ("gain", "words"), [(600, "better, and more than chance"), (0, "up and down"), (-600, "up and down")]
)
def test_getting_better_is_said_and_getting_worse_is_not(cast: Cast, gain: int, words: str) -> None:
    season(cast, gain)
    share(cast)
    shown = seen(cast)
    assert f"<strong>{words}" in shown
    for mark in ("worse", "slower", "line-band", "line-beside", "What this is made from"):
        assert mark not in shown


def test_no_other_child_and_no_rank_is_on_it(cast: Cast) -> None:
    season(cast, 600)
    share(cast)
    shown = seen(cast)
    main = shown[shown.index("<main") : shown.index("</main")]
    for other in Athlete.objects.exclude(pk=cast.ada.pk):
        assert not re.search(rf"\b{other.given_name}\b", main)
    assert not re.search(r"\b(rank|place|quickest|of \d+ children)\b", main)


def test_published_values_are_not_for_families(cast: Cast) -> None:
    season(cast)
    share(cast)
    answer = cast.client(cast.greta).get(f"{path_of(cast.ada)}?beside=published")
    assert "published" not in answer.content.decode()


def test_the_squad_s_page_switches_it(cast: Cast) -> None:
    page = reverse("people:squad", args=[cast.squad.pk])
    told = {"name": cast.squad.name, "athletes": [child.pk for child in cast.athletes]}
    cast.client(cast.hazel).post(page, told | {"shares_results": "on"})
    assert Squad.objects.get(pk=cast.squad.pk).shares_results
    cast.client(cast.hazel).post(page, told)
    assert not Squad.objects.get(pk=cast.squad.pk).shares_results
    assert cast.client(cast.finn).post(page, told | {"shares_results": "on"}).status_code == 404
    assert not Squad.objects.get(pk=cast.squad.pk).shares_results
