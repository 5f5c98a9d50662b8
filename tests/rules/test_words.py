"""The words people see are the trade's own (the table in DEVELOPERS.md), and every one goes through gettext."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.rules.house import modules, short, templates

# Word on the left: what to say instead.
INSTEAD = {
    "users?": "the person's role",
    "events?": "session",
    "team ?sheets?": "groups",
    "players?": "child or athlete",
    "kids?": "child",
    "workouts?": "session",
    "exercises?": "activity",
    "(?<!first-)timers?": "the bell",
    "shuffled?|shuffle": "build again",
    "trials?": "timed test",
    "repair(?:ed|s)?": "fit in, close",
    "drills?": "activity",
    "log ?in|login|log ?out|logout": "sign in, sign out",
    "delete": "remove, take away",
    "invalid": "what is wrong and what to do",
}
FORBIDDEN = re.compile(r"\b(" + "|".join(INSTEAD) + r")\b", re.I)

GETTEXT = {"_", "gettext", "gettext_lazy", "ngettext", "ngettext_lazy", "pgettext", "_n", "_l"}
COMMENT = re.compile(r"{#.*?#}|{% comment .*?%}.*?{% endcomment %}|<!--.*?-->", re.S)
TRANSLATED = re.compile(r"{%-?\s*(?:translate|trans)\s+(\"[^\"]*\"|'[^']*')[^%]*%}")
BLOCK = re.compile(r"{%\s*blocktrans(?:late)?\b.*?%}(.*?){%\s*endblocktrans(?:late)?\s*%}", re.S)
TAG = re.compile(r"{%.*?%}|{{.*?}}|<[^>]*>", re.S)
VERBATIM = re.compile(r"<(script|style|svg)\b.*?</\1>", re.S | re.I)
SPOKEN_ATTRIBUTE = re.compile(r"\b(?:placeholder|aria-label|title|alt)\s*=\s*\"([^\"]*)\"")
# A block that names a class of the page, not a word to read.
UNREAD = re.compile(r"{%\s*block body_class\s*%}.*?{%\s*endblock\s*%}", re.S)
# Names that no language changes.
NAMES = {"Fieldbell"}


def seen_words(text: str) -> str:
    """What a person reads: translated strings, and bare text if there should be any."""
    text = COMMENT.sub(" ", text)
    spoken = TRANSLATED.findall(text) + BLOCK.findall(text) + SPOKEN_ATTRIBUTE.findall(text)
    return " ".join([*spoken, bare_words(text)])


def bare_words(text: str) -> str:
    """Text that stands in the page without gettext."""
    text = BLOCK.sub(" ", VERBATIM.sub(" ", UNREAD.sub(" ", COMMENT.sub(" ", text))))
    spoken = " ".join(TAG.sub(" ", value) for value in SPOKEN_ATTRIBUTE.findall(text))
    # Attributes may hold template tags with quotes and angle brackets: take those out first.
    rest = re.sub(r"<[^>]*>", " ", re.sub(r"{%.*?%}|{{.*?}}", " ", text, flags=re.S))
    words = re.findall(r"[A-Za-z]{2,}", re.sub(r"&\w+;", " ", f"{spoken} {rest}"))
    return " ".join(word for word in words if word not in NAMES)


def strings_of(path: Path) -> list[str]:
    """Strings a module hands to gettext."""
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in GETTEXT:
            found += [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
    return found


@pytest.mark.parametrize("path", templates(), ids=short)
def test_the_page_speaks_the_trade(path: Path) -> None:
    assert FORBIDDEN.findall(seen_words(path.read_text())) == []


@pytest.mark.parametrize("path", templates(), ids=short)
def test_every_sentence_goes_through_gettext(path: Path) -> None:
    assert bare_words(path.read_text()) == ""


def test_the_code_speaks_the_trade() -> None:
    # Labels never shown to anybody would still be seen by a translator.
    found = {short(path): FORBIDDEN.findall(text) for path in modules() for text in strings_of(path)}
    assert {name: words for name, words in found.items() if words} == {}


def test_a_wrong_word_is_found() -> None:
    assert FORBIDDEN.findall(seen_words('<p>{% translate "Shuffle the first-timers, player" %}</p>')) == [
        "Shuffle",
        "player",
    ]
    assert FORBIDDEN.search(seen_words('<input placeholder="New user">'))
    assert bare_words('<p class="{% if a > b %}x{% endif %}">Hello there</p>') == "Hello there"
