"""A long roster from the file's bytes to the last row written, and taken back, in a data folder of its own."""

from __future__ import annotations

import json
import os
import sys
import time
from typing import Any

from clubapp.desk.bench.fanout import process
from clubapp.desk.bench.rows import Row

LINES = 5000


def row() -> Row:
    """Seconds to take over a new file, the same file with every child changed, and to undo the change."""
    with process("roster") as line:
        return Row(f"roster of {LINES} rows", "a goal of 3 s a file", json.loads(line))


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    server.prepare()
    sys.stdout.write(json.dumps(measure()) + "\n")


def measure() -> dict[str, float]:
    from clubapp.people import actions

    new = actions.NewAdult("Hazel", "hazel@bench.example", "four-grey-herons")
    club = actions.make_club(new=actions.NewClub("Bench", "UTC", "Saturday", new))
    coach = club.memberships.get().user
    began = time.perf_counter()
    take_over(club, coach, "Reed")
    taken = time.perf_counter()
    done = take_over(club, coach, "Rush")
    changed = time.perf_counter()
    actions.undo_import(done=done, by=coach)
    return {"new_s": taken - began, "changed_s": changed - taken, "undone_s": time.perf_counter() - changed}


def take_over(club: Any, coach: Any, family: str) -> Any:
    """As the pages do it: read, guess the columns, look, confirm."""
    from clubapp.people import actions, csvfile
    from clubapp.people.roster import drafting

    draft = actions.keep_draft(club=club, table=csvfile.read(roster(family)), squad=club.squads.get(), by=coach)
    actions.set_columns(draft=draft, meanings=draft.columns, order="either")
    return actions.confirm_import(draft=draft, digest=drafting.preview_of(draft).digest, by=coach)


def roster(family: str) -> bytes:
    """Children of 7 to 15, every one with a speed, one in ten under a label."""
    lines = ["id,given_name,family_name,date_of_birth,sex,skill,speed_s,together,apart"]
    for n in range(LINES):
        born = f"{2012 + n % 5}-{1 + n % 12:02}-{1 + n % 28:02}"
        labels = f"{f'T{n // 20}' if n % 20 < 2 else ''},{f'A{n // 30}' if n % 30 < 2 else ''}"
        lines.append(f"{n},Child{n},{family},{born},{'fm'[n % 2]},{1 + n % 5},{6 + n % 300 / 100:.2f},{labels}")
    return "\r\n".join(lines).encode()


if __name__ == "__main__":
    main()
