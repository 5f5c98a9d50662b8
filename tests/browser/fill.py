"""Fills a data folder with a club in the middle of an evening: `python -m tests.browser.fill` with FIELDBELL_DATA set.

A process of its own, because the tests' process has the tests' database. Prints ids and session keys as JSON.
"""

from __future__ import annotations

import fcntl
import json
import os
import shutil
import subprocess
import sys
import time
import uuid
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from tests.browser.servers import own_folder
from tests.rules.house import ROOT

WHO = ("hazel", "finn", "wanda", "greta", "gus", "sal")
HELPERS = ("helper", "waiter")  # let in, and still at the gate


@dataclass(frozen=True)
class Stage:
    """ids: what addresses hold, by name. tokens: of the addresses opened by one. keys: session keys of the cast."""

    ids: dict[str, str]
    keys: dict[str, str]
    tokens: dict[str, str]

    def cookies(self, who: str, home: str) -> list[Any]:
        """What this adult's browser holds; nobody's holds nothing."""
        name = "fieldbell-pass" if who in HELPERS else "fieldbell"
        return [{"name": name, "value": self.keys[who], "url": home}] if who in self.keys else []


YOUNG_S = 240


def filled(data: Path, module: str = "tests.browser.fill") -> Stage:
    """A data folder as this module fills it, or one like it: filled once for all workers while the evening is young."""
    from tests.folder import BASE  # which gives a worker its folder: not for the process below

    base = Path(BASE) / "filled" / module
    pattern, told = base / "club", base / os.environ.get("PYTEST_XDIST_TESTRUNUID", str(os.getpid()))
    base.mkdir(parents=True, exist_ok=True)
    with (base / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not told.exists() or time.time() - told.stat().st_mtime > YOUNG_S:
            told.unlink(missing_ok=True)
            shutil.rmtree(pattern, ignore_errors=True)
            words = [sys.executable, "-m", module]
            done = subprocess.run(words, cwd=ROOT, env=own_folder(pattern), capture_output=True, text=True)
            assert done.returncode == 0, done.stderr
            told.write_text(done.stdout)
        shutil.copytree(pattern, data, symlinks=True, dirs_exist_ok=True)
        return Stage(**json.loads(told.read_text()))


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()

    from allauth.mfa.models import Authenticator

    from clubapp.planning.library.shelf import standard
    from tests.cast import make_cast
    from tests.rules.addresses import ids_of

    cast = make_cast()
    cast.session.stations.update(diagram=standard()["roll-and-round"].diagram)  # the drawing of most bytes
    begin_now(cast)
    begin_evening(cast)
    ids = {name: str(value) for name, value in ids_of(cast).items()}
    Authenticator.objects.all().delete()  # a second step that nobody could take
    keys = {who: session_key(getattr(cast, who)) for who in WHO} | helpers(cast)
    keys["finn elsewhere"] = session_key(cast.finn)  # a second sign-in of the same adult
    print(json.dumps({"ids": ids, "keys": keys, "tokens": tokens(cast)}))  # noqa: T201


def begin_now(cast: Any) -> None:
    """The session begins at this minute: passes are good only round it."""
    now = datetime.now(cast.club.zone)
    cast.session.date, cast.session.starts = now.date(), now.time().replace(second=0, microsecond=0)
    cast.session.save()


def begin_evening(cast: Any) -> None:
    """Half the register is taken, the bell runs, one child has a health note and one came after the groups."""
    from clubapp.live import actions as live
    from clubapp.live.access import leader_for
    from clubapp.live.messages import Tap
    from clubapp.people import actions as people
    from clubapp.people.models import Health
    from clubapp.register import actions as register
    from clubapp.register.models import Mark
    from clubapp.rotation import actions as rotation
    from clubapp.rotation.wishes import Wishes

    answer = people.HealthAnswer(Health.NOTE, "Sit down, blue inhaler.", "Asthma.")
    people.write_medical_note(athlete=cast.ada, answer=answer, by=cast.hazel)
    tap = register.Tap(cast.hazel)
    for athlete in cast.athletes[:4]:
        register.mark_here(session=cast.session, athlete=athlete, tap=register.Tap(cast.hazel))
    rotation.make_groups(order=rotation.Order(cast.session, cast.hazel, Wishes(groups=2, rounds=3), seed=1))
    order = live.Order(leader_for(cast.hazel, cast.session.pk), Tap(uuid.uuid4(), "start", seen=0))
    live.give_command(order=order)
    easy = register.Said(Mark.Kind.EASY, leave_out=(Mark.LeaveOut.JUMPS,))
    register.mark(session=cast.session, athlete=cast.athletes[4], said=easy, tap=tap)


def tokens(cast: Any) -> dict[str, str]:
    """A good token for every address that is opened by one."""
    from django.urls import resolve, reverse

    from clubapp.live import passes
    from clubapp.live.queries import open_pass
    from clubapp.people import actions as people
    from clubapp.people.models import Role

    entry = open_pass(cast.session)
    assert entry is not None
    paths = [
        reverse("live:gate", args=[passes.token_of(entry.pk)]),
        people.make_set_up_link(),
        people.invite_member(club=cast.club, role=Role.ASSISTANT, squads=[cast.squad], by=cast.hazel),
    ]
    return {(match := resolve(path)).view_name: str(match.kwargs["token"]) for path in paths}


def helpers(cast: Any) -> dict[str, str]:
    """Two adults who came with the pass; the leader let one of them in."""
    from clubapp.live import actions as live
    from clubapp.live.access import visitor_by_key

    entry = live.make_pass(session=cast.session, by=cast.hazel)
    keys = {who: live.come_to_gate(entry=entry, name=who.title()) for who in HELPERS}
    visitor = visitor_by_key(keys["helper"])
    assert visitor is not None
    live.let_in(visitor=visitor, by=cast.hazel)
    return keys


def session_key(user: Any) -> str:
    """The key of a browser session in which this person is signed in."""
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    store = SessionStore()
    store[SESSION_KEY] = str(user.pk)
    store[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    store[HASH_SESSION_KEY] = user.get_session_auth_hash()
    store.save()
    return str(store.session_key)


if __name__ == "__main__":
    main()
