"""What is seen only for a moment, or only when something goes wrong: sheets, strips, warnings, error pages."""

from __future__ import annotations

from dataclasses import replace

from clubapp.desk.screens.scene import (
    AHEAD,
    BELL,
    PLAN,
    REGISTER,
    ROWS,
    SHOWN,
    STATION,
    STAYS,
    Scene,
    click,
    press,
    there,
)

CALLING, TIMING = "/bell/{session}/station/{station2}/", f"{STATION}stopwatch/"
MARK = click("#children button.mark-tap")
# A browser in which a new version of the pages waits; and a club that has no such child any more.
NEW_VERSION = """const none = () => {};
const registration = { waiting: { postMessage: none }, addEventListener: none, update: async () => {} };
const worker = { controller: null, register: async () => registration, addEventListener: none };
Object.defineProperty(Navigator.prototype, "serviceWorker", { get: () => worker });"""
REFUSING = """const ask = window.fetch;
const gone = async () => new Response("", { status: 404 });
window.fetch = (to, how) => (how?.method === "POST" ? gone() : ask(to, how));"""
NO_WISH = """(() => {
  const field = document.querySelector("[name=largest_age_gap]");
  field.value = [...field.options].map((one) => one.value).filter(Boolean)[0];
  field.form.requestSubmit();
})()"""


def steps(scene: Scene, *pairs: tuple[str, str]) -> Scene:
    """With what is done, and what is then waited for."""
    return replace(scene, acts=tuple(act for act, _until in pairs), until=tuple(until for _act, until in pairs))


def sheet(name: str, who: str, path: str, *pairs: tuple[str, str], cut: bool = False) -> Scene:
    """On a running bell's page. cut: nothing of it reaches the club, whose evening stays as it is."""
    return steps(Scene(name, who, path, "work", cut=1 if cut else None), ("0", SHOWN), *pairs)


def counting(name: str, *pairs: tuple[str, str]) -> Scene:
    return sheet(name, "stranded", CALLING, (click("[data-count]"), there("dialog[data-ask][open]")), *pairs, cut=True)


def alarm(name: str, who: str, path: str, *pairs: tuple[str, str]) -> Scene:
    return steps(Scene(name, who, path, "missing"), ("0", SHOWN), *pairs)


NAMES = "document.querySelectorAll('[data-ask] .names .button').length > 0"
CHILD = (click("[data-ask] .names .button"), there("[data-ask] .danger"))
WAITS = there(".outbox-line")
LEAVE = (click("form[data-leave] button"), there("#messages button"))

MOMENTS = (
    sheet("bell-undo", "coach", BELL, (click("[name=add][value='30']"), there("[value=undo]"))),
    sheet("sound-sheet", "assistant", STATION, (click("[data-sound-open]"), there("[data-sound-sheet]"))),
    sheet("set-up", "assistant", STATION, (click(".set-up summary"), there(".set-up-text"))),
    sheet("incident-sheet", "assistant", STATION, (click("[data-incident]"), there("[data-note-sheet]"))),
    counting("count-sheet"),
    counting("count-who", (press("2"), NAMES)),
    counting("count-where", (press("2"), NAMES), CHILD),
    counting("count-extra", (press("7"), NAMES)),
    sheet("calling", "assistant", f"{CALLING}caller/", (click("[data-caller-start]"), there("[data-cue]"))),
    sheet("timing-many", "stranded", TIMING, (click("[data-sw-mode=many]"), "true"), (click("[data-sw-big]"), "true")),
    sheet("timing-one", "stranded", TIMING, (click("[data-sw-mode=one]"), there("[data-sw-list] *"))),
    steps(Scene("new-version", "assistant", "/", early=NEW_VERSION), ("0", there("#release button"))),
    steps(Scene("register-refused", "stranded", REGISTER, early=REFUSING), ("0", ROWS), (MARK, WAITS)),
    steps(Scene("sign-out-warning", "stranded", REGISTER, cut=1), ("0", ROWS), (MARK, WAITS), LEAVE),
    steps(Scene("plan-clash", "coach", PLAN, status=422), (NO_WISH, there(".clashes"))),
    *(
        Scene(f"error-{name}", "nobody", "/offline/", instead=f"core/error_{name}.html")
        for name in ("400", "403", "413", "429", "500", "forged")
    ),
)
TAKE = ("document.querySelector('[form=take], #take button').click()", there(".replanned"))
MOMENTS += (
    steps(Scene("register-late", "coach", REGISTER, early=AHEAD % 20), ("0", there(".no-word"))),
    steps(Scene("plan-taken", "coach", f"{BELL}changed/?lost=5", "work", early=STAYS), TAKE),
)
RINGS = ("0", there(".alarm"))
ALARMS = (
    alarm("alarm-leader", "coach", BELL, RINGS),
    alarm("alarm-station", "assistant", CALLING, RINGS),
    alarm("alarm-helper", "helper", CALLING, RINGS),
    alarm("alarm-found", "coach", BELL, (click(".found summary"), there(".found form"))),
    steps(Scene("register-rings", "assistant", REGISTER, "missing"), ("0", there(".ringing"))),
)
HOME = f"{REGISTER}home/"
AFTER = (
    steps(Scene("going-home-open", "coach", HOME, "ended"), (click(".leaving summary"), there(".leaving form"))),
    steps(Scene("going-home-late", "coach", HOME, "ended", early=AHEAD % 80), ("0", there("#late"))),
    Scene("register-ended", "coach", REGISTER, "ended"),
    Scene("register-ended-assistant", "assistant", REGISTER, "ended"),
    Scene("home-ended", "coach", "/", "ended"),
    Scene("family-ended", "guardian", "/family/{own}/", "ended"),
)
