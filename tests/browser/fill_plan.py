"""Fills a data folder with a new coach's club: children, a venue, a bag, one session to move stations in."""

from __future__ import annotations

import json
import os


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()

    from datetime import timedelta

    from clubapp.planning.actions import Stand, keep_kit, place_stations
    from tests.browser.fill import session_key
    from tests.cast import make_cast
    from tests.planning.test_field import on_a_meadow

    cast = make_cast()
    keep_kit(club=cast.club, owned={"cones": 60, "balls": 16, "beanbags": 24, "bibs": 24}, by=cast.hazel)
    session = on_a_meadow(cast)
    session.date += timedelta(days=7)
    session.save()
    places = (Stand(10, 16), Stand(35, 16), Stand(58, 25))
    rows = session.stations.order_by("number")
    place_stations(session=session, stands={str(row.pk): at for row, at in zip(rows, places, strict=True)})
    keys = {"hazel": session_key(cast.hazel)}
    print(json.dumps({"ids": {"session_id": str(session.pk)}, "keys": keys, "tokens": {}}))  # noqa: T201


if __name__ == "__main__":
    main()
