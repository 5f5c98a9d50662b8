"""Writing down a list on one test: who may, in what order, what is asked once and kept, how it is corrected."""

from __future__ import annotations

import json
import re
import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.people.models import Athlete
from clubapp.results import actions as ledger
from clubapp.results import catalogue
from clubapp.results.models import SPEED, Result, Trial
from tests.cast import Cast
from tests.live.evening import helper, pass_of
from tests.rotation.evening import mark

CODE = "sprint-20-yd"


@pytest.fixture(autouse=True)
def here(cast: Cast) -> None:
    for child in cast.athletes:
        mark(cast.session, child, "here")


def address(cast: Cast, page: str = "entry", *ids: Any, code: str = CODE) -> str:
    return reverse(f"live:{page}", args=[cast.session.pk, code, *ids])


def kept() -> list[Result]:
    return list(Result.objects.exclude(trial__code=SPEED).order_by("received_at"))


def typed(cast: Cast, values: dict[Athlete, str], who: Any = None, **more: Any) -> Any:
    """The whole list from a page without a script."""
    fields = {f"value_{child.pk}": value for child, value in values.items()} | more
    return cast.client(who or cast.hazel).post(address(cast), fields)


def tap(cast: Cast, child: Athlete, value: str, who: Any = None, **more: Any) -> Any:
    """One value from a phone's queue."""
    client = who if hasattr(who, "post") else cast.client(who or cast.hazel)
    fields = {"op_id": uuid.uuid4(), "athlete": child.pk, "value": value, "device": "one", **more}
    return client.post(address(cast, "value"), fields, headers={"accept": "application/json"})


def known(cast: Cast, child: Athlete, *seconds: float) -> None:
    """What the child ran on this test on earlier days."""
    test = catalogue.find(catalogue.of_club(cast.club), CODE)
    trial = ledger.ensure_trial(club=cast.club, test=test.starter)
    for number, one in enumerate(seconds, start=1):
        reading = ledger.Reading(trial, child, round(one * 1000), ran_at=timezone.now() - timedelta(days=7 * number))
        ledger.record_result(reading=reading, sent=ledger.Sent())


# --- who may -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_write_nothing_down(cast: Cast, who: str) -> None:
    adult = getattr(cast, who)
    assert cast.client(adult).get(address(cast)).status_code == 404
    assert typed(cast, {cast.ada: "5.5"}, who=adult).status_code == 404
    assert tap(cast, cast.ada, "5.5", who=adult).status_code == 404
    assert cast.client(adult).get(reverse("live:entry_choose", args=[cast.session.pk])).status_code == 404
    assert kept() == []


@pytest.mark.parametrize("who", ["hazel", "finn"])
def test_the_coach_and_an_assistant_of_the_squad_write_it_down(cast: Cast, who: str) -> None:
    adult = getattr(cast, who)
    assert cast.client(adult).get(reverse("live:entry_choose", args=[cast.session.pk])).status_code == 200
    assert typed(cast, {cast.ada: "5,51", cast.athletes[1]: "6.2"}, who=adult).status_code == 302
    assert [(row.athlete, row.value_ms, row.by, row.on) for row in kept()] == [
        (cast.ada, 5_510, adult, cast.session.date),
        (cast.athletes[1], 6_200, adult, cast.session.date),
    ]


def test_a_helper_has_the_stop_watch_and_not_the_list(cast: Cast) -> None:
    inside, _visitor = helper(pass_of(cast), cast.hazel)
    assert inside.get(address(cast)).status_code == 404
    assert tap(cast, cast.ada, "5.5", who=inside).status_code == 404
    assert inside.get(reverse("live:entry_choose", args=[cast.session.pk])).status_code == 404


def test_a_child_or_a_test_that_is_not_here_is_not_there(cast: Cast) -> None:
    zed = cast.other_squad.athletes.get()
    assert tap(cast, zed, "5.5").status_code == 404
    typed(cast, {zed: "5.5"})
    assert kept() == []
    assert cast.client(cast.hazel).get(address(cast, code="nowhere")).status_code == 404
    ledger.archive_test(club=cast.club, test=catalogue.find(catalogue.of_club(cast.club), CODE).starter)
    assert cast.client(cast.hazel).get(address(cast)).status_code == 404


# --- order ---------------------------------------------------------------------------------------------------------


def order(cast: Cast, **lanes: Any) -> list[str]:
    page = cast.client(cast.hazel).get(address(cast), lanes)
    return re.findall(r'data-name="([^"]+)"', page.content.decode())


def test_by_name_and_never_by_what_they_reached(cast: Cast) -> None:
    typed(cast, {cast.ada: "6.9", cast.athletes[1]: "5.1"})
    assert order(cast) == ["Ada", "Bo", "Cleo", "Dev", "Eli", "Fay"]


