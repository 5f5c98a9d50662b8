"""What only a browser can do: a passkey by its own authenticator, and notices that it asks for."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qs

from playwright.sync_api import Browser, Route, expect

from tests.browser.chromium import Watch, phone, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served
from tests.cast import PASSWORD


def test_a_passkey_is_added_and_signs_in_alone_under_the_strict_policy(browser: Browser, served: Served) -> None:
    context = browser.new_context(base_url=f"http://localhost:{served.port}", viewport={"width": 390, "height": 844})
    page = context.new_page()
    troubles: list[str] = []
    page.on("console", lambda line: troubles.append(line.text) if line.type == "error" else None)
    # A passkey belongs to a name, never to an address in figures.
    device = context.new_cdp_session(page)
    device.send("WebAuthn.enable")
    options = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True}
    device.send(
        "WebAuthn.addVirtualAuthenticator",
        {"options": options | {"isUserVerified": True, "automaticPresenceSimulation": True}},
    )
    page.goto("/people/sign-in/")
    page.get_by_label("E-mail", exact=True).fill("hazel@alder.example")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    expect(page.get_by_role("link", name="Your sign-ins")).to_be_visible()
    page.goto("/account/keys/add/")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Add this phone").click()
    expect(page.get_by_role("heading", name="Spare codes")).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="With a passkey").click()
    expect(page.get_by_role("link", name="Squad list").first).to_be_visible()
    page.goto("/account/keys/")
    expect(page.get_by_text("None yet.")).to_have_count(0)
    assert troubles == []
    context.close()


# A browser without a push service of its own; `says` is what its owner answers to the question.
PUSHES = """window.says = "denied"; window.given = null;
Notification.requestPermission = async () => window.says;
PushManager.prototype.getSubscription = async () => window.given;
PushManager.prototype.subscribe = async ({ userVisibleOnly, applicationServerKey }) => window.given = {
    options: { applicationServerKey: applicationServerKey.buffer },
    toJSON: () => ({ endpoint: "https://fcm.googleapis.com/x", keys: { p256dh: "P", auth: "A" } }),
    unsubscribe: async () => { window.given = null; return true; },
};"""


def test_notices_are_turned_on_by_a_tap_and_off_again(browser: Browser, served: Served, stage: Stage) -> None:
    watch = Watch(served.home)
    context, page = phone(browser, watch)
    context.add_cookies(stage.cookies("greta", served.home))
    context.add_init_script(PUSHES)
    sent: list[dict[str, Any]] = []

    def club(route: Route) -> None:
        """Takes what is sent, so that no push service is asked by a test."""
        if route.request.method != "POST":
            return route.continue_()
        sent.append({name: value[0] for name, value in parse_qs(route.request.post_data or "").items()})
        return route.fulfill(json={"said": f"Taken {len(sent)}."})

    page.route("**/family/notices/", club)
    page.goto(f"{served.home}/family/notices/")
    changes = page.get_by_label("a session is called off or changed")
    changes.tap()
    expect(page.get_by_text("This browser does not let Fieldbell show notices.")).to_be_visible()
    expect(changes).not_to_be_checked()
    assert sent == []
    page.evaluate("window.says = 'granted'")
    changes.tap()
    expect(page.get_by_text("Taken 1.")).to_be_visible()
    expect(changes).to_be_checked()
    changes.tap()
    expect(page.get_by_text("Taken 2.")).to_be_visible()
    page.wait_for_function("() => window.given === null")
    on, off = sent
    assert {name: on[name] for name in ("changes", "endpoint", "p256dh", "auth")} == {
        "changes": "on",
        "endpoint": "https://fcm.googleapis.com/x",
        "p256dh": "P",
        "auth": "A",
    }
    assert set(off) == {"csrfmiddlewaretoken"}
    put_away(context)
    watch.nothing()
