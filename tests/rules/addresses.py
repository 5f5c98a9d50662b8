"""Every address of the project, from the resolver, filled with real ids of the cast."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver, reverse

from clubapp.people.models import Guardian
from clubapp.planning.models import Station
from tests.cast import Cast

# Addresses a stranger may open, each with its reason. Anything not named here is closed.
PUBLIC = {
    "people:sign_in": "the door itself",
    "people:sign_out": "anybody may leave",
    "people:set_up": "opened by a one-time token",
    "people:invitation": "opened by a one-time token",
    "live:gate": "a helper without an account scans the pass",
    "live:code": "a helper without an account types the spoken code",
    "live:waiting": "a helper's page until the leader lets them in",
    "desk:home": "sends each person to their own start",
    "core:offline": "kept on the phone, holds nothing of anybody's",
}
# Addresses without an id that show each person only their own things; a stranger's is empty.
OWN = {"family:home": "a guardian's own children"}


@dataclass(frozen=True)
class Address:
    """A named address and the names of the ids in it."""

    name: str
    ids: tuple[str, ...]

    def path(self, ids: dict[str, Any]) -> str:
        return reverse(self.name, kwargs={key: ids[key] for key in self.ids})

    def __str__(self) -> str:
        return self.name


def addresses() -> list[Address]:
    """All of them; one without a name is a mistake that fails here."""
    return sorted(walk(get_resolver().url_patterns, ""), key=str)


def walk(patterns: list[Any], space: str) -> Iterator[Address]:
    for entry in patterns:
        if isinstance(entry, URLResolver):
            inner = f"{space}{entry.namespace}:" if entry.namespace else space
            yield from walk(entry.url_patterns, inner)
        else:
            assert isinstance(entry, URLPattern)
            assert entry.name, f"an address without a name: {entry.pattern}"
            yield Address(f"{space}{entry.name}", tuple(entry.pattern.converters))


def ids_of(cast: Cast) -> dict[str, Any]:
    """A real row of Alder Bank for every id an address may hold."""
    return {
        "session_id": cast.session.pk,
        "athlete_id": cast.ada.pk,
        "station_id": Station.objects.filter(session=cast.session).earliest("number").pk,
        "guardian_id": Guardian.objects.get(user=cast.greta).pk,
        "token": "not-the-token",
    }


def foreign_ids(cast: Cast) -> dict[str, Any]:
    """The same from the other club, and a guardian nobody knows."""
    return {
        "session_id": cast.other_session.pk,
        "athlete_id": cast.other_squad.athletes.get().pk,
        "station_id": Station.objects.filter(session=cast.other_session).earliest("number").pk,
        "guardian_id": uuid.uuid4(),
        "token": "not-the-token",
    }
