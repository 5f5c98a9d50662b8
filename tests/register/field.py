"""What the register's tests share: addresses, taps, and the access cases every file repeats."""

from __future__ import annotations

import uuid
from typing import Any

from django.test import Client
from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.register import actions, queries
from clubapp.register.actions import Said, Tap
from clubapp.register.models import Mark
from tests.cast import Cast

OUTSIDERS = ("sal", "olga", "greta", "wanda")
HTMX = {"HX-Request": "true"}


def address(name: str, session: Session, *ids: uuid.UUID) -> str:
    return reverse(f"register:{name}", args=[session.pk, *ids])


def only_those_who_work_here(cast: Cast, path: str, data: dict[str, Any] | None = None, *, finn: bool = True) -> None:
    """Anonymous is sent to sign in; a stranger, another club, a guardian and welfare find nothing, whatever they send.

    finn: whether the assistant may do it.
    """
    for method in ("get", "post"):
        sent = getattr(cast.client(), method)(path, data or {})
        assert (sent.status_code, "sign-in" in sent["Location"]) == (302, True)
        for name in (*OUTSIDERS, *(() if finn else ("finn",))):
            answer = getattr(cast.client(getattr(cast, name)), method)(path, data or {})
            assert answer.status_code in (404, 405), f"{method} as {name}"
    assert not Mark.objects.exists()


def tap(client: Client, session: Session, child: Athlete, kind: str = "here", **more: Any) -> Any:
    """One tap as the page sends it."""
    headers = more.pop("headers", None)
    data = {"athlete": child.pk, "kind": kind, "op_id": uuid.uuid4(), **more}
    return client.post(address("mark", session), data, headers=headers)


def kinds(session: Session) -> dict[str, str]:
    """Each marked child's first name with its current mark."""
    names = {child.pk: child.given_name for child in Athlete.objects.all()}
    return {names[child]: str(mark.kind) for child, mark in queries.current_marks(session.pk).items()}


def say(cast: Cast, child: Athlete, kind: str, **more: Any) -> None:
    """A mark by the head coach, straight through the action."""
    by = more.pop("by", cast.hazel)
    device = more.pop("device", "")
    session = more.pop("session", cast.session)
    actions.mark(session=session, athlete=child, said=Said(kind, **more), tap=Tap(by=by, device=device))
