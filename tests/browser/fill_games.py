"""Twenty-four children who are here, the first round on: `python -m tests.browser.fill_games`."""

from __future__ import annotations

import json
import os


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.rotation.queries import current_plan
    from tests.browser.fill import begin_now, helpers, session_key
    from tests.cast import make_cast
    from tests.games.evening import everybody_here
    from tests.live.evening import give, leader
    from tests.rotation.evening import made

    cast = make_cast()
    begin_now(cast)
    everybody_here(cast, 24)
    made(cast, groups=4, rounds=2)
    give(leader(cast), "start")
    give(leader(cast), "next", seen=1)
    plan = current_plan(cast.session.pk)
    assert plan is not None
    keys = {who: session_key(getattr(cast, who)) for who in ("hazel", "finn")} | helpers(cast)
    ids = {"session_id": str(cast.session.pk), "station_id": str(plan.station_of(0, 1))}
    print(json.dumps({"ids": ids, "keys": keys, "tokens": {}}))  # noqa: T201


if __name__ == "__main__":
    main()
