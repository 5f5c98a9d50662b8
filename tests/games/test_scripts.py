"""The games' scripts in a real browser: turns by the bell, touches, the count of a handicap race, the queue, scores."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.browser.chromium import comes_true
from tests.live.browser import HOME, bare_page, run

WAITING = """() => import("/offline/outbox.js").then(({pending}) => pending())
    .then((all) => all.filter(({url}) => url === "/there/").length === N)"""
RULES = [{"first_to": 7, "best_of": None, "lead": 2}, {"first_to": None, "best_of": 5, "lead": 1}, {}]
SCORES = [[6, 4], [7, 6], [7, 5], [5, 7], [3, 1], [2, 2], [9, 8]]


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def show(page: Page, body: str) -> Page:
    """A page of our own with this in it; scripts are imported into it afterwards."""
    page.goto(HOME)
    page.evaluate("(body) => { document.body.innerHTML = body; document.documentElement.dataset.owner = 'me'; }", body)
    return page


def test_where_a_game_has_got_to(page: Page) -> None:
    """Two turns of 10 s with 5 s between them, by hand."""
    told = {"spell_s": 10, "rest_s": 5, "ids": [["a"], ["b"]]}
    moments = [-50, 0, 9_999, 10_000, 14_999, 15_000, 24_999, 25_000, 90_000]
    found = run(page, "live/spells.js", "return given[1].map((ms) => module.turnAt(given[0], ms));", [told, moments])
    assert [(one["turn"], one["rest"], one["left_ms"]) for one in found] == [
        (0, False, 10_000),
        (0, False, 10_000),
        (0, False, 1),
        (1, True, 5_000),
        (1, True, 1),
        (1, False, 10_000),
        (1, False, 1),
        (2, True, 0),
        (2, True, 0),
    ]


def test_a_score_is_the_engine_s_winner(page: Page) -> None:
    from clubapp.engine.league import Until

    sides = '<input class="score-figure" data-side="Red"><input class="score-figure" data-side="Blue">'
    show(page, f'<form data-score data-won="%s">{sides}<p data-score-told></p></form><b id="score-rule">{{}}</b>')
    body = "return given[0].map((rule) => given[1].map((score) => module.winner(score, rule)));"
    found = run(page, "games/score.js", body, [RULES, SCORES])
    rules = [Until(first_to=7, lead=2), Until(best_of=5)]
    wanted = [[(rule.winner(*score) or 0) - 1 for score in SCORES] for rule in rules]
    assert [[-1 if one is None else one for one in row] for row in found[:2]] == wanted
    assert set(found[2]) == {None}


def test_places_at_the_line_and_who_moved(page: Page) -> None:
    show(page, "")
    places = "return given.map(([places, row, tie]) => module.placed(places, row, tie));"
    given = [[[0, 0, 0], 1, False], [[0, 1, 0], 2, False], [[0, 1, 2], 0, True], [[2, 1, 3], 1, False]]
    assert run(page, "games/finish.js", places, given) == [[0, 1, 0], [0, 1, 2], [2, 1, 2], [1, 0, 2]]
    odd = "return module.odd(given, 4500, 20500);"
    texts = ["7.42", "1,84", "", "0:21", "x", "1:02.4"]
    assert run(page, "games/finish.js", odd, texts) == ["1,84", "0:21", "1:02.4"]
    more = "return given.map((text) => module.oneMore(text));"
    assert run(page, "games/moved.js", more, ["", "1", "99", "x"]) == ["1", "2", "99", "1"]


def test_signals_alternate_after_waits_of_the_cue_caller(page: Page) -> None:
    from clubapp.engine.cues import Problem, solve

    waits = {"go": [1500, 1200, 5000], "still": [1800, 800, 4000]}
    given = {name: dict(zip(("least_ms", "tau_ms", "most_ms"), row, strict=True)) for name, row in waits.items()}
    signals = "<button data-signals-start></button><button data-signals-stop></button>"
    show(
        page,
        f'<b id="signals">{{"words": {{}}}}</b><form data-finish></form>'
        f"<p data-signals><i data-signal></i><i data-signal-now></i>{signals}</p>",
    )
    body = "const all = module.turns(given, [7, 9]); return Array.from({length: 20}, () => all.next().value);"
    found = run(page, "live/caller/signals.js", body, given)
    assert [signal for signal, _wait in found] == ["go", "still"] * 10
    for at, (name, seed) in enumerate((("go", 7), ("still", 9))):
        least, tau, most = waits[name]
        problem = Problem((".",), 10, least_ms=least, tau_ms=tau, most_ms=most, most_alike=1)
        assert [wait for _signal, wait in found[at::2]] == [cue.wait_ms for cue in solve(problem, seed=seed).cues]


TALLY = """<div data-tally-page data-words='{"touched": "%s touched %s", "out": "%s", "undone": "Taken back: %s",
"tapped": "Tapped: %s", "undo": "Undo"}'>
<form data-tally action="/there/"><input type="hidden" name="what" value="touch"><label data-tally-turn></label>
<fieldset class="tally-who">
<label data-chaser="a">Ada<input type="radio" name="who" value="a"></label>
<label data-chaser="b">Bo<input type="radio" name="who" value="b"></label></fieldset>
<button name="whom" value="a" data-whom="a"><span>Ada</span><b data-count></b></button>
<button name="whom" value="c" data-whom="c"><span>Cleo</span><b data-count></b></button></form>
<p data-tally-note></p><button data-tally-undo hidden>Undo</button>
<details data-tally-log hidden open><summary></summary><ul></ul></details></div>"""


def test_a_touch_is_counted_said_and_taken_back(page: Page) -> None:
    """The chaser of the turn that the bell called is chosen, and cannot be touched. What waits outlives a reload."""
    show(page, TALLY)
    turn = "document.dispatchEvent(new CustomEvent('fieldbell:turn', {detail: {turn: 1, ids: ['a']}})); return true;"
    assert run(page, "games/tally.js", turn)
    expect(page.locator("[data-whom=a]")).to_be_hidden()
    expect(page.locator("[data-chaser=b]")).to_be_hidden()
    page.locator("[data-whom=c]").click()
    expect(page.locator("[data-tally-note]")).to_have_text("Ada touched Cleo")
    expect(page.locator("[data-whom=c] [data-count]")).to_have_text("1")
    page.locator("[data-tally-undo]").click()
    expect(page.locator("[data-whom=c] [data-count]")).to_have_text("")
    expect(page.locator("[data-tally-note]")).to_have_text("Taken back: Ada touched Cleo")
    for _time in range(2):
        page.locator("[data-whom=c]").click()
    page.get_by_label("Undo: Ada touched Cleo").first.click()
    expect(page.locator("[data-whom=c] [data-count]")).to_have_text("1")
    comes_true(page, WAITING.replace("N", "5"))  # three touches, two of them taken back
    show(page, TALLY)
    run(page, "games/tally.js", "return true;")
    expect(page.locator("[data-tally-log] li")).to_have_text(["Ada touched CleoUndo"])
    expect(page.locator("[data-whom=c] [data-count]")).to_have_text("1")


START = """<p data-queued hidden tabindex="-1" data-waits="Kept here."></p><a data-begun hidden href="/on/">Clock</a>
<form data-queue data-start action="/begin/"><input name="op_id" value="the page's"><input name="round" value="2">
<button name="what" value="begin">Start</button></form>
<form data-queue data-begun hidden action="/end/"><input name="op_id" value="the page's"><button>Over</button></form>"""
TELL = """const {pending} = await import("/offline/outbox.js");
const op = (await pending()).find(({url}) => url === "/begin/");
document.dispatchEvent(new CustomEvent("fieldbell:outbox", {detail: {op, state: given.state, answer: given.answer}}));
return op;"""


def test_a_time_is_asked_about_by_the_test_or_else_by_the_childs_own(page: Page) -> None:
    row = '<li data-row data-least="5000" data-most="7000" data-asks="Ada: %s?"><input name="time_a"></li>'
    show(page, f'<form data-least="4000" data-most="20000" data-asks="%s for 40 m?"><ul>{row}</ul></form>')
    for typed, asked in (("9,9", "Ada: 9,9?"), ("1.84", "1.84 for 40 m?"), ("6.1", ""), ("", "")):
        page.locator("[name=time_a]").fill(typed)
        ask = "return module.question(document.querySelector('form'));"
        assert run(page, "games/finish.js", ask) == asked


def test_what_is_tapped_without_a_network_waits_and_the_page_goes_on(page: Page) -> None:
    """Start: kept, with an id of its own, and on to what comes next; refused, it is as if nobody had tapped."""
    page.clock.install()
    show(page, START)
    run(page, "games/queued.js", "return true;")
    page.get_by_role("button", name="Start").click()
    comes_true(page, WAITING.replace("N", "1").replace("/there/", "/begin/"))
    page.clock.run_for(2_000)
    expect(page.locator("[data-queued]")).to_have_text("Kept here.")
    expect(page.get_by_role("link", name="Clock")).to_be_visible()
    expect(page.get_by_role("button", name="Start")).to_be_hidden()
    page.get_by_role("button", name="Over").click()  # in its turn behind the start, on the same page
    comes_true(page, WAITING.replace("N", "1").replace("/there/", "/end/"))
    show(page, START)
    run(page, "games/queued.js", "return true;")
    expect(page.get_by_role("button", name="Start")).to_be_hidden()  # a kept page knows it after a reload
    op = run(page, "games/queued.js", TELL, {"state": "refused", "answer": {"words": "Look again."}})
    assert op["body"] == [["round", "2"], ["what", "begin"]]
    assert len(op["op_id"]) == 36
    assert run(page, "live/begun.js", "return module.begunAt('/begin/');") is None
    show(page, START)
    run(page, "games/queued.js", "return true;")
    expect(page.get_by_role("button", name="Start")).to_be_visible()


def test_a_kept_form_goes_where_the_answer_says(page: Page) -> None:
    show(page, START.replace("begin", "finish"))
    run(page, "games/queued.js", "return true;")
    page.get_by_role("button", name="Start").click()
    comes_true(page, WAITING.replace("N", "1").replace("/there/", "/finish/"))
    with page.expect_navigation(url="**/next/"):
        run(
            page,
            "games/queued.js",
            "setTimeout(async () => {" + TELL.replace("begin", "finish") + "}); return true;",
            {"state": "taken", "answer": {"data": {"next": "/next/"}}},
        )


CLOCK = """<b id="race-clock">{"starts": [{"at": 0, "names": ["Ada"]}, {"at": 2, "names": ["Bo"]}],
"words": {"go": "Go", "ready": "Ready", "stopped": "Stopped"}}</b><form data-finish><input name="round" value="1">
<li data-row><input name="time_x"></li></form><section data-race-clock hidden>
<p data-race-figure></p><p data-race-now></p><button data-race-start>Start</button>
<button data-race-stop hidden>Stop</button></section>"""


def test_the_count_of_a_handicap_race_and_the_time_of_a_tap(page: Page) -> None:
    """By a clock that the test sets: ready for 3 s, then names on their seconds; a time up to the next tenth."""
    page.clock.install(time=0)
    show(page, CLOCK)
    page.clock.pause_at(60_000)  # else it goes on by itself between two steps, and on a busy machine far
    run(page, "games/clock.js", "return true;")
    page.locator("[data-race-start]").click()
    page.clock.run_for(1_000)
    expect(page.locator("[data-race-now]")).to_have_text("0: Ada")
    page.clock.run_for(2_100)
    expect(page.locator("[data-race-figure]")).to_have_text("Go")
    page.clock.run_for(2_000)
    expect(page.locator("[data-race-now]")).to_have_text("Bo")
    stamp = "performance.now()"
    page.evaluate(f"""() => document.querySelector('[data-row]').dispatchEvent(
        new CustomEvent('fieldbell:in', {{bubbles: true, detail: {{in: true, stamp: {stamp}}}}}))""")
    assert page.locator("[name=time_x]").input_value() == "2.1"
    page.evaluate("document.dispatchEvent(new CustomEvent('fieldbell:alarm', {detail: {level: 'loud'}}))")
    expect(page.locator("[data-race-stop]")).to_be_visible()  # the count is over: times go on
    page.locator("[data-race-stop]").click()
    expect(page.locator("[data-race-figure]")).to_have_text("–")
    page.clock.resume()  # it is every page's of this browser
