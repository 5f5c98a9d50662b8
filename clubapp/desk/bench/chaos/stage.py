"""The chaos's data folder: `python -m clubapp.desk.bench.chaos.stage fill N` or `… audit`; prints JSON."""

from __future__ import annotations

import json
import os
import sys
from typing import Any


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    told = fill(int(sys.argv[2])) if sys.argv[1] == "fill" else audit()
    sys.stdout.write(json.dumps(told) + "\n")


def fill(phones: int) -> dict[str, Any]:
    """A running session, and a sign-in of its own for each phone: the head coach's and an assistant's by turns."""
    from clubapp.desk import server
    from clubapp.desk.bench.stage import session_key, start_bell
    from clubapp.desk.demo.load import head_coach
    from clubapp.people.models import Membership, Role
    from clubapp.planning.models import Session

    server.prepare()
    told = start_bell()
    session = Session.objects.get(pk=told["session"])
    assistant = Membership.objects.filter(role=Role.ASSISTANT, squads=session.squad_id).order_by("user__email")[0].user
    adults = (head_coach(), assistant)
    owners = [adults[number % 2] for number in range(phones)]
    signed_in = [{"key": session_key(user), "owner": str(user.pk)} for user in owners]
    return told | {"phones": signed_in, "before": len(audit()["marks"])}


def audit() -> dict[str, Any]:
    """What the club holds in the end: every mark's id, the register, the bell's commands and the version."""
    from clubapp.core.tell import version_of
    from clubapp.live.models import Command
    from clubapp.planning.models import Session
    from clubapp.register.models import Mark
    from clubapp.register.queries import current_marks

    session = Session.objects.latest("date")
    marks = Mark.objects.filter(session=session).values_list("op_id", flat=True)
    commands = Command.objects.filter(room__session=session).values_list("op_id", flat=True)
    kinds = {str(child): str(mark.kind) for child, mark in current_marks(session.pk).items()}
    told = {"marks": [str(op_id) for op_id in marks], "commands": [str(op_id) for op_id in commands], "kinds": kinds}
    return told | {"version": version_of(session.pk)}


if __name__ == "__main__":
    main()
