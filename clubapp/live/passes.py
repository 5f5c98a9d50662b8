"""What a pass looks like from outside: a token in a link, and a code to say aloud.

Both are made from the pass's id and the server's secret, so that the leader's page can show them again while the
database holds nothing that opens a door.
"""

from __future__ import annotations

import base64
import secrets
from uuid import UUID

import segno
from django.conf import settings
from django.utils.crypto import salted_hmac
from django.utils.safestring import SafeString, mark_safe

COOKIE = "__Host-fieldbell-pass" if settings.SECURE else "fieldbell-pass"
LETTERS = 6
# Without I, L, O, Q, V, X and Z, which look or sound like others; each is said with its word.
WORDS = {
    "A": "acorn",
    "B": "bridge",
    "C": "cloud",
    "D": "drum",
    "E": "elm",
    "F": "ferry",
    "G": "gate",
    "H": "heron",
    "J": "jug",
    "K": "kite",
    "M": "mill",
    "N": "nest",
    "P": "pond",
    "R": "river",
    "S": "stone",
    "T": "tower",
    "U": "urn",
    "W": "willow",
    "Y": "yard",
}
ALPHABET = "".join(WORDS)


def token_of(pass_id: UUID) -> str:
    """24 letters for a link: as short as is safe, so that the QR code has large squares."""
    digest = salted_hmac("live.pass.token", str(pass_id), algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest[:18]).decode()


def code_of(pass_id: UUID) -> str:
    """Six letters to say aloud."""
    number = int(salted_hmac("live.pass.code", str(pass_id), algorithm="sha256").hexdigest(), 16)
    letters = []
    for _place in range(LETTERS):
        number, letter = divmod(number, len(ALPHABET))
        letters.append(ALPHABET[letter])
    return "".join(letters)


def heard(text: str) -> str:
    """A code as somebody types it: small letters, blanks and dashes do not matter."""
    return "".join(letter for letter in text.upper() if letter.isalpha())[: LETTERS * 4]


def hashed(kind: str, secret: str) -> str:
    """What is stored. The server's secret goes in: six letters alone would be found by trying them all."""
    return salted_hmac(f"live.{kind}", secret, algorithm="sha256").hexdigest()


def new_key() -> str:
    """What a visitor's cookie holds."""
    return secrets.token_urlsafe(32)


def picture(address: str) -> SafeString:
    """The link as a QR code, dark on light with its margin also where the page is dark."""
    made = segno.make(address, error="m", micro=False)
    # Made of numbers by us: nothing in it comes from outside.
    return mark_safe(made.svg_inline(scale=8, border=4, dark="#000", light="#fff", omitsize=True))
