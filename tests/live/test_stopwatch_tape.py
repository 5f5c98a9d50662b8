"""What the stop-watch has taken: finishers, names, attempts, slips and redos, as plain data in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run

TAPE = "stopwatch/tape.js"
# A run with finishers at 7.110, 7.200 and 9.004 s; ids as they are asked for.
RUN = """
    const { byId, finish, fresh, heard, keep, loose, nameRow } = module;
    const { openHeat, say, startHeat, takeBack, timesOf, twin, unnamed } = module;
    let next = 0;
    const make = () => `op${next += 1}`;
    const tape = fresh();
    startHeat(tape, { id: "heat", at: 1000.4, gap: 0, test: "sprint" });
    for (const [id, at] of [["a", 8110.4], ["b", 8200.1], ["c", 10004.8]]) finish(tape, { id, at });
    const [heat] = tape.heats;
    const who = () => heat.rows.map((row) => [row.ms, byId(tape, row.result)?.child ?? ""]);
"""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def told(page: Page, body: str) -> Any:
    return run(page, TAPE, RUN + body)


def test_finishers_are_whole_milliseconds_after_the_start(page: Page) -> None:
    assert told(page, "return who();") == [[7110, ""], [7200, ""], [9004, ""]]
    assert told(page, "return [finish(tape, { id: 'd', at: 900 }), heat.rows.length];") == [None, 3]
    assert told(page, "heat.over = true; return finish(tape, { id: 'd', at: 9e4 });") is None
    assert (
        told(page, "heat.over = true; heat.over = false; return finish(tape, { id: 'd', at: 11000.4 }).ms;") == 10_000
    )


def test_the_last_tap_can_be_taken_back_unless_it_has_a_name(page: Page) -> None:
    assert told(page, "takeBack(tape); return who();") == [[7110, ""], [7200, ""]]
    assert len(told(page, "nameRow(tape, heat.rows[2], 'Ada', { make }); takeBack(tape); return who();")) == 3


def test_two_at_once_have_one_time(page: Page) -> None:
    body = "nameRow(tape, heat.rows[0], 'Ada', { make }); twin(tape, heat.rows[0], 'a2'); return who();"
    assert told(page, body) == [[7110, "Ada"], [7110, ""], [7200, ""], [9004, ""]]


def test_a_name_makes_one_write_and_a_change_of_name_takes_the_first_back(page: Page) -> None:
    body = """
        nameRow(tape, heat.rows[0], "Ada", { make });
        nameRow(tape, heat.rows[0], "Bo", { make });
        return [tape.ops.map(({ op, result, state, replaces }) => [op, result, state, replaces]),
          tape.results.map(({ child, ms, attempt, state }) => [child, ms, attempt, state]), who()[0]];"""
    ops, results, first = told(page, body)
    assert ops == [["op1", "op1", "", ""], ["op2", "op1", "void", "op1"], ["op3", "op3", "", ""]]
    assert results == [["Ada", 7110, 1, "void"], ["Bo", 7110, 1, ""]]
    assert first == [7110, "Bo"]


def test_finishers_without_a_name_are_kept_when_the_next_run_begins(page: Page) -> None:
    body = """
        nameRow(tape, heat.rows[0], "Ada", { make });
        heat.rows[1].dropped = true;
        heat.closed = true;
        startHeat(tape, { id: "two", at: 20000, gap: 0, test: "sprint" });
        return [loose(tape).map(({ ms }) => ms), openHeat(tape).id, unnamed(openHeat(tape)).length];"""
    assert told(page, body) == [[9004], "two", 0]


def test_attempts_are_counted_on_from_what_the_club_knows(page: Page) -> None:
    body = """
        nameRow(tape, heat.rows[0], "Ada", { make, known: 2 });
        nameRow(tape, heat.rows[1], "Ada", { make, known: 2 });
        nameRow(tape, heat.rows[2], "Bo", { make });
        return tape.results.map(({ child, attempt }) => [child, attempt]);"""
    assert told(page, body) == [["Ada", 3], ["Ada", 4], ["Bo", 1]]


def test_a_redo_takes_the_place_of_the_old_time_and_a_slip_stays_an_attempt(page: Page) -> None:
    body = """
        const first = keep(tape, { id: "one", child: "Ada", test: "t", ms: 5000, at: 1, attempt: 1 });
        say(tape, first, "slipped", "two");
        const kept = timesOf(tape, "Ada", "t").length;
        keep(tape, { id: "three", child: "Ada", test: "t", ms: 4800, at: 2, attempt: 1 }, first);
        return [kept, timesOf(tape, "Ada", "t").map(({ ms }) => ms), tape.ops.at(-1).replaces];"""
    assert told(page, body) == [1, [4800], "one"]


def test_what_became_of_a_write_stands_on_its_time(page: Page) -> None:
    body = """
        const one = keep(tape, { id: "one", child: "Ada", test: "t", ms: 5010, at: 1 });
        say(tape, one, "slipped", "two");
        const seen = [one.sent];
        heard(tape, "one", "taken", { data: { text: "5.2", watches: 2 } });
        seen.push(one.text, one.watches, one.sent);
        heard(tape, "two", "refused", { words: "Not yours." });
        seen.push(one.sent, one.said);
        heard(tape, "two", "waiting", null);
        seen.push(one.sent, one.said, heard(tape, "nobody's", "taken", null));
        heard(tape, "one", "dropped", null);
        return [...seen, one.state];"""
    seen = told(page, body)
    assert seen == ["waiting", "5.2", 2, "taken", "refused", "Not yours.", "waiting", "", None, "void"]


@pytest.mark.parametrize(
    ("then", "now", "at", "before", "answer"),
    [
        (0, 0, 10, 0, False),
        (3000, 3080, 10, 0, False),  # two clocks drift
        (0, 4000, 10, 0, True),  # moved on, or the counter stood still
        (0, -4000, 10, 0, True),
        (0, 0, 10, 11, True),  # after a reload it is earlier than it was
    ],
)
def test_a_moved_clock_is_noticed(page: Page, then: int, now: int, at: int, before: int, answer: bool) -> None:
    body = "const [then, now, at, before] = given; return module.moved(then, now, { at, before });"
    assert run(page, "stopwatch/moments.js", body, [then, now, at, before]) is answer
