"""From the first tap in the register to groups, a late child, a move, and back: through the pages alone."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

from django.test import Client
from django.urls import reverse

from clubapp.people.models import Athlete
from clubapp.planning.models import Session
from clubapp.rotation.models import Plan
from tests.cast import Cast, make_child, make_session
from tests.rotation.evening import born, groups, spot


def tap_here(client: Client, session: Session, child: Athlete) -> None:
    address = reverse("register:mark", args=[session.pk])
    assert client.post(address, {"athlete": child.pk, "kind": "here"}).status_code in (200, 302)


def press(client: Client, page: Any, form_id: str) -> Any:
    """Send a form of the page exactly as it stands."""
    text = page.content.decode()
    form = re.search(rf'<form id="{form_id}".*?</form>', text, re.S)
    assert form
    sent: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>", form[0]):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and ('type="checkbox"' not in tag or " checked" in tag):
            sent.setdefault(name[1], []).append(value[1] if value else "")
    for select in re.findall(r"<select.*?</select>", form[0], re.S):
        name, chosen = re.search(r'name="([^"]*)"', select), re.search(r'value="([^"]*)" selected', select)
        if name and chosen:
            sent[name[1]] = [chosen[1]]
    action = re.search(r'action="([^"]*)"', form[0])
    assert action
    return client.post(action[1], sent, follow=True)


def an_evening(client: Client, session: Session, children: list[Athlete]) -> Any:
    """The register taken and finished, and groups made by one tap on the page that follows."""
    for child in children:
        tap_here(client, session, child)
    page = client.post(reverse("register:finish", args=[session.pk]), follow=True)
    assert page.redirect_chain[-1][0].startswith(reverse("rotation:plan", args=[session.pk]))
    return press(client, page, "wishes")


def test_an_evening_and_the_next_one(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    children = [*cast.athletes, *(make_child(cast.club, cast.squad, name) for name in ("Gil", "Hedy", "Ivo"))]
    for place, child in enumerate(children):
        born(child, place)
    page = an_evening(client, cast.session, children[:8])
    assert page.context["page"].plan.version == 1
    assert sum(map(len, groups(cast.session))) == 8
    # One tap more opens the bell.
    assert f'action="{reverse("live:open", args=[cast.session.pk])}"' in page.content.decode()

    late = children[8]
    tap_here(client, cast.session, late)
    register = client.get(reverse("register:register", args=[cast.session.pk])).content.decode()
    assert "here, in no group" in register
    client.post(reverse("rotation:place", args=[cast.session.pk]), {"athlete": late.pk})
    assert sum(map(len, groups(cast.session))) == 9
    there = (spot(cast.session, late) + 1) % len(groups(cast.session))
    client.post(reverse("rotation:move", args=[cast.session.pk]), {"athlete": late.pk, "group": there})
    assert spot(cast.session, late) == there
    client.post(reverse("rotation:undo", args=[cast.session.pk]), {"version": 3})
    assert spot(cast.session, late) != there

    following = make_session(cast.club, cast.squad)
    following.date = cast.session.date + timedelta(days=7)
    following.save()
    page = an_evening(client, following, children)
    wishes = Plan.objects.filter(session=cast.session)[0].wishes
    assert Plan.objects.get(session=following).wishes["groups"] == wishes["groups"]
    assert page.context["last"].session_id == cast.session.pk
