"""Our scripts as one file: the same modules, each run once, and nothing that is not understood let through."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.staticfiles.storage import staticfiles_storage
from playwright.sync_api import Route

from clubapp.core import joined
from tests.browser.chromium import browsing

HOME = "http://joined.example"
MODULES = {
    "js/first.js": 'import { more, name as all } from "./deep/second.js";\n\nmore();\nwindow.told = [all, more()];\n',
    "js/third.js": 'import { more } from "./deep/second.js";\nwindow.again = more();\n',
    "js/deep/second.js": (
        '// Counts.\nexport const name = "second";\nlet many = 0;\nconst lines = `\n// stays\n`;\n'
        "export function more() {\n  many += 1;\n  return lines.trim() + many;\n}\n"
    ),
}


def test_modules_are_run_once_in_the_order_they_need_one_another() -> None:
    made = joined.join(MODULES)

    def answer(route: Route) -> None:
        name = route.request.url.removeprefix(f"{HOME}/")
        page = "".join(f'<script type="module" src="/{joined.stub_of(one)}"></script>' for one in MODULES)
        body, kind = (made[name], "text/javascript") if name in made else (page, "text/html")
        route.fulfill(body=body, content_type=kind)

    with browsing() as browser:
        page = browser.new_page()
        page.route(f"{HOME}/**", answer)
        page.goto(f"{HOME}/page")
        page.wait_for_function("() => window.again")
        assert page.evaluate("[window.told, window.again]") == [["second", "// stays2"], "// stays3"]


APART = {
    "js/live/stopwatch/page.js": (
        'import { tell } from "./own.js";\nimport { name } from "../../deep/second.js";\ntell(name);\n'
    ),
    "js/live/stopwatch/own.js": "export const tell = (text) => { window.apart = text; };\n",
}


def test_what_one_page_alone_needs_is_a_file_of_its_own_and_shares_the_rest() -> None:
    made = joined.join({**MODULES, **APART})
    own = joined.APART["js/live/stopwatch/"]
    assert "window.apart" in made[own]
    assert "window.apart" not in made[joined.ALL]
    assert "export const use" in made[own]

    def answer(route: Route) -> None:
        name = route.request.url.removeprefix(f"{HOME}/")
        page = f'<script type="module" src="/{joined.stub_of("js/live/stopwatch/page.js")}"></script>'
        body, kind = (made[name], "text/javascript") if name in made else (page, "text/html")
        route.fulfill(body=body, content_type=kind)

    with browsing() as browser:
        page = browser.new_page()
        page.route(f"{HOME}/**", answer)
        page.goto(f"{HOME}/page")
        page.wait_for_function("() => window.apart === 'second'")


def test_other_pages_cannot_take_from_a_file_they_do_not_load() -> None:
    modules = {**APART, **MODULES, "js/wrong.js": 'import { tell } from "./live/stopwatch/own.js";\ntell();\n'}
    with pytest.raises(ValueError, match=r"js/wrong\.js: takes js/live/stopwatch/own\.js"):
        joined.join(modules)


def test_comments_stay_at_home() -> None:
    assert "Counts" not in joined.join(MODULES)[joined.ALL]


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ('import * as all from "./b.js";\nexport const a = 1;\n', "cannot be joined"),
        ('import "./b.js";\n', "cannot be joined"),
        ("export let a = 1;\n", "cannot be joined"),
        ("export default 1;\n", "cannot be joined"),
        ('export const a = () => import("./b.js");\n', "cannot be joined"),
        ('import { b } from "./c.js";\n', "what is not there"),
        ('import { b } from "./b.js";\nexport const a = b;\n', "in a circle"),
    ],
)
def test_other_forms_are_refused(source: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        joined.join({"js/a.js": source, "js/b.js": 'import { a } from "./a.js";\nexport const b = a;\n'})


def test_a_page_gets_the_stub_and_the_stub_the_joined_file_by_its_hashed_name() -> None:
    names = json.loads((settings.STATIC_ROOT / "staticfiles.json").read_text())["paths"]
    assert staticfiles_storage.url("js/app.js") == f"/static/{names[joined.stub_of('js/app.js')]}"
    stub = Path(settings.STATIC_ROOT / names[joined.stub_of("js/app.js")]).read_text()
    assert names[joined.ALL].removeprefix(joined.FOLDER) in stub


def test_a_script_that_is_no_module_is_served_as_it_is() -> None:
    assert staticfiles_storage.url("js/first.js").startswith("/static/js/first.")