def test_in_lane_order_the_others_behind(cast: Cast) -> None:
    fay, dev = cast.athletes[5], cast.athletes[3]
    lanes = {f"lane_{fay.pk}": 1, f"lane_{dev.pk}": 2, "lane_nobody": 3, f"lane_{cast.ada.pk}": "soon"}
    assert order(cast, **lanes) == ["Fay", "Dev", "Ada", "Bo", "Cleo", "Eli"]


# --- what is asked -------------------------------------------------------------------------------------------------


def test_an_impossible_value_is_asked_about_once_and_then_kept_as_it_was_said(cast: Cast) -> None:
    known(cast, cast.ada, 5.4, 5.5, 5.6)
    before = len(kept())
    page = typed(cast, {cast.ada: "1.84", cast.athletes[1]: "5.5"})
    assert len(kept()) == before + 1  # the other one is kept
    text = " ".join(page.content.decode().split())
    asked = re.search(r"1\.84 s for 20 yd\? Typical for this child (\d\.\d) to (\d\.\d)\.", text)
    assert asked
    assert 5.0 < float(asked[1]) < 5.5 < float(asked[2]) < 6.0
    assert 'value="1.84"' in text  # nothing is lost
    typed(cast, {cast.ada: "1.94"}, **{f"sure_{cast.ada.pk}": "1.84"})
    assert len(kept()) == before + 1  # another value is another question
    typed(cast, {cast.ada: "1.84"}, **{f"sure_{cast.ada.pk}": "1.84"})
    row = kept()[-1]
    assert (row.value_ms, row.asked) == (1_840, True)


def test_what_is_predicted_of_a_child_is_the_head_coach_s_alone(cast: Cast) -> None:
    """An assistant is asked as well, without a figure of this child's, and has none on the phone."""
    known(cast, cast.ada, 5.4, 5.5, 5.6)
    page = typed(cast, {cast.ada: "8.9"}, who=cast.finn)
    assert "Far from what this child reached before" in page.content.decode()
    assert "Typical" not in re.sub(r'<script id="entry-words".*?</script>', "", page.content.decode(), flags=re.S)
    assert page.context["entry_now"]["spans"] == {}
    coach = cast.client(cast.hazel).get(address(cast))
    assert str(cast.ada.pk) in coach.context["entry_now"]["spans"]
    cast.session.leader = cast.finn
    cast.session.save()
    assert cast.client(cast.finn).get(address(cast)).context["entry_now"]["spans"] == {}


def test_without_any_result_the_test_s_own_range_asks(cast: Cast) -> None:
    page = typed(cast, {cast.ada: "0.84"}, who=cast.finn)
    assert re.search(r"0\.84 s for 20 yd\? Children reach 2\.3 to 9\.6\.", page.content.decode())
    assert kept() == []


def test_a_phone_s_value_is_kept_first_and_asked_about_in_the_answer(cast: Cast) -> None:
    known(cast, cast.ada, 5.4, 5.5, 5.6)
    before = len(kept())
    answer = tap(cast, cast.ada, "1.84")
    assert (answer.status_code, len(kept())) == (200, before + 1)
    assert "Typical for this child" in answer.json()["ask"]
    assert tap(cast, cast.ada, "1.84", attempt=2, sure="yes").json()["ask"] == ""
    assert tap(cast, cast.ada, "5.51", attempt=3).json()["ask"] == ""
    assert [row.asked for row in kept()[before:]] == [False, True, False]


def test_longer_is_not_faster(cast: Cast) -> None:
    """Lengths are predicted, too: from their inverse, apart from times."""
    jump = catalogue.find(catalogue.of_club(cast.club), "standing-long-jump")
    trial = ledger.ensure_trial(club=cast.club, test=jump.starter)
    for days, mm in ((21, 1_580), (14, 1_600), (7, 1_620)):
        reading = ledger.Reading(trial, cast.ada, mm, ran_at=timezone.now() - timedelta(days=days))
        ledger.record_result(reading=reading, sent=ledger.Sent())
    page = cast.client(cast.hazel).get(address(cast, code=jump.code))
    least, most, low, high = page.context["entry_now"]["spans"][str(cast.ada.pk)]
    assert least < int(low) * 10 < 1_600 < int(high) * 10 < most


# --- what is kept --------------------------------------------------------------------------------------------------


def test_how_they_were_taken_goes_with_every_value_and_is_offered_again(cast: Cast) -> None:
    taken = {"timing": "electronic", "surface": "grass", "wind": "behind", "shoes": "spikes", "timed_by": cast.finn.pk}
    typed(cast, {cast.ada: "5.51", cast.athletes[1]: "5.9"}, **taken)
    assert {(row.timing, row.surface, row.wind, row.shoes, row.timed_by) for row in kept()} == {
        ("electronic", "grass", "behind", "spikes", cast.finn)
    }
    page = cast.client(cast.finn).get(address(cast))
    assert page.context["taken"].initial["surface"] == "grass"
    assert "5.51" in page.content.decode()  # with gates to the hundredth
    assert typed(cast, {cast.ada: "5.5"}, surface="ice").status_code == 200
    assert typed(cast, {cast.ada: "5.5"}, timed_by=cast.olga.pk).status_code == 200
    assert len(kept()) == 2


