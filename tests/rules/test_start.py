"""What the web application brings with it when it starts."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from tests.browser.servers import own_folder
from tests.rules.house import ROOT

EVERY_ADDRESS = """
import json, os, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "clubapp.settings"
import clubapp.asgi
from django.urls import URLResolver, get_resolver
def walk(patterns):
    for pattern in patterns:
        yield from walk(pattern.url_patterns) if isinstance(pattern, URLResolver) else [pattern.callback]
views = sorted({view.__module__ for view in walk(get_resolver().url_patterns)})
print(json.dumps({"views": views, "modules": sorted({name.split(".")[0] for name in sys.modules})}))
"""
HEAVY = {"ortools", "pandas", "scipy", "matplotlib"}


def test_the_web_application_starts_without_the_solver(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", EVERY_ADDRESS],
        cwd=ROOT,
        env=own_folder(tmp_path, empty=True),
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert {"clubapp.rotation.views", "clubapp.live.views.bell", "clubapp.desk.views"} <= set(told["views"])
    assert HEAVY & set(told["modules"]) == set()
