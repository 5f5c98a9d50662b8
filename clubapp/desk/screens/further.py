"""The pages round the evening itself: planning, venues, results, the office, a family's own, and a sign-in's."""

from __future__ import annotations

from clubapp.desk.screens.scene import BELL, REGISTER, Scene

SESSION = "/sessions/{session}/"
ADDRESSES = {
    "coach": (
        ("menu", f"{SESSION}suggest/"),
        ("field", f"{SESSION}field/"),
        ("move", f"{SESSION}move/"),
        ("lines", f"{SESSION}lines/"),
        ("series", f"{SESSION}series/"),
        ("templates", f"{SESSION}templates/"),
        ("term", "/sessions/term/"),
        ("messages", "/sessions/messages/"),
        ("venues", "/venues/"),
        ("venue-new", "/venues/new/"),
        ("safety", f"{REGISTER}safety/"),
        ("no-word", f"{REGISTER}no-word/"),
        ("register-log", f"{REGISTER}log/"),
        ("register-child", "/register/child/{kin}/"),
        ("register-term", "/register/term/"),
        ("tests", "/tests/"),
        ("test", "/tests/sprint-20-m/"),
        ("test-new", "/tests/new/"),
        ("keeping", "/people/keeping/"),
        ("log", "/people/log/"),
        ("mails", "/people/mails/"),
        ("concern-new", "/people/concerns/new/"),
        ("entry-choose", f"{BELL}enter/"),
        ("entry", f"{BELL}enter/sprint-20-m/"),
        ("sign-ins", "/account/"),
        ("password", "/account/password/"),
        ("steps", "/account/steps/"),
    ),
    "nobody": (("code-by-mail", "/account/code/"), ("password-forgotten", "/account/forgotten/")),
    "guardian": (
        ("family-calendar", "/family/calendar/"),
        ("family-notices", "/family/notices/"),
        ("family-messages", "/family/messages/"),
        ("family-health", "/family/{own}/health/"),
        ("family-pick-up", "/family/{own}/pick-up/{session}/"),
    ),
}
FURTHER = tuple(Scene(name, who, path) for who, rows in ADDRESSES.items() for name, path in rows)
