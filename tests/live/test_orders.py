"""Buttons that are held, controls that lock, commands that are heard or not: in a browser, time by the story."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run
from tests.live.stage import STAGE

BUTTON = (
    STAGE
    + """
document.body.innerHTML = '<button data-hold value="stop">STOP</button>';
const button = document.querySelector("button");
module.onHold(button, 1000, { done: () => told.push("done"), again: () => told.push("again") });
const does = (name, more = {}) => {
  const Kind = name.startsWith("pointer") ? PointerEvent : name.startsWith("key") ? KeyboardEvent : MouseEvent;
  button.dispatchEvent(new Kind(name, { bubbles: true, cancelable: true, button: 0, ...more }));
};
"""
)

CONTROLS = (
    STAGE
    + """
const { Orders } = await import("/orders.js");
document.body.innerHTML = `<p data-note hidden></p><form action="/command/"><input name="csrfmiddlewaretoken" value="t">
  <div class="main-row"><button type="button" class="button" data-open hidden>open</button>
  <button class="button" name="kind" value="pause">Pause</button></div>
  <button name="kind" value="end">End</button><button name="add" value="30">+30</button></form>`;
const form = document.querySelector("form");
const words = { sending: "sending", unheard: "not heard", unheard_stop: "shout", locked: "locked" };
let open = true;
const link = { send: (message) => open && said.push(message) > 0, beat: () => told.push("beat") };
let at = 1_000_000;
const view = () => ({ state: { seq: 7 }, seen: { index: 3 }, at: at && at + now });
const orders = new Orders(form, words, { link, took: () => told.push("took"), view });
const controls = new module.Controls(form, words, orders);
const press = (value) => form.requestSubmit(form.querySelector(`button[value="${value}"]`));
const note = document.querySelector("[data-note]");
"""
)


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def hold(page: Page, story: str) -> Any:
    return run(page, "hold.js", f"{BUTTON} {story}")


def controls(page: Page, story: str) -> Any:
    return run(page, "controls.js", f"{CONTROLS} {story}")


# --- held -------------------------------------------------------------------------------------------------------------


def test_a_tap_does_nothing_and_a_second_s_hold_does_it_once(page: Page) -> None:
    story = """
    does("pointerdown"); await go(999); does("pointerup"); does("click", { detail: 1 });
    const tapped = [...told];
    does("pointerdown"); await go(1000);
    const held = [...told];
    await go(5000); does("pointerup"); does("click", { detail: 1 });
    return end([tapped, held, told]);
    """
    assert hold(page, story) == [[], ["done"], ["done"]]


def test_a_finger_that_slides_off_takes_it_back(page: Page) -> None:
    story = "does('pointerdown'); await go(900); does('pointerleave'); await go(5000); return end(told);"
    assert hold(page, story) == []


@pytest.mark.parametrize("key", [" ", "Enter"])
def test_by_keyboard_the_key_is_held(page: Page, key: str) -> None:
    story = f"""
    const key = {{ key: "{key}" }};
    does("keydown", key); await go(300); does("keyup", key);
    const tapped = [...told];
    does("keydown", key); await go(500); does("keydown", {{ ...key, repeat: true }}); await go(500); does("keyup", key);
    return end([tapped, told]);
    """
    assert hold(page, story) == [[], ["done"]]


def test_where_a_press_cannot_be_held_it_is_pressed_twice(page: Page) -> None:
    assert hold(page, "does('click', { detail: 0 }); does('click', { detail: 0 }); return end(told);") == [
        "again",
        "done",
    ]


# --- locked -----------------------------------------------------------------------------------------------------------


def test_ten_seconds_after_the_last_touch_the_buttons_lock(page: Page) -> None:
    story = """
    await go(9000);
    form.dispatchEvent(new PointerEvent("pointerdown"));
    await go(9999);
    const before = controls.locked;
    await go(1);
    press("pause"); press("end");
    return end([before, controls.locked, said.length, note.textContent, form.querySelector("[data-open]").hidden]);
    """
    assert controls(page, story) == [False, True, 0, "locked", False]


def test_one_long_press_opens_them(page: Page) -> None:
    story = """
    await go(10_000);
    const opener = form.querySelector("[data-open]");
    const does = (name) => opener.dispatchEvent(new PointerEvent(name, { button: 0 }));
    does("pointerdown"); await go(300); does("pointerup");
    const tapped = controls.locked;
    does("pointerdown"); await go(600); does("pointerup");
    press("pause");
    return end([tapped, controls.locked, said.map((message) => message.kind)]);
    """
    assert controls(page, story) == [True, False, ["pause"]]


# --- heard or not -----------------------------------------------------------------------------------------------------


def test_a_command_says_what_was_seen_in_which_part_and_when(page: Page) -> None:
    story = "await go(50); press('end'); const { op_id, ...rest } = said[0]; return end([op_id.length, rest]);"
    length, message = controls(page, story)
    assert length == 36
    assert message == {"type": "command", "kind": "end", "seen": 7, "index": 3, "at_ms": 1_000_050}


def test_one_that_is_not_confirmed_in_three_seconds_says_so_and_is_never_sent_again(page: Page) -> None:
    story = """
    press("pause");
    const first = note.textContent;
    await go(2999);
    const patient = note.textContent;
    await go(1);
    const late = note.textContent;
    orders.heard({ op_id: said[0].op_id, words: "" });
    await go(60_000);
    return end([first, patient, late, note.textContent, said.length, told]);
    """
    assert controls(page, story) == ["sending", "sending", "not heard", "not heard", 1, ["beat"]]


def test_one_that_is_confirmed_says_nothing_more(page: Page) -> None:
    story = "press('pause'); orders.heard({ op_id: said[0].op_id, words: '' }); await go(9000); "
    assert controls(page, story + "return end([note.hidden, told]);") == [True, []]


def test_without_a_socket_it_goes_by_post_once(page: Page) -> None:
    story = """
    open = false;
    answers = [{ accepted: true, words: "", bell: {} }];
    press("30");
    await soon();
    return end([asked.length, note.hidden, told]);
    """
    assert controls(page, story) == [1, True, ["took"]]


def test_before_its_clock_is_known_only_a_stop_goes_by_a_line_that_may_keep_it(page: Page) -> None:
    story = """
    at = null;
    orders.give({ kind: "stop" }, document.createElement("button"));
    press("pause");
    await soon();
    return end([said.map((message) => message.kind), asked.length]);
    """
    assert controls(page, story) == [["stop"], 1]


def test_without_any_network_it_says_so_at_once(page: Page) -> None:
    story = "open = false; press('pause'); await soon(); const at_once = note.textContent; await go(60_000); "
    assert controls(page, story + "return end([at_once, asked.length]);") == ["not heard", 1]


def test_a_stop_that_is_not_heard_says_to_shout(page: Page) -> None:
    story = "orders.give({ kind: 'stop' }, document.createElement('button')); await go(3000); "
    assert controls(page, story + "return end(note.textContent);") == "shout"
