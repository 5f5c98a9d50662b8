"""What a phone may say over its socket."""

from __future__ import annotations

import json
import uuid
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.live import messages
from clubapp.live.messages import Ask, BadMessageError, Ping, Tap

OP = str(uuid.uuid4())
GOOD = {"type": "command", "op_id": OP, "kind": "add", "seen": 3, "seconds": -30}


def read(row: Any) -> messages.Heard:
    return messages.read(json.dumps(row))


def test_the_three_messages() -> None:
    assert read({"type": "ping", "t0": 12.5}) == Ping(12.5)
    assert read({"type": "ask"}) == Ask()
    assert read(GOOD) == Tap(uuid.UUID(OP), "add", 3, -30)
    assert read({**GOOD, "kind": "next", "index": 4}) == Tap(uuid.UUID(OP), "next", 3, 0, 4)


@pytest.mark.parametrize(
    "text",
    [
        None,
        "",
        "hello",
        "[]",
        "7",
        "{}",
        '{"type": 7}',
        '{"type": "ping"}',
        '{"type": "ping", "t0": true}',
        '{"type": "ping", "t0": 1e999}',
        '{"type": "ping", "t0": NaN}',
        '{"type": "command"}',
        json.dumps({**GOOD, "op_id": 7}),
        json.dumps({**GOOD, "op_id": "\ud800"}),
        json.dumps({**GOOD, "kind": "explode"}),
        json.dumps({**GOOD, "kind": ["add"]}),
        json.dumps({**GOOD, "seconds": 1.5}),
        json.dumps({**GOOD, "seconds": 601}),
        json.dumps({**GOOD, "seen": -1}),
        json.dumps({**GOOD, "index": "3"}),
        "x" * 2001,
    ],
)
def test_anything_else_is_refused_with_a_sentence(text: str | None) -> None:
    with pytest.raises(BadMessageError, match=r"\.$"):
        messages.read(text)


@given(
    st.one_of(
        st.text(max_size=200),
        st.recursive(
            st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=9)),
            lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.sampled_from(list(GOOD)), inner)),
        ).map(json.dumps),
    )
)
def test_whatever_comes_is_read_or_refused(text: str) -> None:
    with suppress(BadMessageError):
        assert isinstance(messages.read(text), Ping | Ask | Tap)


def test_deep_brackets_break_nothing() -> None:
    with suppress(BadMessageError):
        messages.read('{"type": "ask", "a": ' + "[" * 980 + "]" * 980 + "}")
