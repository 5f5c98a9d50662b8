"""What a new password must be, and how a weak one is refused."""

from __future__ import annotations

import pytest
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError


@pytest.mark.parametrize(
    ("password", "sentences"),
    [
        ("heron", ["Too short: 10 letters or more. Add a word."]),
        ("password123", ["Others would guess this one first. Take four words that do not belong together."]),
        ("48151623421", ["Digits alone are guessed fast. Add a word."]),
    ],
)
def test_a_weak_one_is_refused_in_our_words(password: str, sentences: list[str]) -> None:
    with pytest.raises(ValidationError) as refused:
        validate_password(password)
    assert refused.value.messages == sentences


def test_four_words_are_taken() -> None:
    validate_password("wet grass loud whistle")
