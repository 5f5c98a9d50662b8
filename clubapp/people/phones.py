"""Telephone numbers as people write them."""

from __future__ import annotations

import re

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

PHONE = re.compile(r"\+?[0-9 ()./\-]{5,29}")


def check_phone(text: str) -> str:
    if text and not (PHONE.fullmatch(text) and sum(letter.isdigit() for letter in text) >= 5):
        raise ValidationError(_("A phone number has digits, spaces and perhaps a + in front."))
    return text
