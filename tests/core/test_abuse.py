"""Whatever is sent, no page breaks and nothing is kept that the tables do not mean; another club's rows stay apart."""

from __future__ import annotations

import faulthandler
import json
import random
import re
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.contrib.sessions.models import Session as SignIn
from django.db import connection, models, transaction
from django.db.models.signals import post_save
from django.test import Client

from clubapp.core.origins import SameOrigin
from clubapp.live import messages
from tests.cast import Cast
from tests.core.malformed import BYTES, JUNK, Drawer, Form, Request, encoded, forms_of
from tests.rules.addresses import addresses, foreign_ids, ids_of

SMALL, BIG = 150, 10_000
UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")  # of no use in any text that people write
UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass
class Club:
    """The cast's club as a test meets it: pages are asked for once, whatever is sent is taken back."""

    cast: Cast
    own: dict[str, Any]
    other: dict[str, Any]
    clients: list[Client] = field(default_factory=list)
    pages: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        cast = self.cast
        self.clients = [cast.client(user) for user in (cast.hazel, cast.greta, cast.finn, cast.wanda, None)]

    def insider(self, path: str) -> Client:
        """The head coach, or a guardian for what is the family's."""
        return self.clients[path.startswith("/family/")]

    def page(self, path: str) -> str:
        if path not in self.pages:
            answer = self.insider(path).get(path)
            self.pages[path] = answer.content.decode() if answer.status_code == 200 and not answer.streaming else ""
        return self.pages[path]


@pytest.fixture
def club(cast: Cast) -> Club:
    return Club(cast, ids_of(cast), foreign_ids(cast))


def test_ten_thousand_malformed_requests_break_nothing_and_leave_no_rubbish(club: Club, big: bool) -> None:
    """Each is sent by another person of the cast and taken back, so that the next one meets the whole club."""
    lot = random.Random(None if big else "abuse")
    paths = [address.path(club.own) for address in addresses()]
    drawer = Drawer(lot, paths, [str(one) for one in (*club.own.values(), *club.other.values())], club.page)
    wrong: list[str] = []
    for number, request in enumerate(drawer.requests(BIG if big else SMALL)):
        if big and number % 100 == 0:
            not_hanging()
        wrong += faults(lot.choice(club.clients), request)
        assert len(wrong) < 10, "\n".join(wrong)
    assert not wrong, "\n".join(wrong)


def not_hanging() -> None:
    """A test that says nothing for five minutes is ended; ten thousand requests take longer than that."""
    faulthandler.dump_traceback_later(300, exit=True, file=sys.__stderr__)


def faults(client: Client, request: Request) -> list[str]:
    """What is wrong with the answer or with what was kept; nothing of it stays."""
    with transaction.atomic(), written() as rows:
        try:
            answer = sent(client, request, follow=True)
            found = [f"{answer.status_code}: {request}"] if answer.status_code >= 500 else []
        except Exception:
            found = [f"{request}\n{traceback.format_exc(limit=-6)}"]
        finally:
            transaction.set_rollback(True)
    return found + [f"{what} was kept: {request}" for row in rows for what in rubbish(row)]


def sent(client: Client, request: Request, *, follow: bool = False) -> Any:
    cookies = client.cookies.output()  # a header of this name would stay with the next requests
    more = {} if request.method in ("get", "head", "trace") else {"data": request.body}
    more |= {"content_type": request.kind} if request.kind and more else {}
    answer = getattr(client, request.method)(request.path, **more, headers=request.headers, follow=follow)
    if client.cookies.output() != cookies:
        client.cookies.load(cookies.replace("Set-Cookie: ", ""))
    return answer


@contextmanager
def written() -> Iterator[list[models.Model]]:
    """The rows saved meanwhile."""
    rows: list[models.Model] = []

    def saved(sender: type[models.Model], instance: models.Model, **_: Any) -> None:
        rows.append(instance)

    post_save.connect(saved)
    try:
        yield rows
    finally:
        post_save.disconnect(saved)


def rubbish(row: models.Model) -> Iterator[str]:
    """Fields of a row that hold what the table does not mean: SQLite itself takes anything."""
    for one in row._meta.concrete_fields:
        value, where = getattr(row, one.attname), f"{row._meta.label}.{one.name}"
        text = json.dumps(value, ensure_ascii=False, default=str) if isinstance(one, models.JSONField) else value
        if isinstance(text, str) and (UNSEEN.search(text) or "\\u0000" in text):
            yield f"{where} with unseen letters"
        if isinstance(value, str) and one.max_length and len(value) > one.max_length:
            yield f"{where} of {len(value)} letters"
        if isinstance(value, str) and value and one.choices and value not in dict(one.flatchoices):
            yield f"{where} “{value[:40]}”"
        if isinstance(one, models.IntegerField) and isinstance(value, int):
            least, most = connection.ops.integer_field_range(one.get_internal_type())
            if (least is not None and value < least) or (most is not None and value > most):
                yield f"{where} {value}"


