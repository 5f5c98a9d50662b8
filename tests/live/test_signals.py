"""What is heard and when: pure, then on a make-believe audio clock, then with browsers that allow more or less."""

from __future__ import annotations

import json
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from tests.live.browser import run

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/signals.json").read_text())
BASE = VECTORS["base_ms"]
SIGNALS = "sound/signals.js"
INSTANTS = ("since_ms", "deadline_ms", "rung_ms", "thunder_ms")


def state(name: str | None, segments: list[Any] = VECTORS["segments"]) -> dict[str, Any] | None:
    """A state of the vectors with whole instants; 0 stays "never" where something has not begun."""
    if name is None:
        return None
    found = {"segments": segments, **VECTORS["states"][name]}
    begun = found["phase"] != "waiting"
    return found | {key: found[key] + BASE for key in INSTANTS if found.get(key) or (begun and key in found)}


def due(page: Page, case: dict[str, Any], given: dict[str, Any] | None) -> list[list[Any]]:
    body = "return module.moments(given.state, given.now, given.until).map((one) => [one.at, one.signal, one.index]);"
    window = {"now": case["now"] + BASE, "until": case["until"] + BASE}
    return [[at - BASE, signal, index] for at, signal, index in run(page, SIGNALS, body, {"state": given, **window})]


def test_what_is_due(page: Page) -> None:
    for case in VECTORS["moments"]:
        assert due(page, case, state(case["state"])) == case["due"], case["name"]
    for case in VECTORS["short"]:
        assert due(page, case, state("running", case["segments"])) == case["due"], case["name"]


def test_what_a_command_says(page: Page) -> None:
    body = "return given.map(([before, after, now]) => module.ordered(before, after, now));"
    cases = VECTORS["ordered"]
    given = [[state(case["before"]), state(case["after"]), case["now"] + BASE] for case in cases]
    found = run(page, SIGNALS, body, given)
    assert {case["name"]: signal for case, signal in zip(cases, found, strict=True)} == {
        case["name"]: case["signal"] for case in cases
    }


def test_each_signal_has_a_rhythm_of_its_own_in_the_ear_and_in_the_hand(page: Page) -> None:
    notes, hand = run(
        page,
        SIGNALS,
        "return [module.SIGNALS, Object.fromEntries(Object.keys(module.SIGNALS).map((n) => [n, module.buzzOf(n)]))];",
    )
    rhythm = {name: [(at, length) for at, length, _hertz in played] for name, played in notes.items()}
    alarms = {"leader", "all", "louder"}
    for one, other in combinations(rhythm, 2):
        if {one, other} <= alarms:  # the same call, more urgent each time
            assert rhythm[one] != rhythm[other]
        else:
            assert not alike(rhythm[one], rhythm[other]), (one, other)
    for name, played in rhythm.items():
        assert hand[name][::2] == [length for _at, length in played]
        assert sum(hand[name]) == played[-1][0] + played[-1][1]
        assert all(off > 0 for off in hand[name][1::2])


def alike(one: list[tuple[int, int]], other: list[tuple[int, int]]) -> bool:
    """The same number of notes, and every gap and length within a quarter of each other: only pitch would differ."""
    if len(one) != len(other):
        return False
    steps = [[b[0] - a[0] for a, b in pairwise(played)] + [length for _at, length in played] for played in (one, other)]
    return all(min(a, b) > 0.75 * max(a, b) for a, b in zip(*steps, strict=True))


FAKE = """
class Audio {
  constructor() { Object.assign(this, { currentTime: 100, outputLatency: 0.02, state: "running", made: [] }); }
  createDynamicsCompressor() { return { connect() {} }; }
  createGain() {
    const gain = { setValueAtTime() {}, linearRampToValueAtTime() {} };
    return { connect() {}, disconnect() {}, gain };
  }
  createOscillator() {
    const one = { frequency: {}, connect() {} };
    one.start = (at) => { one.at = at; };
    one.stop = (at) => { if (at === undefined) one.gone = true; };
    this.made.push(one);
    return one;
  }
  begun() { return this.made.filter((one) => !one.gone).map((one) => Math.round(1000 * one.at)); }
}
const { Tones } = await import("/sound/tones.js");
const { moments } = await import("/sound/signals.js");
const audio = new Audio();
const diary = new module.Diary(new Tones(audio));
const [running, lengthened, paused] = given.states;
const at = (now, state) => { diary.keep(moments(state, now, now + 300000), now); return audio.begun(); };
"""


def on_the_audio_clock(page: Page, body: str) -> Any:
    given = {"states": [state(name) for name in ("running", "lengthened", "paused")], "base": BASE}
    return run(page, "sound/diary.js", FAKE + body, given)


def test_signals_are_put_ahead_on_the_audio_clock_and_stay_there(page: Page) -> None:
    first, again, drifted = on_the_audio_clock(
        page,
        """
        const first = at(given.base + 10000, running).slice(0, 6);
        audio.currentTime += 20.01; // the two clocks are read a little apart
        const again = at(given.base + 30000, running).slice(0, 6);
        audio.currentTime += 10.2;
        return [first, again, at(given.base + 40000, running)];
        """,
    )
    # Ten seconds before 60 s and at 60 s, less what the loudspeaker needs: 100 s + 40 s - 20 ms, and so on.
    assert first == [139980, 140140, 140300, 140460, 140620, 149980]
    assert again == first
    assert 140190 in drifted
    assert 139980 not in drifted


