"""The register's one screen: rows, counts that never lie, search, remarks, and news from other phones."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.core.registry import RowNote, registry
from clubapp.people.models import Athlete
from clubapp.register import actions
from clubapp.register.actions import Tap
from clubapp.register.models import Mark
from clubapp.register.page import count, page_of
from tests.cast import Cast, make_child
from tests.register.field import HTMX, address, only_those_who_work_here, say, tap

ROW = re.compile(r'<li class="row child" id="row-([0-9a-f-]+)"')


def test_access(cast: Cast) -> None:
    only_those_who_work_here(cast, address("register", cast.session))
    only_those_who_work_here(cast, address("news", cast.session))
    only_those_who_work_here(cast, address("other", cast.session, cast.ada.pk))
    zed = cast.other_squad.athletes.get()
    assert cast.client(cast.hazel).get(address("other", cast.session, zed.pk)).status_code == 404


def test_rows_stand_by_name_whatever_the_case_and_accents(cast: Cast) -> None:
    for name in ("Élan", "alma", "Zoe"):
        make_child(cast.club, cast.squad, name)
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    names = [Athlete.objects.get(pk=pk).given_name for pk in ROW.findall(html)]
    assert names == ["Ada", "alma", "Bo", "Cleo", "Dev", "Élan", "Eli", "Fay", "Zoe"]


def test_namesakes_are_told_apart_by_birth(cast: Cast) -> None:
    other = make_child(cast.club, cast.squad, "Ada")
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    for child in (cast.ada, other):
        assert f"Ada Reed ({child.date_of_birth:%-d %b %Y})" in html


@given(st.lists(st.sampled_from([kind.value for kind in Mark.Kind])))
def test_the_counts_add_up_to_the_list(kinds: list[str]) -> None:
    counts = count(kinds)
    assert counts.listed == len(kinds)
    assert counts.on_the_field == sum(kind in ("here", "easy", "late") for kind in kinds)


def test_the_counts_on_the_screen(cast: Cast) -> None:
    for child, kind in zip(cast.athletes, ("here", "late", "easy", "left", "told"), strict=False):
        say(cast, child, kind, with_whom="Rob" if kind == "left" else "")
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    pairs = re.findall(r'<dt>([^<]*)</dt><dd class="count" data-count="[a-z ]+">(\d+)</dd>', html)
    assert pairs == [("here", "2"), ("go easy", "1"), ("not here", "1"), ("told us", "1"), ("not marked", "1")]
    assert "6 children on the list" in html


def test_a_child_who_left_the_club_is_listed_only_where_it_was_marked(cast: Cast) -> None:
    cast.ada.left_on = cast.session.date
    cast.ada.save()
    assert cast.ada not in [row.child for row in page_of(cast.hazel, cast.session).rows]
    bo = cast.athletes[1]
    say(cast, bo, "here")
    bo.left_on = cast.session.date
    bo.save()
    assert bo in [row.child for row in page_of(cast.hazel, cast.session).rows]


def test_search_is_offered_above_thirty_and_the_counts_stay_whole(cast: Cast) -> None:
    client = cast.client(cast.finn)
    assert 'role="search"' not in client.get(address("register", cast.session)).content.decode()
    for number in range(25):
        make_child(cast.club, cast.squad, f"More{number}")
    html = client.get(address("register", cast.session), {"q": "DEV ree"}).content.decode()
    assert 'role="search"' in html
    assert ROW.findall(html) == [str(cast.athletes[3].pk)]
    assert "31 children on the list" in html
    answer = tap(client, cast.session, cast.athletes[3], q="DEV ree")
    assert answer["Location"].split("#")[0].endswith("?q=DEV+ree")
    assert "The rest are not here" not in html


def test_an_empty_squad_says_what_to_do_first(cast: Cast) -> None:
    cast.squad.athletes.clear()
    assert "Add the first one" in cast.client(cast.hazel).get(address("register", cast.session)).content.decode()


def test_a_guardians_notice_shows_and_the_tap_still_marks_here(cast: Cast) -> None:
    actions.tell_cannot_come(session=cast.session, athlete=cast.ada, word="school play", tap=Tap(cast.greta))
    client = cast.client(cast.finn)
    assert "told us: cannot come – school play" in client.get(address("register", cast.session)).content.decode()
    tap(client, cast.session, cast.ada, base_version=1)
    html = client.get(address("register", cast.session)).content.decode()
    assert "a guardian had told us: school play" in html
    assert "– check" not in html


def test_a_notice_after_the_mark_asks_for_a_look(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    actions.tell_cannot_come(session=cast.session, athlete=cast.ada, word="", tap=Tap(cast.greta))
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    assert "a guardian said afterwards: cannot come – check" in html


def test_first_timers_are_named_as_such(cast: Cast) -> None:
    Athlete.objects.exclude(pk=cast.ada.pk).update(sessions_before=3)
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    assert html.count("first-timer") == 1


def test_remarks_of_higher_rooms_stand_on_the_row_with_their_tap(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    def notes(_session: UUID) -> Mapping[UUID, RowNote]:
        return {cast.ada.pk: RowNote("here, in no group", "/somewhere/", "/mend/", "Fit in")}

    monkeypatch.setattr(registry, "row_notes", {"test": notes})
    html = cast.client(cast.hazel).get(address("register", cast.session)).content.decode()
    assert '<a class="mark-link" href="/somewhere/">here, in no group</a>' in html
    assert 'action="/mend/"' in html
    # An assistant who may not act is told, not offered.
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    assert "here, in no group" in html
    assert 'action="/mend/"' not in html


def test_no_news_answers_with_nothing(cast: Cast) -> None:
    say(cast, cast.ada, "here")
    answer = cast.client(cast.hazel).get(address("news", cast.session), {"since": "1"})
    assert (answer.status_code, answer.content) == (204, b"")


def test_news_brings_the_rows_of_other_phones_and_marks_them(cast: Cast) -> None:
    hazel, finn = cast.client(cast.hazel), cast.client(cast.finn)
    tap(hazel, cast.session, cast.ada)
    tap(finn, cast.session, cast.athletes[1])
    html = hazel.get(address("news", cast.session), {"since": "0", "listed": "6"}, headers=HTMX).content.decode()
    assert f'id="mark-{cast.athletes[1].pk}" data-kind="here" data-changed hx-swap-oob="true"' in html
    assert f'id="mark-{cast.ada.pk}"' not in html
    assert 'data-version="2"' in html
    assert "The list has changed" not in html


def test_news_of_a_longer_list_is_offered_not_forced(cast: Cast) -> None:
    make_child(cast.club, cast.squad, "Ivo")
    say(cast, cast.ada, "here")
    finn, path = cast.client(cast.finn), address("news", cast.session)
    assert "The list has changed" in finn.get(path, {"since": "x", "listed": "6"}).content.decode()


def test_a_page_that_lacks_a_row_is_told_so_however_much_changes_after(cast: Cast) -> None:
    """The answer asks the next question: it must not take for shown what it only offered."""
    make_child(cast.club, cast.squad, "Ivo")
    say(cast, cast.ada, "here")
    finn, path = cast.client(cast.finn), address("news", cast.session)
    first = finn.get(path, {"since": "0", "listed": "6"}).content.decode()
    asked = re.search(r'hx-get="([^"]+)"', first)
    assert asked is not None
    say(cast, cast.ada, "absent")
    assert "The list has changed" in finn.get(unescape(asked[1])).content.decode()


def test_other_marks_open_under_the_row_and_close_again(cast: Cast) -> None:
    client, path = cast.client(cast.finn), address("other", cast.session, cast.ada.pk)
    opened = client.get(path, headers=HTMX)
    assert opened["HX-Retarget"] == f"#more-{cast.ada.pk}"
    assert "<html" not in opened.content.decode()
    assert client.get(path, {"shut": "1"}, headers=HTMX).content == b""
    assert "<html" in client.get(path).content.decode()
    refused = tap(client, cast.session, cast.ada, kind="left", headers=HTMX)
    assert (refused.status_code, refused["HX-Retarget"]) == (422, f"#more-{cast.ada.pk}")


def test_every_row_sends_its_own_tap(cast: Cast) -> None:
    html = cast.client(cast.finn).get(address("register", cast.session)).content.decode()
    ids = re.findall(r'name="op_id" value="([^"]+)"', html)
    assert len(ids) == len(set(ids)) > len(cast.athletes)
