"""A long search in the process that the server starts: `python -m tests.rotation.search_stage 48 8 [enough]`.

Run with a data folder of its own. Prints how it came out as one line of JSON.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys


def main(children: int, parts: int, enough: bool) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "clubapp.settings"
    import django

    django.setup()

    from clubapp.rotation import launching, queries
    from clubapp.rotation.actions import searches
    from clubapp.rotation.models import Plan, Think
    from tests.cast import make_cast
    from tests.rotation.evening import everybody_here, standing

    cast = make_cast()
    everybody_here(cast, children=children)
    before = standing(cast, parts)
    think = searches.look_longer(session=cast.session, version=before.version, by=cast.hazel)
    (process,) = launching.started
    while enough and process.poll() is None and queries.newest_think(cast.session.pk).score is None:  # type: ignore[union-attr]
        wait(process)
    if enough:
        searches.end_with_best(session=cast.session)
    status = process.wait()
    think.refresh_from_db()
    proof = Plan.objects.latest("version").proof.get("groups", {})
    told = {"status": status, "outcome": think.outcome, "told": [think.score, think.bound], "proof": proof}
    sys.stdout.write(json.dumps(told | {"silent": Think.objects.filter(outcome="").count()}) + "\n")


def wait(process: subprocess.Popen[bytes]) -> None:
    """Until it ends, or a moment later."""
    try:
        process.wait(timeout=0.2)
    except subprocess.TimeoutExpired:
        return


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3:] == ["enough"])
