"""The access cases every file of a planning page repeats."""

from __future__ import annotations

from typing import Any

from tests.cast import Cast

OUTSIDERS = ("sal", "olga", "greta", "wanda")


def only_who_runs_it(cast: Cast, path: str, data: dict[str, Any] | None = None) -> None:
    """A write: anonymous signs in; a stranger, another club, a guardian, welfare and an assistant find nothing."""
    sent = cast.client().post(path, data or {})
    assert (sent.status_code, "sign-in" in sent["Location"]) == (302, True)
    for name in (*OUTSIDERS, "finn"):
        assert cast.client(getattr(cast, name)).post(path, data or {}).status_code == 404, name


def only_who_works_here(cast: Cast, path: str) -> None:
    """A read: the assistant of the squad may, too."""
    sent = cast.client().get(path)
    assert (sent.status_code, "sign-in" in sent["Location"]) == (302, True)
    for name in OUTSIDERS:
        assert cast.client(getattr(cast, name)).get(path).status_code == 404, name
    for name in ("hazel", "finn"):
        assert cast.client(getattr(cast, name)).get(path).status_code == 200, name
