"""Parts of a session: their minutes add up to what there is."""

from __future__ import annotations

from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse

from clubapp.planning import queries
from clubapp.planning.models import Block
from tests.cast import Cast
from tests.planning.doors import only_who_runs_it


def path(cast: Cast) -> str:
    return reverse("planning:blocks", args=[cast.session.pk])


def send(cast: Cast, **data: Any) -> HttpResponse:
    return cast.client(cast.hazel).post(path(cast), data)


def parts(cast: Cast) -> list[tuple[str, int]]:
    return [(block.kind, block.seconds // 60) for block in queries.blocks(cast.session)]


def part(cast: Cast, kind: str) -> Block:
    return Block.objects.get(session=cast.session, kind=kind)


def test_access(cast: Cast) -> None:
    before = parts(cast)
    only_who_runs_it(cast, path(cast), {"remove": str(part(cast, "water").pk)})
    assert parts(cast) == before


def test_the_rotation_takes_what_is_left(cast: Cast) -> None:
    assert queries.rotation_minutes(cast.session) == 60 - 5 - 2 - 5
    send(cast, **{f"minutes-{part(cast, 'water').pk}": "7", "keep": "yes"})
    assert queries.rotation_minutes(cast.session) == 60 - 5 - 7 - 5
    html = cast.client(cast.hazel).get(reverse("planning:session", args=[cast.session.pk])).content.decode()
    assert '<b class="count">60</b> of 60 minutes' in html


def test_more_minutes_than_there_are_are_refused_all_or_nothing(cast: Cast) -> None:
    before = parts(cast)
    data = {f"minutes-{part(cast, 'gather').pk}": "1", f"minutes-{part(cast, 'water').pk}": "58"}
    answer = send(cast, **data, keep="yes")
    assert answer.status_code == 422
    html = answer.content.decode()
    assert "That is 4 minutes more than the session has." in html
    assert 'value="58"' in html  # what was typed stays
    assert parts(cast) == before


def test_odd_seconds_stay_until_somebody_changes_them(cast: Cast) -> None:
    Block.objects.filter(pk=part(cast, "water").pk).update(seconds=100)
    send(cast, **{f"minutes-{part(cast, 'water').pk}": "2", "keep": "yes"})
    assert part(cast, "water").seconds == 100
    assert queries.rotation_minutes(cast.session) == 48


def test_a_part_is_added_at_the_end(cast: Cast) -> None:
    send(cast, add="yes", add_kind="game", add_minutes="10")
    assert parts(cast)[-1] == ("game", 10)


def test_minutes_typed_are_kept_with_the_tap_on_another_button(cast: Cast) -> None:
    water = part(cast, "water")
    send(cast, **{f"minutes-{water.pk}": "6", "earlier": str(water.pk)})
    assert parts(cast) == [("gather", 5), ("water", 6), ("rotation", 0), ("cool-down", 5)]


def test_a_part_too_long_is_not_added_and_the_typed_minutes_are_not_kept(cast: Cast) -> None:
    before = parts(cast)
    data = {f"minutes-{part(cast, 'water').pk}": "6", "add": "yes", "add_kind": "game", "add_minutes": "50"}
    assert send(cast, **data).status_code == 422
    assert parts(cast) == before


def test_one_rotation_only(cast: Cast) -> None:
    answer = send(cast, add="yes", add_kind="rotation")
    assert "has its rotation already" in answer.content.decode()
    send(cast, remove=str(part(cast, "rotation").pk))
    send(cast, add="yes", add_kind="rotation", add_minutes="5")
    assert parts(cast)[-1] == ("rotation", 0)


def test_later_and_earlier_stop_at_the_ends(cast: Cast) -> None:
    before = parts(cast)
    send(cast, earlier=str(part(cast, "gather").pk))
    send(cast, later=str(part(cast, "cool-down").pk))
    assert parts(cast) == before
    send(cast, later=str(part(cast, "gather").pk))
    assert [kind for kind, _minutes in parts(cast)] == ["rotation", "gather", "water", "cool-down"]


def test_removing_closes_up(cast: Cast) -> None:
    send(cast, remove=str(part(cast, "gather").pk))
    positions = list(queries.blocks(cast.session).values_list("position", flat=True))
    assert positions == [1, 2, 3]


def test_a_part_of_another_session_is_not_touched(cast: Cast) -> None:
    other = Block.objects.filter(session=cast.other_session)
    before = list(other.values())
    water = other.get(kind="water")
    send(cast, **{f"minutes-{water.pk}": "9", "remove": str(water.pk)})
    assert list(other.values()) == before


@pytest.mark.parametrize("minutes", ["-1", "301", "two"])
def test_bad_minutes_are_refused(cast: Cast, minutes: str) -> None:
    before = parts(cast)
    assert send(cast, **{f"minutes-{part(cast, 'water').pk}": minutes, "keep": "yes"}).status_code == 422
    assert parts(cast) == before
