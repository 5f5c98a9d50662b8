"""What the web application weighs after a plan for 24 children: `python -m clubapp.desk.bench.memory` prints it.

In a process and data folder of its own: everybody of the demo is marked here, groups are made in the process.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path

from clubapp.desk.bench.rows import Row

PAGES = Path("/proc/self/statm")


def row() -> Row:
    from clubapp.desk.bench.fanout import process

    with process("memory") as line:
        return Row("memory and start", "250 MB resident after the plan", json.loads(line))


def resident_mb() -> float:
    """What is in memory now, or where the system does not say, what was at most."""
    if PAGES.exists():
        return int(PAGES.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 2**20
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    started = time.perf_counter()
    from django.conf import settings
    from django.urls import get_resolver
    from django.utils.module_loading import import_string

    # By the names in the settings, as a server does: this app may not know what stands above it.
    import_string(settings.ASGI_APPLICATION)
    assert get_resolver().url_patterns
    from clubapp.desk import server
    from clubapp.desk.bench.stage import start_bell

    imported, before = time.perf_counter() - started, resident_mb()
    brought = sorted({"ortools", "pandas"} & set(sys.modules))
    server.prepare()
    start_bell(past=True)
    told = {
        "import_s": imported,
        "imported_mb": before,
        "after_the_plan_mb": resident_mb(),
        "imports_solver_or_pandas": ", ".join(brought) or "no",
    }
    sys.stdout.write(json.dumps(told) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
