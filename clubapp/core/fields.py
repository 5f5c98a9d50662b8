"""A text column that is unreadable without the key kept outside the database."""

from __future__ import annotations

from functools import cache
from typing import Any

from cryptography.fernet import Fernet, InvalidToken, MultiFernet
from django.conf import settings
from django.db import models


@cache
def _box(keys: tuple[str, ...]) -> MultiFernet:
    return MultiFernet([Fernet(key) for key in keys])


def seal(text: str) -> str:
    """Encrypt with the newest key."""
    return _box(tuple(settings.FIELD_KEYS)).encrypt(text.encode()).decode()


def unseal(token: str) -> str:
    """Decrypt with whichever key fits.

    Raises:
        ValueError: no key fits; the key file does not belong to this database.
    """
    try:
        return _box(tuple(settings.FIELD_KEYS)).decrypt(token.encode()).decode()
    except InvalidToken as error:
        raise ValueError("the field key does not fit this database") from error


class SealedTextField(models.TextField):  # type: ignore[type-arg]
    """Text encrypted in the database; cannot be searched, and an empty text stays empty."""

    def from_db_value(self, value: str | None, *_: Any) -> str | None:
        return unseal(value) if value else value

    def get_prep_value(self, value: Any) -> Any:
        return seal(str(value)) if value else value
