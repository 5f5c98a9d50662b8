"""The invented club in the middle of an evening, served: `python -m clubapp.desk.screens.stage`.

Prints as one line of JSON the port, what stands in addresses, and a session key for each adult.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any

HERE = 20  # children marked; the rest of the register is still open


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    door = server.open_door("127.0.0.1", 0)
    server.prepare()
    sys.stdout.write(json.dumps({"port": door.port, **fill()}) + "\n")
    sys.stdout.flush()
    server.run(door)


def fill() -> dict[str, Any]:
    from clubapp.desk.bench.stage import session_key
    from clubapp.desk.demo import scenario
    from clubapp.desk.demo.load import head_coach, load
    from clubapp.people.models import User
    from clubapp.planning.models import Session

    load()
    session, coach = Session.objects.latest("date"), head_coach()
    begin_now(session)
    rows = make_evening(session, coach)
    adults = {
        "coach": coach.email,
        "assistant": scenario.ASSISTANTS[0].email,
        "guardian": scenario.GUARDIANS[0].adult.email,
        "stranded": scenario.ASSISTANTS[0].email,  # on a phone whose network goes
    }
    keys = {who: session_key(User.objects.get(email=email)) for who, email in adults.items()}
    return {"ids": ids(session, coach) | rows, "keys": keys | helpers(session, coach), "tokens": tokens(session, coach)}


def begin_now(session: Any) -> None:
    """The session begins at this minute: passes are good only round it."""
    from django.utils import timezone

    now = timezone.now().astimezone(session.club.zone)
    session.date, session.starts = now.date(), now.time().replace(second=0, microsecond=0)
    session.save()


def make_evening(session: Any, coach: Any) -> dict[str, str]:
    """The register, groups, tools at two stations, a child who came late, a note; the bell is not started yet."""
    from django.utils import timezone

    from clubapp.live import actions as live
    from clubapp.live.access import leader_for
    from clubapp.register import actions as register
    from clubapp.rotation import actions as rotation
    from clubapp.rotation.wishes import Wishes

    children = list(session.squad.athletes.order_by("given_name"))
    for child in children[: HERE - 1]:
        register.mark_here(session=session, athlete=child, tap=register.Tap(coach))
    stations = list(session.stations.order_by("number"))
    for station, tool in zip(stations, ("watch", "caller"), strict=False):
        station.tools = tool
        station.save()
    rotation.make_groups(order=rotation.Order(session, coach, Wishes(groups=5, rounds=5), seed=1))
    register.mark_here(session=session, athlete=children[HERE - 1], tap=register.Tap(coach))
    sent = live.Sent(leader_for(coach, session.pk), register.Tap(coach))
    note = live.write_incident(
        note=live.Note(children[0], timezone.now(), "Grazed knee, washed and plastered."), sent=sent
    )
    return {"incident": str(note.pk), "athlete": str(children[1].pk), "child": str(children[1].pk)}


def ids(session: Any, coach: Any) -> dict[str, str]:
    """What addresses are made of."""
    from clubapp.desk.demo import scenario
    from clubapp.people.actions import keep_draft
    from clubapp.people.csvfile import read
    from clubapp.people.models import Guardian, Membership, PairRule, Role

    club = session.club
    rule, _ = PairRule.objects.get_or_create(club=club, kind=PairRule.Kind.APART, label="near the water")
    table = read(b"given_name,family_name,date_of_birth\nIda,Reed,2016-04-09\nOle,Reed,2015-12-01\n")
    draft = keep_draft(club=club, table=table, squad=session.squad, by=coach)
    guardian = Guardian.objects.filter(children__athlete__club=club).earliest("name")
    kin = guardian.children.earliest("pk").athlete
    own = Guardian.objects.get(user__email=scenario.GUARDIANS[0].adult.email).children.earliest("pk").athlete
    past = club.sessions.exclude(pk=session.pk).latest("date")
    played = {game.kind: str(game.pk) for game in past.games.all()}
    tonight = games_of(session, coach)
    numbered = {f"station{one.number}": str(one.pk) for one in session.stations.all()}
    return (
        numbered
        | played
        | tonight
        | {
            "session": str(session.pk),
            "past": str(past.pk),
            "squad": str(session.squad_id),
            "guardian": str(guardian.pk),
            "kin": str(kin.pk),
            "own": str(own.pk),
            "member": str(Membership.objects.filter(club=club).exclude(role=Role.HEAD_COACH).earliest("pk").pk),
            "rule": str(rule.pk),
            "draft": str(draft.pk),
        }
    )


def games_of(session: Any, coach: Any) -> dict[str, str]:
    """Tonight's, ready to start, some of them twice by another wish."""
    from clubapp.games import actions
    from clubapp.games.kinds import known_kind
    from clubapp.games.present import present_of

    present, found = present_of(session), {}
    asked: tuple[tuple[str, dict[str, Any]], ...] = (
        ("heats", {}),
        ("relays", {}),
        ("handicaps", {"how": "seconds"}),
        ("freeze", {}),
        ("stopgo", {}),
        ("small", {}),
        ("wall", {"how": "pairs"}),
    )
    for code, wishes in asked:
        kind = known_kind(code)
        wanted = {**kind.defaults(present), **wishes}
        order = actions.Order(session, coach, kind, frozenset(present.unasked), wanted, 1)
        found[f"tonight_{code}"] = str(actions.make_game(order=order).pk)
    return found


def helpers(session: Any, coach: Any) -> dict[str, str]:
    """Two adults who came with the pass; the leader let one of them in."""
    from clubapp.live import actions as live
    from clubapp.live.access import visitor_by_key

    entry = live.make_pass(session=session, by=coach)
    keys = {who: live.come_to_gate(entry=entry, name=name) for who, name in (("helper", "Ros"), ("waiter", "Jem"))}
    visitor = visitor_by_key(keys["helper"])
    if visitor is None:
        raise RuntimeError("the helper is not at the gate")
    live.let_in(visitor=visitor, by=coach)
    return keys


def tokens(session: Any, coach: Any) -> dict[str, str]:
    """Paths that are opened by a token."""
    from django.urls import reverse

    from clubapp.live import passes
    from clubapp.live.queries import open_pass
    from clubapp.people import actions as people
    from clubapp.people.models import Role

    entry = open_pass(session)
    if entry is None:
        raise RuntimeError("there is no pass")
    return {
        "gate": reverse("live:gate", args=[passes.token_of(entry.pk)]),
        "invitation": people.invite_member(club=session.club, role=Role.ASSISTANT, squads=[session.squad], by=coach),
    }


if __name__ == "__main__":
    main()
