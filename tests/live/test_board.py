"""What a phone shows of the bell while it does not know the time: nothing that could be wrong. Clocks are ours."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import run
from tests.live.stage import STAGE

# Ten minutes of work, begun a minute ago by the server's clock, which is an hour ahead of the phone's.
PHONE = (
    STAGE
    + """
const { Sync } = await import("/sync.js");
document.documentElement.lang = "en";
document.body.innerHTML = `<p data-say></p><section data-bell data-zone="UTC">
  ${["word", "digits", "time", "round", "left", "ends"].map((name) => `<p data-face-${name}></p>`).join("")}</section>`;
const START = 1_800_000_000_000, AHEAD = 3_600_000;
const clocks = { wall: START - AHEAD };
const state = {
  seq: 1, phase: "running", index: 0, segments: [["work", 600, 1]], since_ms: START - 60_000, left_ms: 600_000,
  deadline_ms: START + 540_000, thunder_ms: null, reason: "", plan: 1, rung: 0,
};
const bell = { state, now_ms: START, version: 1 };
const words = { setting: "setting the clock", parts: { work: "WORK" }, phases: {}, round: "%s of %s", ends: "ends %s" };
const sync = new Sync(() => now, () => clocks.wall + now);
const board = new module.Board(document.querySelector("[data-bell]"), words, sync);
const answer = async () => {
  const t0 = now;
  await go(20);
  const t1 = clocks.wall + AHEAD + now;
  await go(20);
  sync.hear(t0, t1, t1);
};
const reads = () => {
  board.show(bell);
  const [figures, time] = ["digits", "time"].map((part) => document.querySelector(`[data-face-${part}]`));
  return [time.textContent, figures.childNodes.length > 0];
};
const burst = async (many = 8) => { for (let turn = 0; turn < many; turn += 1) await answer(); };
const sleeps = (ms) => { clocks.wall += ms; };
"""
)
NOTHING = ["", False]  # neither read out nor drawn


def board(page: Page, story: str) -> Any:
    return run(page, "board.js", f"{PHONE} {story}")


def test_no_figure_is_shown_before_the_eighth_answer(page: Page) -> None:
    story = "await burst(7); const before = reads(); await burst(1); return end([before, reads()]);"
    assert board(page, story) == [NOTHING, ["9:00", True]]


def test_four_answers_in_two_seconds_are_enough_and_three_are_not(page: Page) -> None:
    story = "await burst(3); await go(5000); const three = reads(); await burst(1); return end([three, reads()]);"
    three, four = board(page, story)
    assert three == NOTHING
    assert four[0].startswith("8:5")


@pytest.mark.parametrize("minutes", [1, 3])
def test_between_waking_and_the_next_burst_no_figure_is_shown(page: Page, minutes: int) -> None:
    story = f"""
    await burst();
    const before = reads();
    sleeps({minutes} * 60_000);
    const woken = reads();
    await burst(7);
    const asking = reads();
    await burst(1);
    return end([before, woken, asking, reads()]);
    """
    before, woken, asking, after = board(page, story)
    assert before == ["9:00", True]
    assert (woken, asking) == (NOTHING, NOTHING)
    assert after[0] == f"{9 - minutes}:00"


def test_waking_without_a_network_the_figures_come_back_by_the_phone_s_own_clock(page: Page) -> None:
    """Only once it is known that nobody answers; and the next burst is believed again."""
    story = """
    await burst();
    reads();
    sleeps(180_000);
    const woken = reads();
    sync.goAlone();
    const alone = [reads(), document.querySelector("[data-bell]").dataset.known];
    sync.hasCompany();
    await burst();
    return end([woken, alone, [reads(), document.querySelector("[data-bell]").dataset.known]]);
    """
    woken, (alone, how), (after, known) = board(page, story)
    assert woken == NOTHING
    assert (alone, how) == (["6:00", True], "by wall")
    assert (after, known) == (["6:00", True], "asked")
