"""Who gets through which door: every address and every socket command, for everybody who might knock.

The expected answer stands in `doors.txt`, one row an address; a new address without a row fails. All of it is asked in
one club, and whatever a knock changed is rolled back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.core.cache import cache
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseNotFound
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from clubapp.live import access
from clubapp.live.callers import Caller
from clubapp.live.passes import COOKIE
from tests.cast import Cast
from tests.rules.addresses import PUBLIC, Address, addresses, foreign_ids, ids_of
from tests.rules.people import WHO, doors

ALL = addresses()
METHODS = ("get", "post")
MEANINGLESS = ("put", "patch", "delete", "trace")
OTHERS = (*MEANINGLESS, "head", "options")
SIGN_IN = reverse("people:sign_in")
# Who is whom to a socket; nobody else gets one.
SOCKETS = {
    "H": access.Role.LEADER,
    "L": access.Role.LEADER,
    "A": access.Role.ASSISTANT,
    "h": access.Role.HELPER,
    "w": access.Role.GATE,
}
FILES = ("servestatic.", "django.middleware.gzip.")
STOPS = {"stop", "thunder"}
COMMANDS = {"start", "pause", "resume", "next", "back", "add", "ring", "end"} | STOPS


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponseNotFound()


@pytest.fixture(autouse=True)
def bare(monkeypatch: pytest.MonkeyPatch, settings: Settings) -> None:
    """Most knocks find nothing: without our page for it that is told five times as fast. Files and their packing let
    nobody in or out, and would put an event loop round every knock.
    """
    monkeypatch.setattr("clubapp.urls.handler404", not_found)
    settings.MIDDLEWARE = [name for name in settings.MIDDLEWARE if not name.startswith(FILES)]


def table() -> dict[str, str]:
    """By address, the letters of those who get through."""
    rows = [line.split() for line in (Path(__file__).parent / "doors.txt").read_text().splitlines()]
    kept = [row for row in rows if row and not row[0].startswith("#")]
    found = {row[0]: row[1] if len(row) > 1 else "" for row in kept}
    assert len(found) == len(kept), "an address stands in the table twice"
    return found


def knock(client: Client, method: str, path: str) -> HttpResponse:
    """Ask, and undo what the asking did."""
    with transaction.atomic():
        answer: HttpResponse = getattr(client, method)(path)
        transaction.set_rollback(True)
    return answer


def refused(answer: HttpResponse) -> bool:
    """Not found, the wrong method before any row is looked at, or sent to the door."""
    away = answer.get("Location", "")
    doors = away.startswith(f"{SIGN_IN}?next=") or away == reverse("live:code") or "/waiting/" in away
    to_the_door = answer.status_code == 302 and doors
    return to_the_door or answer.status_code in (401, 403, 404, 405)


def test_every_address_has_a_row_and_the_public_ones_a_reason() -> None:
    rows = table()
    assert rows.keys() == {address.name for address in ALL}
    assert {name for name, letters in rows.items() if "-" in letters} <= PUBLIC.keys() <= rows.keys()
    assert all(set(letters) <= WHO.keys() for letters in rows.values())


def test_nobody_gets_through_a_door_that_is_not_theirs(cast: Cast) -> None:
    rows, people = table(), doors(cast)
    ids, wrong = ids_of(cast), {}
    for address in ALL:
        path, methods = address.path(ids), list(METHODS)
        inside = "".join(who for who in WHO if any(not refused(one) for one in answers(people[who], path, methods)))
        if inside != rows[address.name]:
            wrong[address.name] = f"{inside or 'nobody'} instead of {rows[address.name] or 'nobody'}"
    assert wrong == {}


def answers(made: Callable[[], Client], path: str, methods: list[str]) -> Iterator[HttpResponse]:
    """One method after the other, as long as the asker wants to know.

    A method that a page does not know for one person it knows for nobody: it is not tried again.
    """
    cache.clear()  # nobody is to be turned away for knocking too often
    for method in tuple(methods):
        answer = knock(made(), method, path)
        if answer.status_code == 405:
            methods.remove(method)
        yield answer


def test_other_methods_open_no_door(cast: Cast, big: bool) -> None:
    """No stranger by any of them; and where GET and POST have a meaning, the others have none for anybody. One method
    an address in turn; all of them in the long form.
    """
    rows, people, ids, through = table(), doors(cast), ids_of(cast), []
    for number, address in enumerate(ALL):
        for method in OTHERS if big else (OTHERS[number % len(OTHERS)],):
            path, theirs = address.path(ids), address.name.startswith(("account_", "mfa_"))  # allauth's own
            if "S" not in rows[address.name] and not refused(knock(people["S"](), method, path)):
                through.append(f"{method} {address} as a stranger")
            if method in MEANINGLESS and not theirs and not refused(knock(people["H"](), method, path)):
                through.append(f"{method} {address} as head coach")
    assert through == []


def test_nobody_reaches_the_other_club_by_an_id_of_it(cast: Cast) -> None:
    """Each id in turn is the other club's; whoever gets through with the own ones finds nothing."""
    rows, people = table(), doors(cast)
    mine, other, through = ids_of(cast), foreign_ids(cast), []
    for address in ALL:
        for foreign in [name for name in address.ids if mine[name] != other[name]]:
            path, methods = address.path(mine | {foreign: other[foreign]}), list(METHODS)
            for who in set(rows[address.name]) - {"C"}:
                through += [f"{address} as {who}" for one in answers(people[who], path, methods) if not refused(one)]
    assert through == []


@pytest.mark.parametrize("address", [row for row in ALL if "token" in row.ids], ids=str)
def test_a_wrong_token_finds_nothing(cast: Cast, address: Address) -> None:
    path = address.path(ids_of(cast))
    assert {knock(cast.client(), method, path).status_code for method in METHODS} == {404}


def test_the_anonymous_are_sent_to_sign_in_and_back(cast: Cast) -> None:
    ids, wrong = ids_of(cast), []
    for address in ALL:
        if address.name not in PUBLIC:
            path = address.path(ids)
            led = {knock(Client(), method, path).get("Location") for method in METHODS}
            wrong += [str(address)] if led != {f"{SIGN_IN}?next={path}"} else []
    assert wrong == []


def test_sockets_and_their_commands_are_theirs_who_may(cast: Cast) -> None:
    found = {}
    for who, made in doors(cast).items():
        client = made()
        kept = {name: morsel.value for name, morsel in client.cookies.items()}
        sign_in, entry = kept.get("fieldbell", ""), kept.get(COOKIE, "")
        watcher = Caller(cast.session.pk, sign_in, entry).find()
        if watcher is not None:
            found[who] = watcher.role
            given = {kind for kind in COMMANDS if access.may_give(watcher, kind)}
            expected = COMMANDS if watcher.leads else STOPS if watcher.role is access.Role.ASSISTANT else set()
            assert given == expected, who
        assert Caller(cast.other_session.pk, sign_in, entry).find() is None or who == "C"
    assert found == SOCKETS
