"""Everybody who might knock at an address, one browser each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from http.cookies import SimpleCookie

from django.test import Client
from django.utils import timezone

from clubapp.live import actions as live
from clubapp.people import actions as people
from clubapp.people.models import Guardianship, Membership, Role, Squad
from tests.cast import Cast, SquadFactory, UserFactory, make_guardian
from tests.live.evening import helper, pass_of

# One letter each, as the table of addresses writes them.
WHO = {
    "H": "head coach",
    "L": "leader by hand-over",
    "A": "assistant of the squad",
    "B": "assistant of another squad",
    "W": "welfare officer",
    "G": "guardian of the child",
    "O": "guardian of another child",
    "R": "guardian whose contact is restricted",
    "S": "stranger",
    "C": "head coach of another club",
    "h": "helper, let in",
    "w": "helper at the gate",
    "e": "helper whose pass is over",
    "r": "helper turned away",
    "-": "nobody signed in",
}


def doors(cast: Cast) -> dict[str, Callable[[], Client]]:
    """By letter, a browser as it was before anybody clicked."""
    users = {"H": cast.hazel, "A": cast.finn, "W": cast.wanda, "G": cast.greta, "O": cast.gus, "S": cast.sal}
    more = {"L": UserFactory(name="Lena"), "B": UserFactory(name="Bodo"), "R": UserFactory(name="Rolf")}
    users |= {"C": cast.olga} | more
    member(cast, users["L"], cast.squad)
    member(cast, users["B"], SquadFactory(club=cast.club, name="Tuesday"))
    rolf = make_guardian(cast.club, users["R"], (cast.ada,))
    tie = Guardianship.objects.get(guardian=rolf)
    details = people.GuardianDetails(rolf.name, email=rolf.email, restricted=True)
    people.change_guardian(tie=tie, details=details, by=cast.hazel)
    clients = {letter: cast.client(user) for letter, user in users.items()} | {"-": cast.client()} | helpers(cast)
    cast.session.leader = users["L"]
    cast.session.save()
    return {letter: fresh(client) for letter, client in clients.items()}


def member(cast: Cast, user: object, squad: Squad) -> None:
    Membership.objects.create(user=user, club=cast.club, role=Role.ASSISTANT).squads.add(squad)


def helpers(cast: Cast) -> dict[str, Client]:
    """Let in, waiting, with a pass that was taken back, turned away."""
    old = pass_of(cast)
    over, _ = helper(old, cast.hazel, "Wes")
    old.revoked_at = timezone.now() - timedelta(minutes=1)
    old.save()
    entry = live.make_pass(session=cast.session, by=cast.hazel)
    inside, _ = helper(entry, cast.hazel)
    waiting, _ = helper(entry, None, "Una")
    away, visitor = helper(entry, cast.hazel, "Vic")
    visitor.refused_at = timezone.now()
    visitor.save()
    return {"h": inside, "w": waiting, "r": away, "e": over}


def fresh(client: Client) -> Callable[[], Client]:
    cookies = {name: morsel.value for name, morsel in client.cookies.items()}

    def again() -> Client:
        """The same browser as it was: to make a new one costs more than most answers."""
        client.cookies = SimpleCookie(cookies)
        return client

    return again
