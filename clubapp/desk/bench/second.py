"""Another server process on the stage's data folder: `python -m clubapp.desk.bench.second` prints where it is."""

from __future__ import annotations

import json
import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    door = server.open_door("127.0.0.1", 0)
    sys.stdout.write(json.dumps({"port": door.port, "pid": os.getpid()}) + "\n")
    sys.stdout.flush()
    server.run(door)


if __name__ == "__main__":
    main()
