"""Every address of the project, from the resolver, filled with real ids of the cast."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any
from uuid import UUID

from allauth.mfa.models import Authenticator
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

from clubapp.core.fields import seal
from clubapp.games.models import Draw, Game
from clubapp.live.access import Role as LiveRole
from clubapp.live.access import Watcher
from clubapp.live.actions import Note, Sent, write_incident
from clubapp.live.models import Incident, KeptIncident
from clubapp.people.actions import keep_draft
from clubapp.people.csvfile import read
from clubapp.people.models import (
    Athlete,
    Club,
    Concern,
    Guardian,
    HealthProposal,
    ImportDraft,
    Membership,
    PairRule,
    Role,
    User,
)
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Activity, Session, Venue
from clubapp.register.actions import Tap
from clubapp.register.models import Mark, PickUp
from clubapp.results.actions import Reading, record_result
from clubapp.results.actions import Sent as Recorded
from clubapp.results.models import Result, Trial
from tests.cast import Cast, make_guardian

# Addresses a stranger may open, each with its reason. Anything not named here is closed.
PUBLIC = {
    "people:sign_in": "the door itself",
    "people:sign_out": "anybody may leave",
    "people:set_up": "opened by a one-time token",
    "family:feed": "a calendar programme has the token alone",
    "people:invitation": "opened by a one-time token",
    "live:gate": "a helper without an account scans the pass",
    "live:code": "a helper without an account types the spoken code",
    "live:waiting": "a helper's page until the leader lets them in",
    "account_login": "the door itself, under allauth's name",
    "account_logout": "anybody may leave",
    "account_inactive": "says that an account is closed, and whose is not said",
    "account_request_login_code": "asks for a code by e-mail; the answer is the same for any address",
    "account_confirm_login_code": "sends back to the door who did not ask for a code in this browser",
    "account_reset_password": "asks for a code by e-mail; the answer is the same for any address",
    "account_confirm_password_reset_code": "sends back to the door who did not ask for a code in this browser",
    "account_complete_password_reset": "sends back who did not type the code in this browser",
    "mfa_authenticate": "sends back to the door who did not show a password in this browser",
    "mfa_login_webauthn": "a passkey's challenge",
    "desk:home": "sends each person to their own start",
    "core:offline": "kept on the phone, holds nothing of anybody's",
    "core:phone": "what this phone can do; holds nothing of anybody's",
    "core:worker": "the service worker: the same for everybody",
    "core:manifest": "what an installed app is called",
    "core:who": "tells each phone its own id and nobody else's",
}
# Addresses without an id that show each person only their own things; a stranger's is empty.
OWN = {
    "family:home": "a guardian's own children",
    "people:concern_new": "written by any adult of the club, a guardian too",
    "account_sign_ins": "where this adult is signed in",
    "account_end_sign_in": "ends one's own",
    "account_reauthenticate": "one's own password",
    "account_change_password": "one's own password",
    "account_set_password": "one's own password",
    "mfa_index": "one's own second step",
    "mfa_reauthenticate": "one's own code",
    "mfa_activate_totp": "one's own app",
    "mfa_view_recovery_codes": "one's own spare codes",
    "mfa_generate_recovery_codes": "one's own spare codes",
    "mfa_list_webauthn": "one's own passkeys",
    "mfa_add_webauthn": "one's own passkey",
    "mfa_reauthenticate_webauthn": "one's own passkey",
}

ROSTER = read(b"given_name,family_name,date_of_birth\nIda,Reed,2016-04-09\n")


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
    return ids_in(cast.session, cast.hazel, cast.ada)


def foreign_ids(cast: Cast) -> dict[str, Any]:
    """The same from the other club."""
    zed = cast.other_squad.athletes.get()
    if not zed.adults.exists():
        make_guardian(cast.other_squad.club, cast.olga, (zed,))
    return ids_in(cast.other_session, cast.olga, zed)


MEADOW = [[0, 0], [60, 0], [60, 40], [0, 40]]


def ids_in(session: Session, coach: User, child: Athlete) -> dict[str, Any]:
    """Rows of one club; those that the cast lacks are made."""
    club = session.club
    assistant = Membership.objects.filter(club=club).exclude(role=Role.HEAD_COACH).order_by("role").first()
    rule, _ = PairRule.objects.get_or_create(club=club, kind=PairRule.Kind.APART, label="near the water")
    draft = ImportDraft.objects.filter(by=coach).first()
    draft = draft or keep_draft(club=club, table=ROSTER, squad=session.squad, by=coach)
    guardian = Guardian.objects.filter(children__athlete=child).earliest("name")
    if not Mark.objects.filter(session=session, athlete=child).exists():  # after the end a page waits for who is here
        Mark.objects.create(session=session, athlete=child, kind=Mark.Kind.HERE, tapped_at=timezone.now())
    return {
        "session_id": session.pk,
        "station_id": session.stations.earliest("number").pk,
        "squad_id": session.squad_id,
        "athlete_id": child.pk,
        "guardian_id": guardian.pk,
        "membership_id": (assistant or Membership.objects.get(club=club)).pk,
        "rule_id": rule.pk,
        "draft_id": draft.pk,
        "incident_id": (Incident.objects.filter(session=session).first() or written(session, coach, child)).pk,
        "kept_id": kept_of(club).pk,
        "code": own_test(club).code,
        "activity": own_activity(club),
        "venue_id": Venue.objects.get_or_create(club=club, name="Meadow", defaults={"outline": MEADOW})[0].pk,
        "result_id": written_down(session, child).pk,
        "game_id": (Game.objects.filter(session=session).first() or game_of(session)).pk,
        "part": 1,
        "token": "not-the-token",
        "step_id": step_of(coach),
        "proposal_id": proposal_of(child),
        "concern_id": spent_concern_of(club),
        "pick_up_id": pick_up_of(session, child, guardian),
    }


def spent_concern_of(club: Club) -> UUID:
    """A concern whose time is over."""
    words = {"about": "Bo", "words": "x", "by_name": "Finn", "until": club.made_at.date() - timedelta(days=1)}
    return (Concern.objects.filter(club=club).first() or Concern.objects.create(club=club, **words)).pk


def kept_of(club: Club) -> KeptIncident:
    """A note that outlived its child's record."""
    today = club.today()
    return KeptIncident.objects.get_or_create(club=club, defaults={"happened_on": today, "until": today, "note": "[]"})[
        0
    ]


