"""A browser page that runs our scripts alone: no server, no network; the files come from the folder."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Browser, Page, Route

from tests.browser.chromium import browsing
from tests.rules.house import ROOT

HOME = "http://phone.example/"


def _serve(route: Route) -> None:
    name = route.request.url.removeprefix(HOME).split("?")[0]
    found = [path for folder in ("static/js/live", "static/js") if (path := ROOT / folder / name).is_file()]
    if name.endswith(".js") and found:
        route.fulfill(body=found[0].read_text(), content_type="text/javascript")
    else:
        route.fulfill(body="<!doctype html><title>phone</title>", content_type="text/html")


@contextmanager
def bare_page() -> Iterator[Page]:
    """An empty page from which our modules can be imported."""
    with browsing() as browser:
        yield fresh(browser)


def fresh(browser: Browser) -> Page:
    """One more such page: nothing of another's listens to it."""
    page = browser.new_page()
    page.route("**/*", _serve)
    page.goto(HOME)
    return page


def run(page: Page, module: str, body: str, given: Any = None) -> Any:
    """Run the body of a function of (module, given) in the page."""
    script = f"async ([name, given]) => {{ const module = await import(`/${{name}}`); {body} }}"
    return page.evaluate(script, [module, given])
