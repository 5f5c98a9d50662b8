"""What there is to look at, in an order in which the evening only goes on."""

from __future__ import annotations

from clubapp.desk.screens.further import FURTHER
from clubapp.desk.screens.moments import AFTER, ALARMS, MOMENTS
from clubapp.desk.screens.scene import (
    BELL,
    LATER,
    PLAIN_HTTP,
    PLAN,
    REGISTER,
    ROWS,
    SHOWN,
    STATION,
    Scene,
    click,
    there,
)


def plain(who: str, *rows: tuple[str, str]) -> tuple[Scene, ...]:
    return tuple(Scene(name, who, path) for name, path in rows)


PAGES = (
    *plain("nobody", ("sign-in", "/people/sign-in/"), ("offline", "/offline/"), ("code", "/bell/code/")),
    *plain("nobody", ("gate", "{gate}"), ("invitation", "{invitation}")),
    Scene("not-there", "nobody", "/nowhere/", status=404),
    *plain(
        "coach",
        ("home", "/"),
        ("athletes", "/people/athletes/"),
        ("athlete", "/people/athletes/{kin}/"),
        ("child", "/child/{kin}/"),
        ("athlete-merge", "/people/athletes/{kin}/merge/"),
        ("athlete-merge-two", "/people/athletes/{kin}/merge/?other={child}"),
        ("waiting-list", "/people/waiting-list/"),
        ("athlete-new", "/people/athletes/new/"),
        ("athlete-erase", "/people/athletes/{kin}/erase/"),
        ("medical-note", "/people/athletes/{kin}/health/"),
        ("guardian-new", "/people/athletes/{kin}/adults/new/"),
        ("progress", "/progress/"),
        ("progress-child", "/progress/{kin}/"),
        ("progress-beside", "/progress/{kin}/?beside=published"),
        ("squads", "/people/squads/"),
        ("squad", "/people/squads/{squad}/"),
        ("pair-rules", "/people/pairs/"),
        ("pair-rule", "/people/pairs/{rule}/"),
        ("members", "/people/members/"),
        ("member", "/people/members/{member}/"),
        ("roster", "/people/roster/"),
        ("columns", "/people/roster/{draft}/columns/"),
        ("preview", "/people/roster/{draft}/"),
        ("sessions", "/sessions/"),
        ("activities", "/activities/"),
        ("activity", "/activities/river-bends/"),
        ("activity-drawing", "/activities/river-bends/drawing/"),
        ("activity-new", "/activities/new/"),
        ("activities-bring-in", "/activities/bring-in/"),
        ("session-new", "/sessions/new/"),
        ("session", "/sessions/{session}/"),
        ("station-edit", "/sessions/stations/{station1}/"),
        ("register", REGISTER),
        ("register-other", f"{REGISTER}{{child}}/"),
        ("going-home", f"{REGISTER}home/"),
        ("plan", PLAN),
        ("paper", "/paper/{session}/"),
        ("paper-session", "/paper/{session}/session/"),
        ("paper-stations", "/paper/{session}/stations/"),
        ("paper-register", "/paper/{session}/register/"),
        ("paper-emergency", "/paper/{session}/emergency/"),
        ("games", "/games/{session}/"),
        ("games-new", "/games/{session}/new/?kind=relays"),
        ("games-heats", "/games/{session}/{tonight_heats}/"),
        ("games-heats-enter", "/games/{session}/{tonight_heats}/enter/1/"),
        ("games-heats-order", "/games/{past}/{heats}/order/"),
        ("games-relay", "/games/{past}/{relays}/"),
        ("games-relay-enter", "/games/{session}/{tonight_relays}/enter/1/"),
        ("games-relay-order", "/games/{past}/{relays}/order/"),
        ("games-handicap", "/games/{session}/{tonight_handicaps}/"),
        ("games-handicap-enter", "/games/{session}/{tonight_handicaps}/enter/1/"),
        ("games-handicap-order", "/games/{past}/{handicaps}/order/"),
        ("games-stopgo", "/games/{session}/{tonight_stopgo}/"),
        ("games-stopgo-enter", "/games/{session}/{tonight_stopgo}/enter/1/"),
        ("games-stopgo-order", "/games/{past}/{stopgo}/order/"),
        ("games-small", "/games/{past}/{small}/"),
        ("games-small-new", "/games/{session}/new/?kind=wall"),
        ("games-small-enter", "/games/{session}/{tonight_small}/enter/2/"),
        ("games-wall", "/games/{session}/{tonight_wall}/"),
        ("games-wall-enter", "/games/{session}/{tonight_wall}/enter/2/"),
        ("games-term", "/games/term/{squad}/"),
        ("games-term-order", "/games/term/{squad}/order/"),
        ("games-wall-order", "/games/{session}/{tonight_wall}/order/"),
        ("plan-costs", f"{PLAN}costs/"),
        ("plan-changed", f"{BELL}changed/?lost=5"),
        ("passes", f"{BELL}pass/"),
        ("lead", f"{BELL}lead/"),
        ("incidents", "/bell/incidents/"),
        ("incident", "/bell/incidents/{incident}/"),
        ("not-before", f"{BELL}not-before/{{child}}/"),
        ("times", f"{BELL}times/"),
    ),
    *plain(
        "assistant",
        ("home-assistant", "/"),
        ("phone", "/phone/"),
        ("register-assistant", REGISTER),
        ("health", f"{REGISTER}{{child}}/health/"),
        ("new-child", f"{REGISTER}new-child/"),
        ("emergency", f"{REGISTER}emergency/"),
        ("session-assistant", "/sessions/{session}/"),
        ("count", f"{BELL}count/{{station1}}/"),
        ("incident-new", f"{BELL}incident/"),
    ),
    *plain("helper", ("health-helper", f"{BELL}health/{{child}}/")),
    *plain("waiter", ("waiting", "/bell/waiting/")),
    *plain(
        "guardian",
        ("family", "/family/"),
        ("family-child", "/family/{own}/"),
        ("family-tests", "/family/{own}/tests/"),
        ("family-consents", "/family/{own}/consents/"),
        ("family-contact", "/family/contact/"),
    ),
    Scene("phone-http", "assistant", "/phone/", early=PLAIN_HTTP),
    Scene(
        "sign-in-wrong",
        "nobody",
        "/people/sign-in/",
        acts=(
            "for (const one of document.querySelectorAll('main input:not([type=hidden])')) one.value = 'a@b.example'",
            "document.querySelector('main form').requestSubmit()",
        ),
        until=("true", there("[role=alert], .wrong, .errorlist")),
    ),
    Scene(
        "register-waiting",
        "assistant",
        REGISTER,
        cut=0,
        acts=("0", click("#children button.mark-tap")),
        until=(ROWS, there(".outbox-line")),
    ),
    Scene(
        "register-sheet",
        "assistant",
        REGISTER,
        acts=(click("[data-sheet], a[href$='new-child/']"),),
        until=(there("dialog[open]"),),
    ),
    Scene("register-over", "assistant", REGISTER, early=LATER),
    Scene("register-over-leader", "coach", REGISTER, early=LATER),
)