def test_the_watch_for_rubbish_would_find_it(cast: Cast) -> None:
    with written() as rows:
        cast.ada.given_name, cast.ada.sex = "A\0" + "d" * 500, "z"
        cast.ada.save()
    assert len([what for row in rows for what in rubbish(row)]) == 3


# --- another club's ids -----------------------------------------------------------------------------------------------


def test_another_clubs_id_in_any_answer_of_any_form_is_nobodys(club: Club, big: bool) -> None:
    """Every form that the head coach and a guardian are shown, with one id in it exchanged for the other club's: not
    found, or refused by the form; nothing is kept, and nothing of the other club is told."""
    wrong, kept, seen = list[str](), 0, set[str]()
    instead = {str(club.own[name]): str(club.other[name]) for name in club.own if name not in ("token", "code")}
    for address in addresses():
        path = address.path(club.own)
        client = club.insider(path)
        for form in forms_of(path, club.page(path)):
            for name, pairs, meant in foreign(form, instead, seen):
                wrong += [f"{why} for a foreign {name}: {form.action}" for why in taken(client, form, pairs)]
                kept += big and "kept" in " ".join(taken(client, form, meant))
    assert len(seen) > 20
    assert not wrong, "\n".join(wrong)
    assert kept > 10 or not big, "hardly any form would have been taken with the own id"


Pairs = list[tuple[str, bytes]]


def foreign(form: Form, instead: dict[str, str], seen: set[str]) -> Iterator[tuple[str, Pairs, Pairs]]:
    """The form once for every id in it, and as it was meant. seen: forms and fields that were tried."""
    where = UUID.sub("-", form.action)
    for name, value in form.fields:
        if form.method != "post" or not UUID.fullmatch(value) or name == "op_id" or f"{where} {name}" in seen:
            continue
        seen.add(f"{where} {name}")
        pairs = [(key, answer.encode()) for key, answer in form.fields if key != name]
        yield (
            name,
            [*pairs, (name, instead.get(value, max(instead.values())).encode())],
            [*pairs, (name, value.encode())],
        )


def taken(client: Client, form: Form, pairs: Pairs) -> list[str]:
    """What the server kept or told."""
    with transaction.atomic(), written() as rows:
        answer = sent(client, Request("post", form.action, encoded(pairs).encode()))
        transaction.set_rollback(True)
    told = [f"told {name}" for name in ("Far Meadow", "Zed", "Wrens") if name.encode() in answer.content]
    return told + [f"kept {row._meta.label}" for row in rows if not isinstance(row, SignIn)]


# --- sockets ----------------------------------------------------------------------------------------------------------


def test_a_socket_reads_junk_as_junk(big: bool) -> None:
    lot = random.Random("sockets" if not big else None)
    for _number in range(BIG if big else 1000):
        text = said(lot)
        try:
            heard = messages.read(text)
        except messages.BadMessageError:
            continue
        assert isinstance(heard, messages.Heard), text


def said(lot: random.Random) -> str | None:
    """A message of ours with one or two values that are none; or no message at all."""
    if lot.random() < 0.1:
        return lot.choice([None, "[" * 1500, *JUNK, *(one.decode("latin1") for one in BYTES)])
    row: dict[str, Any] = {"type": "command", "op_id": "12345678-1234-5678-1234-567812345678", "kind": "add"}
    row |= {"seen": 1, "seconds": 5, "index": 0, "round": None, "at_ms": 1.0, "reason": "", "t0": 1.0}
    values = [None, True, 1e308, float("nan"), -1, 10**400, [], {}, [[]], "\ud800", lot.choice(JUNK)]
    for _number in range(lot.randint(1, 2)):
        row[lot.choice(list(row))] = lot.choice(values)
    return json.dumps(row)


@pytest.mark.parametrize("origin", ["http://[", "http://[::1", "http://\0", "http://a:99999999", "", "null", "//"])
def test_an_origin_that_is_none_is_turned_away(origin: str) -> None:
    assert not SameOrigin.allowed(origin, "localhost")
