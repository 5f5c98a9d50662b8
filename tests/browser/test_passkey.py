"""A passkey by the browser's own authenticator: added, and then the whole way in."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

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
