"""Nobody gets through a door that is not theirs, one test an address. A new address is walked without being listed."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.cast import Cast
from tests.rules.addresses import OWN, PUBLIC, Address, addresses, foreign_ids, ids_of

ALL = addresses()
CLOSED = [address for address in ALL if address.name not in PUBLIC]
WITH_IDS = [address for address in CLOSED if address.ids]
WITH_TOKEN = [address for address in ALL if "token" in address.ids]
FAMILY = "family:"
METHODS = ("get", "post")


pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def mine(troupe: Cast) -> dict[str, Any]:
    """A row of the own club for every id."""
    return ids_of(troupe)


@pytest.fixture(scope="module")
def other(troupe: Cast) -> dict[str, Any]:
    """The same of the other club."""
    return foreign_ids(troupe)


def ask(client: Client, method: str, path: str) -> int:
    return int(getattr(client, method)(path).status_code)


def refused(status: int) -> bool:
    """Not found, or (before any row is looked at) the wrong method for this address."""
    return status in (404, 405)


def insider(cast: Cast, address: Address) -> Client:
    """Who may open it: the guardian the family's pages, the welfare officer concerns, the head coach the rest."""
    if address.name == "people:concerns":
        return cast.client(cast.wanda)
    return cast.client(cast.greta if address.name.startswith(FAMILY) else cast.hazel)


def outsiders(cast: Cast, address: Address) -> list[Client]:
    """A stranger, another club's head coach, and a guardian (on the family's pages: of another child)."""
    last = cast.gus if address.name.startswith(FAMILY) else cast.greta
    return [cast.client(cast.sal), cast.client(cast.olga), cast.client(last)]


@pytest.mark.parametrize("address", CLOSED, ids=str)
def test_the_anonymous_are_sent_to_sign_in(troupe: Cast, mine: dict[str, Any], address: Address) -> None:
    path = address.path(mine)
    for method in METHODS:
        answer = getattr(troupe.client(), method)(path)
        assert answer.status_code == 302
        assert answer["Location"] == f"{reverse('people:sign_in')}?next={path}"


@pytest.mark.parametrize("address", WITH_IDS, ids=str)
def test_outsiders_find_nothing(troupe: Cast, mine: dict[str, Any], address: Address) -> None:
    path = address.path(mine)
    answers = [ask(client, method, path) for client in outsiders(troupe, address) for method in METHODS]
    assert all(refused(status) for status in answers), answers


@pytest.mark.parametrize("address", [row for row in CLOSED if not row.ids and row.name not in OWN], ids=str)
def test_a_stranger_and_a_guardian_find_no_page_of_the_club(troupe: Cast, address: Address) -> None:
    clients = [troupe.client(user) for user in (troupe.sal, troupe.greta)]
    answers = [ask(client, method, address.path({})) for client in clients for method in METHODS]
    assert all(refused(status) for status in answers), answers


@pytest.mark.parametrize("address", WITH_IDS, ids=str)
def test_insiders_do_not_reach_the_other_club(
    troupe: Cast, mine: dict[str, Any], other: dict[str, Any], address: Address
) -> None:
    client = insider(troupe, address)
    for foreign in (name for name in address.ids if name != "part"):
        path = address.path(mine | {foreign: other[foreign]})
        for method in METHODS:
            assert refused(ask(client, method, path)), f"{method} with a foreign {foreign}"


@pytest.mark.parametrize("address", CLOSED, ids=str)
def test_the_insider_gets_through(troupe: Cast, mine: dict[str, Any], address: Address) -> None:
    """Otherwise the tests above would pass on an address that answers nobody."""
    client, path = insider(troupe, address), address.path(mine)
    answers = {method: ask(client, method, path) for method in METHODS}
    assert any(status not in (404, 405) for status in answers.values()), answers
    assert all(status < 500 for status in answers.values()), answers


@pytest.mark.parametrize("address", WITH_TOKEN, ids=str)
def test_a_wrong_token_finds_nothing(troupe: Cast, mine: dict[str, Any], address: Address) -> None:
    path = address.path(mine)
    assert {ask(troupe.client(), method, path) for method in METHODS} == {404}


def test_the_lists_name_only_what_exists() -> None:
    assert (PUBLIC | OWN).keys() <= {address.name for address in ALL}
