"""The chaos's data folder: `python -m clubapp.desk.bench.chaos.stage serve N PORT` or `… audit`; prints JSON.

The first fills it for so many phones, and is the first server that is killed: every start costs seconds.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any
from uuid import UUID

ROUNDS = 6  # of the groups that the bell's stage makes


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    if sys.argv[1] == "audit":
        say(audit())
        return
    from clubapp.desk import server

    door = server.open_door("127.0.0.1", int(sys.argv[3]))
    server.prepare()
    say(fill(int(sys.argv[2])))
    server.run(door)


def say(told: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(told) + "\n")
    sys.stdout.flush()


def fill(phones: int) -> dict[str, Any]:
    """A running session, and a sign-in of its own for each phone: the head coach's and an assistant's by turns."""
    from clubapp.desk.bench.stage import session_key, start_bell
    from clubapp.desk.demo.load import head_coach
    from clubapp.people.models import Membership, Role
    from clubapp.planning import queries as planning
    from clubapp.planning.models import Session

    told = start_bell()
    session = Session.objects.get(pk=told["session"])
    assistant = Membership.objects.filter(role=Role.ASSISTANT, squads=session.squad_id).order_by("user__email")[0].user
    adults = (head_coach(), assistant)
    owners = [adults[number % 2] for number in range(phones)]
    signed_in = [{"key": session_key(user), "owner": str(user.pk)} for user in owners]
    places = [str(station.pk) for station in planning.stations(session)]
    told |= {"stations": places, "rounds": ROUNDS, "year": session.date.year}
    told |= {"takers": takers(told["children"]), "family": family()}
    return told | {"phones": signed_in, "before": len(audit()["writes"])}


def takers(children: list[str]) -> list[tuple[str, str]]:
    """Children with an adult who may collect them."""
    from clubapp.people.queries import collectors

    ties = collectors(UUID(child) for child in children).values()
    return [(str(tie.athlete_id), str(tie.guardian_id)) for some in ties for tie in some]


def family() -> dict[str, Any]:
    """A guardian's sign-in, and the own children."""
    from clubapp.desk.bench.stage import session_key
    from clubapp.people.models import Guardian

    adult = Guardian.objects.filter(user__isnull=False).select_related("user").earliest("name")
    children = [str(child) for child in adult.children.values_list("athlete_id", flat=True)]
    return {"key": session_key(adult.user), "owner": str(adult.user_id), "children": children}


def audit() -> dict[str, Any]:
    """What the club holds in the end: every write's id, the register, the bell's commands and the version."""
    from django.apps import apps

    from clubapp.core.models import FieldWrite
    from clubapp.core.tell import version_of
    from clubapp.live.models import Command
    from clubapp.planning.models import Session
    from clubapp.register.access import expected
    from clubapp.register.queries import current_marks

    session = Session.objects.latest("date")
    # Whatever a phone may write, so that a new kind is counted from its first day. The bell's taps are counted apart.
    kept = [model for model in apps.get_models() if issubclass(model, FieldWrite) and model is not Command]
    writes = [str(op_id) for model in kept for op_id in model._default_manager.values_list("op_id", flat=True)]
    commands = Command.objects.filter(room__session=session).values_list("op_id", flat=True)
    kinds = {str(child): str(mark.kind) for child, mark in current_marks(session.pk).items()}
    told = {"writes": writes, "commands": [str(op_id) for op_id in commands], "kinds": kinds}
    return told | {"children": [str(child.pk) for child in expected(session)], "version": version_of(session.pk)}


if __name__ == "__main__":
    main()
