"""A running bell to measure, in a process and data folder of its own: `python -m clubapp.desk.bench.stage`.

Loads the demo's club and its session of today, marks everybody here, makes groups, starts the bell, prints as one line
of JSON where it is, and serves until it is stopped.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    door = server.open_door("127.0.0.1", 0)
    server.prepare()
    sys.stdout.write(json.dumps({"port": door.port, "pid": os.getpid(), **start_bell()}) + "\n")
    sys.stdout.flush()
    server.run(door)


def start_bell(*, past: bool = False) -> dict[str, Any]:
    """The session's id, the number of the bell's last command, the head coach's session key, the squad's children.

    past: with the Saturdays before, which take longer to write than all the rest and which the bell never reads.
    """
    from clubapp.desk.demo.load import head_coach, load, load_evening
    from clubapp.planning.models import Session

    if past:
        load()
    else:
        load_evening()
    coach = head_coach()
    session = Session.objects.latest("date")
    seq = run_session(session, coach)
    children = [str(athlete.pk) for athlete in session.squad.athletes.order_by("pk")]
    return {"session": str(session.pk), "seq": seq, "key": session_key(coach), "children": children}


def session_key(user: Any) -> str:
    """Of somebody who has signed in."""
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    store = SessionStore()
    store[SESSION_KEY] = str(user.pk)
    store[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    store[HASH_SESSION_KEY] = user.get_session_auth_hash()
    store.save()
    return str(store.session_key)


def run_session(session: Any, coach: Any) -> int:
    """From the register to a running bell."""
    import uuid

    from clubapp.live import actions as live
    from clubapp.live.access import leader_for
    from clubapp.live.messages import Tap
    from clubapp.register import actions as register
    from clubapp.rotation import actions as rotation
    from clubapp.rotation.wishes import Wishes

    for athlete in session.squad.athletes.all():
        register.mark_here(session=session, athlete=athlete, tap=register.Tap(coach))
    rotation.make_groups(order=rotation.Order(session, coach, Wishes(groups=6, rounds=6), seed=1))
    order = live.Order(leader_for(coach, session.pk), Tap(uuid.uuid4(), "start", seen=0))
    return live.give_command(order=order).seq


if __name__ == "__main__":
    main()
