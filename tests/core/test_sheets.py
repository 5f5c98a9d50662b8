"""The style sheets hang together: layers, tokens, no sheet that no page loads, and few files on the way to a phone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings

from clubapp.core import sheets

ROOT = Path(settings.BASE_DIR)
SHEETS = sorted((ROOT / "static/css").rglob("*.css"))
TEMPLATES = "".join(path.read_text() for path in (ROOT / "templates").rglob("*.html"))
COMMENT = re.compile(r"/\*.*?\*/", re.S)
DEFINED = re.compile(r"(--[\w-]+)\s*:")
USED = re.compile(r"var\((--[\w-]+)\s*(,?)")
LAYERS = {"reset", "tokens", "base", "components", "pages", "utilities"}


def text(path: Path) -> str:
    return COMMENT.sub("", path.read_text())


def name(path: Path) -> str:
    return str(path.relative_to(ROOT / "static"))


# Where colours get their names; on paper black is black, and to the caller a colour is the cue itself.
NAMED_THERE = ("tokens.css", "marks.css", "print.css", "caller.css")
ALL_DEFINED = {token for path in SHEETS for token in DEFINED.findall(text(path))}


@pytest.mark.parametrize("path", SHEETS, ids=name)
def test_every_token_a_sheet_uses_is_defined(path: Path) -> None:
    wanted = {token for token, fallback in USED.findall(text(path)) if not fallback}
    assert wanted - ALL_DEFINED == set()


@pytest.mark.parametrize("path", SHEETS, ids=name)
def test_some_page_loads_the_sheet(path: Path) -> None:
    joined = [one for one, parts in sheets.JOINED.items() if name(path) in parts]
    assert any(one in TEMPLATES for one in (name(path), *joined))


@pytest.mark.parametrize("joined", sheets.JOINED)
def test_a_joined_sheet_holds_its_parts_in_order_and_no_comment(joined: str) -> None:
    made = (Path(settings.STATIC_ROOT) / joined).read_text()
    assert "/*" not in made
    begun = [text(ROOT / "static" / part).split(maxsplit=9)[:8] for part in sheets.JOINED[joined]]
    words, at = made.split(), 0
    for start in begun:
        at = next(place for place in range(at, len(words)) if words[place : place + len(start)] == start) + 1
    assert made.count("{") == sum(text(ROOT / "static" / part).count("{") for part in sheets.JOINED[joined])


def test_the_layers_are_named_before_any_is_filled() -> None:
    assert (Path(settings.STATIC_ROOT) / sheets.COMMON).read_text().startswith("@layer reset, tokens, base,")


def test_no_page_waits_for_many_sheets() -> None:
    """A phone fetches six files at a time; what is behind them waits for another round trip."""
    for path in (ROOT / "templates").rglob("*.html"):
        assert path.read_text().count('rel="stylesheet"') <= 1, path


def test_a_sheet_that_reaches_for_a_file_from_elsewhere_is_refused() -> None:
    with pytest.raises(ValueError, match=r"css/print\.css: what it reaches for"):
        sheets.join(lambda part: "a { b: url(../icons/x.svg) }" if part == "css/print.css" else "")
    assert sheets.join(lambda part: "a { b: url('data:x') }")[sheets.COMMON]


@pytest.mark.parametrize("path", SHEETS, ids=name)
def test_every_rule_stands_in_a_layer(path: Path) -> None:
    """A rule outside the layers would win over all of them."""
    rest = re.sub(r"@layer [\w, ]+;", "", text(path)).strip()
    assert top_blocks(rest) <= {*(f"@layer {layer}" for layer in LAYERS), "@media print"}


def top_blocks(css: str) -> set[str]:
    """What stands before the outermost braces."""
    heads, depth, start = set(), 0, 0
    for place, sign in enumerate(css):
        if sign == "{":
            if depth == 0:
                heads.add(" ".join(css[start:place].split()))
            depth += 1
        elif sign == "}":
            depth -= 1
            start = place + 1
    assert depth == 0
    return heads


@pytest.mark.parametrize("start", [":root:not([data-sun])", ":root[data-sun]"])
def test_night_and_bright_sun_change_raw_numbers_only(start: str) -> None:
    sheet = text(ROOT / "static/css/tokens.css")
    block = sheet[sheet.index(start) :].split("}", 1)[0]
    assert {token for token in DEFINED.findall(block) if not token.startswith("--raw-")} == set()


@pytest.mark.parametrize("path", [path for path in SHEETS if path.name not in NAMED_THERE], ids=name)
def test_colours_are_named_by_their_meaning(path: Path) -> None:
    assert re.findall(r"#[0-9a-f]{3,8}\b|\brgba?\(|\bhsla?\(|oklch\(", text(path), re.I) == []


@pytest.mark.parametrize("path", SHEETS, ids=name)
def test_nothing_floats_on_shadows_or_gradients(path: Path) -> None:
    """A hatch with hard edges is drawn by a repeating gradient and is no shade."""
    assert re.findall(r"box-shadow|text-shadow|drop-shadow|(?<!repeating-)(?:linear|radial)-gradient", text(path)) == []
