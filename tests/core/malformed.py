"""Requests that nobody means, drawn by lot: forms as pages show them with answers that are none, and bare junk."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import quote_from_bytes, urlsplit

from django.core.files.uploadedfile import SimpleUploadedFile

FORM, JSON = "application/x-www-form-urlencoded", "application/json"
PARTS = "multipart/form-data; boundary"
JUNK = (
    *(
        "\0",
        "Ada\0Reed",
        "\x1b[2J",
        "e" + "\u0301" * 300,
        "\u202eadA",
        "👩‍👩‍👧" * 90,
        "١٢",
        "²",
        "½",
        "\ufeff",
        "\u2028",
    ),
    *("-1", "-99999999999", "9" * 400, "2147483648", "9223372036854775808", "1e400", "NaN", "-Infinity", "0x10", "1_0"),
    *("0000-00-00", "9999-12-31", "10000-01-01", "2026-02-30", "25:61", "2026-05-09T10:02:03+99:99", "0001-01-01"),
    *("'; DROP TABLE people_athlete; --", "<script>alert(1)</script>", "{{ 7 }}", "%s%n", "../../../etc/passwd"),
    *("\r\nSet-Cookie: a=b", "http://[", "//evil.example", "javascript:alert(1)", "{}", "[[[[", "null", "true", ""),
    *("00000000-0000-0000-0000-000000000000", "{12345678-1234-5678-1234-567812345678}", "urn:uuid:1", "x" * 100_000),
)
BYTES = (b"\xed\xa0\x80", b"\xff\xfe\x00", b"\xc0\xaf", b"%", b"%zz", b"\xf5\x80\x80\x80")
HEADERS = (
    *("Accept", "Accept-Language", "Referer", "Origin", "HX-Request", "HX-Current-URL", "HX-Target", "HX-Trigger-Name"),
    *("X-Device", "X-Outbox-Owner", "X-Forwarded-Proto", "X-Forwarded-Host", "Range", "If-Modified-Since", "Cookie"),
    *("User-Agent", "Authorization", "X-HTTP-Method-Override", "Accept-Encoding", "Host"),
)
CHARSETS = tuple(f"text/html; charset={name}" for name in ("latin-1", "utf-7", "utf-16", "idna", "punycode"))
METHODS = ("put", "patch", "delete", "options", "head", "trace")
CSV = (
    *(b"given_name,family_name\n" + b"a," * 5000, b"\xff\xfe" + "given_name\nAda".encode("utf-16-le"), b'"' * 999, b""),
    *(
        b"given_name;date_of_birth\nAda;31/02/2016\n\0;\0\n",
        b"=cmd|' /C calc'!A0,b\n1,2\n",
        b"PK\x03\x04",
        b"\n" * 9999,
    ),
    *(b"given_name,given_name,,\nAda,Bo,1e400\n", b"given_name,speed_s\nAda,-1\nBo,NaN\nCy," + b"9" * 400),
)


@dataclass
class Form:
    """A form as a page shows it: where it goes and what stands in it."""

    action: str
    method: str
    fields: list[tuple[str, str]] = field(default_factory=list)
    has_file: bool = False


class Forms(HTMLParser):
    """The forms of a page; of several answers to one question all are listed."""

    def __init__(self, path: str, html: str) -> None:
        super().__init__()
        self.path, self.found, self.select = path, list[Form](), ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.found.append(Form(given.get("action") or self.path, given.get("method", "get").lower()))
        name = self.select if tag == "option" else given.get("name", "")
        self.select = name if tag in ("select", "option") else ""
        if not self.found or not name or tag not in ("input", "button", "textarea", "option"):
            return
        self.found[-1].has_file |= given.get("type") == "file"
        self.found[-1].fields.append((name, given.get("value", "")))


def forms_of(path: str, html: str) -> list[Form]:
    return [form for form in Forms(path, html).found if form.action.startswith("/") and form.fields]


@dataclass(frozen=True)
class Request:
    """One call of Django's test client."""

    method: str
    path: str
    body: Any = b""
    kind: str = FORM
    headers: dict[str, str] = field(default_factory=dict)

    def __str__(self) -> str:
        return f"{self.method} {self.path} {self.kind} {str(self.body)[:600]} {str(self.headers)[:300]}"