def test_the_same_list_sent_twice_is_kept_once(cast: Cast) -> None:
    op_id = uuid.uuid4()
    for _again in range(2):
        typed(cast, {cast.ada: "5.5"}, **{f"op_{cast.ada.pk}": str(op_id)})
    assert len(kept()) == 1
    assert tap(cast, cast.ada, "5.9", op_id=op_id).status_code == 409


@pytest.mark.parametrize("value", ["fast", "-5", "0", "5.5.5"])
def test_what_is_no_value_is_named_and_the_others_are_kept(cast: Cast, value: str) -> None:
    page = typed(cast, {cast.ada: value, cast.athletes[1]: "5.5"})
    assert page.status_code == 200
    assert f'value="{value}"' in page.content.decode()
    assert [row.athlete for row in kept()] == [cast.athletes[1]]
    assert tap(cast, cast.ada, value).status_code == 422


def test_attempts_are_counted_and_the_best_is_marked(cast: Cast) -> None:
    for value in ("5.62", "5.48", "5.55"):
        page = cast.client(cast.hazel).get(address(cast))
        number = re.search(rf'name="attempt_{cast.ada.pk}" value="(\d+)"', page.content.decode())
        assert number
        typed(cast, {cast.ada: value}, **{f"attempt_{cast.ada.pk}": number[1]})
    assert [row.attempt for row in kept()] == [1, 2, 3]
    text = " ".join(re.sub(r"<[^>]+>", " ", cast.client(cast.hazel).get(address(cast)).content.decode()).split())
    assert "Ada 5.7 5.5 best 5.6" in text


def test_a_list_typed_days_later_is_of_the_session_s_day_and_one_to_come_is_not_typed(cast: Cast) -> None:
    cast.session.date -= timedelta(days=3)
    cast.session.save()
    typed(cast, {cast.ada: "5.5"})
    assert kept()[0].on == cast.session.date
    cast.session.date += timedelta(days=5)
    cast.session.save()
    assert typed(cast, {cast.ada: "5.6"}).status_code == 200
    assert tap(cast, cast.ada, "5.6").status_code == 422
    assert len(kept()) == 1


# --- corrections ---------------------------------------------------------------------------------------------------


def fix(cast: Cast, row: Result, who: Any = None, **fields: Any) -> Any:
    return cast.client(who or cast.finn).post(address(cast, "entry_fix", row.pk), fields)


def test_a_correction_keeps_what_was_said_and_by_whom(cast: Cast) -> None:
    typed(cast, {cast.ada: "5.9"})
    (row,) = kept()
    assert fix(cast, row, value="5.6").status_code == 302
    newest = kept()[-1]
    assert (newest.replaces, newest.value_ms, newest.attempt) == (row, 5_600, 1)
    page = cast.client(cast.hazel).get(address(cast, "entry_fix", newest.pk))
    assert [said.typed for said in page.context["history"]] == ["5.9", "5.6"]
    said = page.content.decode().split("What was said")[1]
    assert said.index("Hazel") < said.index("Finn")
    assert cast.client(cast.hazel).get(address(cast, "entry_fix", row.pk)).status_code == 404  # there is a newer one


def test_slipped_and_taken_back_ask_nothing(cast: Cast) -> None:
    typed(cast, {cast.ada: "5.9"})
    fix(cast, kept()[-1], value="0.9", state="slipped")
    assert kept()[-1].state == "slipped"
    fix(cast, kept()[-1], value="5.9", state="void")
    assert cast.client(cast.hazel).get(address(cast)).context["rows"][0]["line"].runs == ()
    assert len(kept()) == 3


def test_a_correction_that_looks_impossible_is_asked_about_as_well(cast: Cast) -> None:
    typed(cast, {cast.ada: "5.9"})
    page = fix(cast, kept()[-1], value="0.59")
    assert (page.status_code, len(kept())) == (200, 1)
    assert 'name="sure" value="0.59"' in page.content.decode()
    assert fix(cast, kept()[-1], value="0.59", sure="0.59").status_code == 302
    assert kept()[-1].asked
    assert fix(cast, kept()[-1], value="").status_code == 200


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_correct_nothing(cast: Cast, who: str) -> None:
    typed(cast, {cast.ada: "5.9"})
    assert fix(cast, kept()[-1], getattr(cast, who), value="5.6").status_code == 404
    assert len(kept()) == 1


def test_looking_keeps_nothing_and_shows_no_predictions_in_the_page(cast: Cast) -> None:
    page = cast.client(cast.finn).get(address(cast, code="t-run"))
    assert Trial.objects.exclude(code=SPEED).count() == 0
    assert json.dumps(page.context["entry_now"]["spans"]) == "{}"


def test_the_phone_is_told_where_its_values_go(cast: Cast) -> None:
    assert cast.client(cast.hazel).get(address(cast)).context["entry_now"]["url"] == address(cast, "value")
