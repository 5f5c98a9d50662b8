"""The cue caller's page: who gets it, what it knows; and in a browser how it calls, stops and comes back."""

from __future__ import annotations

import json
import re

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from clubapp.engine.cues import WORDS, Problem, solve
from clubapp.planning.models import Station
from tests.cast import Cast
from tests.live.browser import run


def addresses(cast: Cast) -> list[str]:
    station = Station.objects.filter(session=cast.session).earliest("number")
    session = cast.session.pk
    return [reverse("live:caller_all", args=[session]), reverse("live:caller_at", args=[session, station.pk])]


def test_access(cast: Cast) -> None:
    for address in addresses(cast):
        for user in (cast.hazel, cast.finn):
            assert cast.client(user).get(address).status_code == 200
        for user in (cast.greta, cast.sal):
            assert cast.client(user).get(address).status_code == 404
        assert cast.client().get(address).status_code == 302
        assert cast.client(cast.hazel).post(address).status_code == 405


def test_a_station_of_another_club_is_not_there(cast: Cast) -> None:
    elsewhere = Station.objects.exclude(session__club=cast.club).first()
    if elsewhere is None:
        from tests.rules.addresses import foreign_ids

        elsewhere = Station.objects.get(pk=foreign_ids(cast)["station_id"])
    address = reverse("live:caller_at", args=[cast.session.pk, elsewhere.pk])
    assert cast.client(cast.hazel).get(address).status_code == 404


def test_the_page_offers_the_engines_own_words_and_no_childs_name(cast: Cast) -> None:
    html = cast.client(cast.finn).get(addresses(cast)[1]).content.decode()
    told = json.loads(re.search(r'<script id="caller-now"[^>]*>(.*?)</script>', html).group(1))  # type: ignore[union-attr]
    assert {name: [key for key, _text in words] for name, words in told["sets"].items()} == {
        name: list(words) for name, words in WORDS.items()
    }
    assert cast.ada.given_name not in re.sub(r"<script.*?</script>", "", html, flags=re.S)


def test_every_pace_on_offer_is_one_the_engine_takes(cast: Cast) -> None:
    html = cast.client(cast.finn).get(addresses(cast)[0]).content.decode()
    paces = re.findall(r'<option value="(\d+) (\d+) (\d+)"', html)
    assert len(paces) == 4
    for least, tau, most in paces:
        for alike in (1, 2, 3):
            problem = Problem(least_ms=int(least), tau_ms=int(tau), most_ms=int(most), most_alike=alike)
            assert len(solve(problem).words) == problem.count


@pytest.mark.parametrize(("tools", "there"), [("", False), ("watch", False), ("caller", True)])
def test_a_station_leads_to_it_where_it_asks_for_one(cast: Cast, tools: str, there: bool) -> None:
    station = Station.objects.filter(session=cast.session).earliest("number")
    station.tools = tools
    station.save()
    html = cast.client(cast.finn).get(reverse("live:station", args=[cast.session.pk, station.pk])).content.decode()
    assert (addresses(cast)[1] in html) is there


def test_the_leader_finds_it_beside_the_bell(cast: Cast) -> None:
    page = reverse("live:bell", args=[cast.session.pk])
    assert addresses(cast)[0] in cast.client(cast.hazel).get(page).content.decode()
    assert addresses(cast)[0] not in cast.client(cast.finn).get(page).content.decode()


# --- how it calls ----------------------------------------------------------------------------------------------------


# A clock and timers of the story's own: each timer goes at its moment.
TIMERS = """
let now = 5000, timers = [];
const said = [];
performance.now = () => now;
window.setTimeout = (act, ms) => { const one = { act, at: now + ms }; timers.push(one); return one; };
window.clearTimeout = (one) => { timers = timers.filter((other) => other !== one); };
const step = () => {
  timers.sort((a, b) => a.at - b.at);
  const one = timers.shift();
  now = one.at;
  one.act();
};
const note = (what) => (...more) => said.push([what, Math.round(now - 7000), ...more]);
const run = new module.Run(given.problem, given.seed, { cue: note("cue"), dark: note("dark"), over: note("over") });
"""
PROBLEM = {"words": ["red", "blue", "white"], "count": 12, "least_ms": 1000, "most_ms": 5000, "tau_ms": 1000}
PROBLEM |= {"pause_ms": 500, "catch_percent": 20, "most_alike": 2, "most_away": None}  # type: ignore[dict-item]


def told(page: Page, body: str, **more: object) -> list[list[object]]:
    found: list[list[object]] = run(page, "caller/run.js", TIMERS + body, {"problem": PROBLEM | more, "seed": 7})
    return found


def test_each_cue_is_called_at_the_moment_the_engine_drew(page: Page) -> None:
    found = told(page, "while (timers.length) step(); return said;")
    drawn = solve(Problem(**{**PROBLEM, "words": tuple(PROBLEM["words"])}), seed=7)  # type: ignore[arg-type]
    called = [cue for cue in drawn.cues if cue.word is not None]
    assert [row for row in found if row[0] == "cue"] == [
        ["cue", cue.at_ms, cue.word, number] for number, cue in enumerate(called, start=1)
    ]
    assert found[-1] == ["over", called[-1].at_ms + 1600]
    assert len(drawn.cues) > len(called)  # there were catch trials, and nothing was called in them


def test_between_two_cues_the_screen_is_dark(page: Page) -> None:
    found = told(page, "while (timers.length) step(); return said;", catch_percent=0)
    kinds = [row[0] for row in found]
    assert kinds == ["cue", "dark"] * 11 + ["cue", "over"]
    for cue, dark in zip(found[0::2], found[1::2], strict=True):
        assert 0 < dark[1] - cue[1] <= 1600  # type: ignore[operator]
    for dark, cue in zip(found[1::2], found[2::2], strict=False):
        assert cue[1] - dark[1] >= 250  # type: ignore[operator]


def test_after_stop_nothing_is_called(page: Page) -> None:
    body = "while (said.length < 3) step(); const before = said.length; run.stop(); return [before, timers.length];"
    assert told(page, body) == [3, 0]


def test_own_words_are_made_tidy(page: Page) -> None:
    body = "return given.map((text) => module.ownWords(text, { own: 3, length: 6 }));"
    given = [" fox ,, river  bank,FOX, gate ", "", " , ", "a,b,c,d"]
    assert run(page, "caller/wishes.js", body, given) == [["FOX", "river", "gate"], [], [], ["a", "b", "c"]]