class Drawer:
    """Draws requests. ids: real ones of the own club and of another. ask: gives a page's text, or nothing."""

    def __init__(self, lot: random.Random, paths: list[str], ids: list[str], ask: Callable[[str], str]) -> None:
        self.lot, self.paths, self.ids, self.ask = lot, paths, ids, ask

    def requests(self, count: int) -> Iterator[Request]:
        ways = (self.form, self.form, self.form, self.bare, self.query, self.odd)
        for _number in range(count):
            yield self.lot.choice(ways)(self.lot.choice(self.paths))

    def junk(self) -> bytes:
        kind = self.lot.random()
        if kind < 0.2:
            return self.lot.choice(self.ids).encode()
        return self.lot.choice(BYTES) if kind < 0.3 else self.lot.choice(JUNK).encode()

    def headers(self) -> dict[str, str]:
        """Most requests have none; what a server hands on is one line of Latin letters."""
        some = self.lot.sample(HEADERS, self.lot.choice((0, 0, 1, 2)))
        return {name: self.junk().decode("latin1").translate({10: " ", 13: " ", 0: " "})[:2000] for name in some}

    def form(self, path: str) -> Request:
        """As it stands on the page, but for one to three answers; some are left out, some are given twice."""
        found = forms_of(path, self.ask(path))
        if not found:
            return self.bare(path)
        form = self.lot.choice(found)
        pairs = [(name, value.encode()) for name, value in form.fields if self.lot.random() < 0.9]
        for at in self.lot.sample(range(len(pairs)), min(len(pairs), self.lot.randint(1, 3))):
            pairs[at] = (pairs[at][0], self.junk())
        if form.has_file:
            file = SimpleUploadedFile("list.csv", self.lot.choice(CSV))
            sent = {name: value.decode("latin1") for name, value in pairs} | {"file": file}
            return Request("post", form.action, sent, "", self.headers())
        if form.method == "get":
            return Request("get", f"{urlsplit(form.action).path}?{encoded(pairs)}", headers=self.headers())
        return Request("post", form.action, encoded(pairs).encode(), headers=self.headers())

    def bare(self, path: str) -> Request:
        """A body that is no form of ours."""
        word, deep = self.junk().decode("latin1"), self.lot.choice((0, 1, 3, 5000))
        bodies = [("[" * deep + json.dumps(word) + "]" * deep, JSON), (self.junk(), FORM), (self.junk(), f"{PARTS}=x")]
        bodies += [(self.junk(), PARTS), (b"a=%ff", self.lot.choice(CHARSETS))]
        bodies += [(b"&".join([b"a=1"] * 2000), FORM), (b"op_id=" + self.junk(), "text/plain")]
        body, kind = self.lot.choice(bodies)
        return Request("post", path, body, kind, self.headers())

    def query(self, path: str) -> Request:
        names = [name for form in forms_of(path, self.ask(path)) for name, _value in form.fields]
        names += [
            "q",
            "child",
            "since",
            "listed",
            "version",
            "round",
            "open",
            "next",
            "page",
            "squad",
            "test",
            "station",
        ]
        pairs = [(self.lot.choice(names), self.junk()[:4000]) for _number in range(self.lot.randint(1, 5))]
        return Request("get", f"{path}?{encoded(pairs)}", headers=self.headers())

    def odd(self, path: str) -> Request:
        """Another method, or an address with a part that is none."""
        parts = path.split("/")
        parts[self.lot.randrange(len(parts))] = quote_from_bytes(self.junk()[:300], safe="")
        paths = (path, f"/{'/'.join(parts)}".replace("//", "/"))
        return Request(self.lot.choice(METHODS), self.lot.choice(paths), self.junk(), headers=self.headers())


def encoded(pairs: list[tuple[str, bytes]]) -> str:
    return "&".join(f"{quote_from_bytes(name.encode())}={quote_from_bytes(value)}" for name, value in pairs)
