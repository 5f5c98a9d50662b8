"""The access cases that every file of a people page repeats."""

from __future__ import annotations

from typing import Any

from tests.cast import Cast

OUTSIDERS = ("sal", "olga", "greta", "finn", "wanda")


def only_the_head_coach(cast: Cast, path: str, data: dict[str, Any] | None = None) -> None:
    """Anonymous is sent to sign in; a stranger, another club, a guardian, an assistant and welfare find nothing."""
    sent = cast.client().post(path, data or {})
    assert (sent.status_code, "sign-in" in sent["Location"]) == (302, True)
    for name in OUTSIDERS:
        client = cast.client(getattr(cast, name))
        assert client.post(path, data or {}).status_code in (404, 405), name
        assert client.get(path).status_code in (404, 405), name
    assert 200 <= cast.client(cast.hazel).get(path).status_code < 300 or _takes_posts_only(cast, path)


def for_no_club(cast: Cast, path: str) -> None:
    """A page without an id: those who coach no club find nothing."""
    assert cast.client().get(path).status_code == 302
    for name in ("sal", "greta", "finn", "wanda"):
        assert cast.client(getattr(cast, name)).get(path).status_code == 404, name


def _takes_posts_only(cast: Cast, path: str) -> bool:
    return cast.client(cast.hazel).get(path).status_code == 405
