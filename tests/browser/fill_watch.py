"""Twelve children at one station with a stop-watch, the bell running: `python -m tests.browser.fill_watch`."""

from __future__ import annotations

import json
import os


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()

    from tests.browser.fill import begin_now, session_key
    from tests.cast import make_cast
    from tests.live.evening import give, leader, ready

    cast = make_cast()
    begin_now(cast)
    cast.session.stations.filter(number__gt=1).delete()
    cast.session.stations.update(tools="watch", name="Straight to the post")
    ready(cast, groups=1, rounds=1)
    give(leader(cast), "start")
    give(leader(cast), "next", seen=1)
    station = cast.session.stations.get()
    ids = {"session_id": str(cast.session.pk), "station_id": str(station.pk)}
    keys = {who: session_key(getattr(cast, who)) for who in ("hazel", "finn")}
    keys["finn elsewhere"] = session_key(cast.finn)  # a second sign-in, for whoever signs out
    keys["finn away"] = session_key(cast.finn)
    print(json.dumps({"ids": ids, "keys": keys, "tokens": {}}))  # noqa: T201


if __name__ == "__main__":
    main()
