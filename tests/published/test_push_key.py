"""The public half of a push key.

RFC 8291, "Message Encryption for Web Push", Appendix A (intermediate values for encryption): the private and the public
key of the application server.
"""

from __future__ import annotations

from typing import Any

from clubapp.family import push
from clubapp.keys import new_push_key

PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
PUBLIC = "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"


def test_the_point_that_a_browser_is_shown(settings: Any) -> None:
    settings.PUSH_KEY = PRIVATE
    assert push.public_key() == PUBLIC


def test_a_new_key_is_one(settings: Any) -> None:
    keys = {new_push_key() for _ in range(3)}
    assert (len(keys), {len(push.unpadded(key)) for key in keys}) == (3, {32})
    settings.PUSH_KEY = keys.pop()
    assert len(push.unpadded(push.public_key())) == 65