def test_a_command_takes_off_what_is_not_due_any_more(page: Page) -> None:
    plain, later, none, sounding = on_the_audio_clock(
        page,
        """
        const plain = at(given.base + 10000, running).slice(0, 1);
        audio.currentTime += 20;
        const later = at(given.base + 30000, lengthened).slice(0, 1);
        const none = at(given.base + 30000, paused);
        at(given.base + 30000, running);
        audio.currentTime += 20.1; // the ticks have begun
        return [plain, later, none, at(given.base + 50100, paused)];
        """,
    )
    assert (plain, later, none) == ([139980], [169980], [])
    assert sounding == [139980, 140140, 140300, 140460, 140620]  # to its end; the start after it is gone


# What the browser can do is decided before the module is loaded.
STATES = """
const stub = (on, name, value) => Object.defineProperty(on, name, { configurable: true, value });
const audio = { state: given.audio, currentTime: 0, addEventListener() {},
  resume: async () => { audio.state = given.after; },
  createDynamicsCompressor: () => ({ connect() {} }) };
const Maker = given.audio ? class { constructor() { return audio; } } : undefined;
stub(window, "AudioContext", Maker);
stub(window, "webkitAudioContext", undefined);
stub(window, "isSecureContext", given.secure);
stub(navigator, "vibrate", given.vibrate === null ? undefined : () => given.vibrate);
const lock = { addEventListener() {}, release: async () => { lock.released = true; } };
const request = async () => {
  if (!given.lock) throw new DOMException("no", "NotAllowedError");
  lock.released = false;
  return lock;
};
stub(navigator, "wakeLock", given.lock === null ? undefined : { request });
const spoken = [], touch = { hasBeenActive: false };
stub(navigator, "userActivation", touch);
stub(window, "SpeechSynthesisUtterance", class { constructor(text) { this.text = text; } });
const speech = { getVoices: () => Array(given.voices).fill({}), cancel() {}, speak: (one) => spoken.push(one) };
stub(window, "speechSynthesis", given.voices === null ? undefined : speech);
const memory = {};
const setItem = (name, text) => { memory[name] = text; };
stub(window, "localStorage", { getItem: (name) => memory[name] ?? null, setItem });
const means = new module.Means(() => {});
const seen = () => Object.fromEntries(module.MEANS.map((mean) => [mean, means.state(mean)]));
const all = () => module.MEANS.forEach((mean) => means.choose(mean, true));
"""
ABLE = {"audio": "suspended", "after": "running", "secure": True, "vibrate": True, "lock": True, "voices": 2}


def states(page: Page, body: str, **able: Any) -> Any:
    return run(page, "sound/means.js", STATES + body, ABLE | able)


def test_nothing_is_on_before_it_is_chosen_and_tapped(page: Page) -> None:
    off, chosen, tapped = states(
        page,
        "const off = seen(); all(); const chosen = seen(); touch.hasBeenActive = true;"
        "await means.tapped(); return [off, chosen, seen()];",
    )
    assert set(off.values()) == {"off"}
    assert set(chosen.values()) == {"tap"}
    assert tapped == {"sound": "on", "buzz": "on", "voice": "trying", "awake": "on"}


def test_a_voice_is_on_once_it_has_spoken(page: Page) -> None:
    body = "all(); await means.tapped(); means.say('Move'); spoken.at(-1).%s; return means.state('voice');"
    assert states(page, body % "onstart()") == "on"
    assert states(page, body % "onerror({ error: 'synthesis-failed' })") == "refused"
    assert states(page, body % "onerror({ error: 'interrupted' })") == "trying"


def test_what_the_phone_cannot_do_is_said(page: Page) -> None:
    body = "all(); await means.tapped(); return seen();"
    nothing = states(page, body, audio=None, vibrate=None, lock=None, voices=None)
    assert nothing == {"sound": "cannot", "buzz": "cannot", "voice": "cannot", "awake": "cannot"}
    assert states(page, body, secure=False, lock=None)["awake"] == "https"
    assert states(page, body, voices=0)["voice"] == "none"
    assert states(page, body, lock=False)["awake"] == "refused"
    assert states(page, body, after="suspended")["sound"] == "tap"
    assert (
        states(page, "touch.hasBeenActive = true; all(); means.buzz('move'); return seen();", vibrate=False)["buzz"]
        == "refused"
    )


def test_what_was_lost_is_not_shown_as_on(page: Page) -> None:
    """A call takes the sound, a locked screen the lock; a tap and a look bring both back."""
    lost, back = states(
        page,
        """
        all(); await means.tapped();
        audio.state = "interrupted"; lock.released = true;
        const lost = seen();
        document.dispatchEvent(new Event("visibilitychange"));
        await new Promise((done) => setTimeout(done));
        return [lost, seen()];
        """,
    )
    assert (lost["sound"], lost["awake"]) == ("tap", "tap")
    assert (back["sound"], back["awake"]) == ("on", "on")


def test_the_choice_is_kept_on_the_phone_and_the_state_is_not(page: Page) -> None:
    """The page loaded again knows what was chosen, and that a tap is needed."""
    body = """
    all(); means.choose("voice", false); await means.tapped();
    audio.state = "suspended";
    const again = new module.Means(() => {});
    return module.MEANS.map((mean) => [again.wants(mean), again.state(mean)]);
    """
    assert states(page, body) == [[True, "tap"], [True, "tap"], [False, "off"], [True, "tap"]]