def proposal_of(child: Athlete) -> UUID:
    """What a guardian wants changed in the child's health note."""
    return HealthProposal.objects.get_or_create(athlete=child, defaults={"what_to_do": "inhaler"})[0].pk


def pick_up_of(session: Session, child: Athlete, guardian: Guardian) -> UUID:
    """A guardian's wish that somebody else takes the child home."""
    picker = {"name": "Rosa Field", "relation": "aunt"}
    return PickUp.objects.get_or_create(session=session, athlete=child, guardian=guardian, defaults=picker)[0].pk


def step_of(coach: User) -> int:
    """An app's codes as second step of this adult."""
    kind, kept = Authenticator.Type.TOTP, {"data": {"secret": seal("JBSWY3DPEHPK3PXP")}}
    return int(Authenticator.objects.get_or_create(user=coach, type=kind, defaults=kept)[0].pk)


def own_test(club: Club) -> Trial:
    """A test of the club's own; each club's has another code."""
    return Trial.objects.get_or_create(club=club, code=f"own-{club.pk.hex[:8]}", defaults={"name": "River run"})[0]


def own_activity(club: Club) -> str:
    """An activity of the club's own; each club's has another code."""
    code, card = f"own-{club.pk.hex[:8]}", standard()["river-bends"].as_json()
    return Activity.objects.get_or_create(club=club, code=code, defaults={"card": card})[0].code


def written_down(session: Session, child: Athlete) -> Result:
    """A value of today's list, of a child who is here."""
    if not Mark.objects.filter(session=session, athlete=child).exists():
        Mark.objects.create(session=session, athlete=child, kind=Mark.Kind.HERE, tapped_at=timezone.now())
    known = Result.objects.filter(trial=own_test(session.club), athlete=child).first()
    reading = Reading(own_test(session.club), child, 7_100)
    return known or Result.objects.get(pk=record_result(reading=reading, sent=Recorded())["result"])


def written(session: Session, coach: User, child: Athlete) -> Incident:
    """A note about a grazed knee, by the coach."""
    note = Note(child, timezone.now(), "Grazed knee.")
    return write_incident(note=note, sent=Sent(Watcher(session, LiveRole.LEADER, coach), Tap(coach)))


def game_of(session: Session) -> Game:
    """Heats that nobody has been drawn into."""
    wishes = {"test": "", "lanes": 4, "mode": "even", "draw": "lot", "after": "nothing", "apart": False}
    game = Game.objects.create(session=session, number=1, kind="heats", wishes=wishes)
    problem = {
        "children": [],
        "likely": {},
        "new": [],
        "test": "",
        "apart": [],
        "lanes": 4,
        "mode": "even",
        "draw": "lot",
    }
    Draw.objects.create(game=game, round=1, version=1, problem=problem, answer={"heats": []}, engine="1", why="made")
    return game