def board(name: str, evening: str, until: str = SHOWN) -> tuple[Scene, ...]:
    """The three pages an evening is run from: the leader's, a station, a helper's."""
    pages = (("leader", "coach", BELL), ("station", "assistant", STATION), ("helper", "helper", STATION))
    return tuple(
        Scene(f"bell-{name}-{place}", who, path, evening, until=(until,), acts=("0",)) for place, who, path in pages
    )


TROUBLES = (
    Scene("bell-offline", "coach", BELL, "work", cut=0, acts=("0",), until=(there("[data-net]:not(:empty)"),)),
    Scene(
        "station-offline", "assistant", STATION, "work", cut=0, acts=("0",), until=(there("[data-net]:not(:empty)"),)
    ),
    Scene("station-over", "assistant", STATION, "work", early=LATER),
    Scene("whole-field", "assistant", BELL, "work", acts=("0",), until=(SHOWN,)),
    Scene("stopwatch", "assistant", f"{STATION}stopwatch/", "work"),
    Scene("caller", "assistant", "/bell/{session}/station/{station2}/caller/", "work"),
)

GAMES = "/games/{session}/"
BEGIN = "document.querySelector('button[value=begin]')?.click()"
GAME_PAGES = (
    *plain(
        "coach",
        ("game-freeze-new", f"{GAMES}new/?kind=freeze"),
        ("game-freeze", f"{GAMES}{{tonight_freeze}}/"),
        ("game-freeze-over", "/games/{past}/{freeze}/"),
        ("game-freeze-order", "/games/{past}/{freeze}/order/"),
    ),
    Scene(
        "game-tally",
        "assistant",
        f"{GAMES}{{tonight_freeze}}/",
        "work",
        acts=(BEGIN,),
        until=(there("[data-turn-word]:not(:empty)"),),
    ),
)

SCENES = (
    *board("before", "not begun"),
    *board("gather", "gather"),
    *board("work", "work"),
    *PAGES,
    *FURTHER,
    *TROUBLES,
    *MOMENTS,
    *ALARMS,
    *GAME_PAGES,
    *board("last-ten", "last ten", "document.documentElement.hasAttribute('data-last')"),
    *board("move", "change"),
    *board("water", "water"),
    *board("paused", "paused"),
    *board("stop", "stop"),
    *board("thunder", "thunder"),
    *board("over", "over"),
    *board("ended", "ended"),
    *AFTER,
)
