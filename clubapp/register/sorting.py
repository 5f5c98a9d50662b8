"""Names as they are sorted and searched by."""

from __future__ import annotations

import unicodedata


def plain(text: str) -> str:
    """Lower case without accents."""
    letters = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))
