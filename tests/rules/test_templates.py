"""What the pages' strict content policy or a page without JavaScript would break, one test a template."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.rules.house import short, templates

FORBIDDEN = {
    "an inline script": re.compile(r"<script(?![^>]*\bsrc=)(?![^>]*type=\"application/json\")", re.I),
    "an inline style": re.compile(r"\sstyle\s*=|<style", re.I),
    "hx-on": re.compile(r"\shx-on", re.I),
    "an event attribute": re.compile(r"\son[a-z]+\s*=", re.I),
    "a js: value": re.compile(r"\bjs:|javascript:", re.I),
    "a trigger filter": re.compile(r"hx-trigger\s*=\s*(\"[^\"]*\[|'[^']*\[)", re.I),
    "a misspelt htmx attribute": re.compile(r"hx-disable-elt", re.I),
    "something unfinished": re.compile(r"TODO|FIXME|XXX|lorem ipsum", re.I),
    "a link to another host": re.compile(r"(?:src|href|action)\s*=\s*[\"'](?:https?:)?//", re.I),
    "a form that sends without a token": re.compile(
        r"<form(?=[^>]*method=[\"']post)(?:(?!</form>)(?!csrf_token).)*</form>", re.I | re.S
    ),
}


@pytest.mark.parametrize("path", templates(), ids=short)
def test_the_template_keeps_the_content_policy(path: Path) -> None:
    text = path.read_text()
    assert [what for what, pattern in FORBIDDEN.items() if pattern.search(text)] == []


@pytest.mark.parametrize("what", FORBIDDEN)
def test_the_pattern_finds_what_it_forbids(what: str) -> None:
    examples = {
        "an inline script": "<script>alert(1)</script>",
        "an inline style": '<p class="a" style="color:red">',
        "hx-on": '<p hx-on:click="x">',
        "an event attribute": '<p onclick="x">',
        "a js: value": "hx-vals='js:{a: 1}'",
        "a trigger filter": '<p hx-trigger="click[ctrlKey]">',
        "a misspelt htmx attribute": "<p hx-disable-elt='this'>",
        "something unfinished": "{# TODO #}",
        "a link to another host": '<a href="https://host.example">',
        "a form that sends without a token": '<form method="post"><button>Go</button></form>',
    }
    assert FORBIDDEN[what].search(examples[what])
