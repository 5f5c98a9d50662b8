"""A running bell, and two other clubs with big squads: `python -m clubapp.desk.bench.busy_stage GROUPS`.

Like the stage of the fan-out; prints besides where the two coaches can ask for groups.
"""

from __future__ import annotations

import json
import os
import sys
from typing import Any

CHILDREN = 48
ZONE = "Europe/London"


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server
    from clubapp.desk.bench.stage import start_bell

    door = server.open_door("127.0.0.1", 0)
    server.prepare()
    told = {"port": door.port, **start_bell(), "others": [other_club(number, int(sys.argv[1])) for number in (1, 2)]}
    sys.stdout.write(json.dumps(told) + "\n")
    sys.stdout.flush()
    server.run(door)


def other_club(number: int, groups: int) -> dict[str, Any]:
    """A club whose session has groups that can be bettered."""
    from clubapp.desk.bench.stage import session_key
    from clubapp.desk.demo.load import new_password
    from clubapp.people import actions as people
    from clubapp.people.models import Membership
    from clubapp.rotation import actions as rotation
    from clubapp.rotation.wishes import Wishes

    adult = people.NewAdult(f"Coach {number}", f"coach{number}@bench.example", new_password())
    club = people.make_club(new=people.NewClub(f"Bench {number}", ZONE, "All", adult))
    coach = Membership.objects.get(club=club).user
    session = session_of(club, coach)
    wishes = Wishes(groups=groups, rounds=6, not_alone=(), within_years=None)
    plan = rotation.make_groups(order=rotation.Order(session, coach, wishes, seed=number))
    return {"session": str(session.pk), "key": session_key(coach), "version": getattr(plan, "version", 0)}


def session_of(club: Any, coach: Any) -> Any:
    from django.utils import timezone

    from clubapp.desk.bench.squads import squad
    from clubapp.desk.demo.load import make_session, soon
    from clubapp.people import actions as people
    from clubapp.register import actions as register
    from clubapp.results import actions as results

    now = timezone.now().astimezone(club.zone)
    session = make_session(club, now.date(), soon(now), coach)
    milliseconds = {}
    for child in squad(CHILDREN, seed=1):
        details = people.AthleteDetails(
            given_name=child.id.title(),
            family_name="Bench",
            date_of_birth=child.born,
            skill=int(child.values["skill"]),
            sessions_before=9,
        )
        athlete = people.make_athlete(club=club, details=details, squads=[session.squad])
        register.mark_here(session=session, athlete=athlete, tap=register.Tap(coach))
        milliseconds[athlete.pk] = round(1000 * child.values["speed_s"])
    results.add_speeds(club_id=club.pk, milliseconds=milliseconds, on=now.date())
    return session


if __name__ == "__main__":
    main()
