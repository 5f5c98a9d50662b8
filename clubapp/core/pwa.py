"""What makes the pages a thing to install: the service worker's source and the manifest. No build step."""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.storage import staticfiles_storage
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from clubapp.core import joined, sheets

STATIC, TEMPLATES = Path(settings.BASE_DIR) / "static", Path(settings.BASE_DIR) / "templates"
SOURCES = tuple(f"js/offline/{name}.js" for name in ("worker_files", "worker_pages", "worker_push", "worker"))
HTMX = ("django_htmx/htmx-2.min.js",)
KEPT = (sheets.COMMON, sheets.BELL, "icons/mark.svg", "icons/trouble.svg", joined.ALL)
SCRIPT = re.compile(r"""<script(?: type="module")? src="\{% static '([^']+)' %\}">""")
ID = "[0-9a-f-]{36}"
# The same pages that core.keeping says until when they may be kept.
PAGES = (
    f"/bell/{ID}/",
    f"/bell/{ID}/stopwatch/",
    f"/bell/{ID}/enter/[a-z0-9_-]+/",
    f"/bell/{ID}/caller/",
    f"/bell/{ID}/station/{ID}/",
    f"/bell/{ID}/station/{ID}/stopwatch/",
    f"/bell/{ID}/station/{ID}/caller/",
    f"/bell/{ID}/game/{ID}/",
    f"/register/{ID}/",
    f"/register/{ID}/home/",
    f"/plan/{ID}/",
    f"/games/{ID}/{ID}/",
    f"/games/{ID}/{ID}/enter/[0-9]+/",
)
ASKED = (f"/register/{ID}/emergency/",)
FAMILY = ("/family/", f"/family/{ID}/")
# Pages with files that no other page needs: those are kept with the first of them, not at the first visit.
APART = {
    f"/bell/{ID}/(?:station/{ID}/)?stopwatch/": (
        "js/live/stopwatch/page.js",
        joined.APART["js/live/stopwatch/"],
        sheets.STOPWATCH,
    ),
    f"/bell/{ID}/enter/[a-z0-9_-]+/": ("js/live/entry/page.js", joined.APART["js/live/entry/"], sheets.ENTRY),
    f"/bell/{ID}/(?:station/{ID}/)?caller/": (
        "js/live/caller/page.js",
        joined.CALLER,
        sheets.CALLER,
    ),
    f"/bell/{ID}/game/{ID}/": ("js/games/tally.js", "js/games/queued.js", joined.GAMES, sheets.TALLY),
    f"/register/{ID}/(?:home/)?": ("js/offline/rows.js", "js/offline/going.js", joined.REGISTER, sheets.REGISTER),
    f"/register/{ID}/emergency/": ("js/offline/asked.js", sheets.REGISTER),
    f"/plan/{ID}/": (sheets.PLAN,),
    f"/games/{ID}/{ID}/(?:enter/[0-9]+/)?": (
        *(f"js/games/{name}.js" for name in ("clock", "finish", "moved", "queued", "score")),
        "js/live/caller/signals.js",
        joined.GAMES,
        joined.CALLER,
        sheets.GAMES,
    ),
    "/activities/[a-z0-9_-]+/drawing/": ("js/planning/board.js", joined.APART["js/planning/"]),
    f"/sessions/{ID}/field/": ("js/planning/field.js", joined.APART["js/planning/"]),
    f"/family/(?:{ID}/)?": ("js/offline/notices.js", "js/offline/asked.js"),
}


def files() -> list[str]:
    """The addresses, by content, of everything that kept pages have in common."""
    own = set(KEPT)
    for template in TEMPLATES.rglob("*.html"):
        own.update(SCRIPT.findall(template.read_text()))
    own -= {name for names in APART.values() for name in names}
    return [staticfiles_storage.url(name) for name in (*sorted(own), *HTMX)]


def apart() -> list[tuple[str, list[str]]]:
    """The addresses of the others, each with the pages that need them."""
    return [(pattern, [staticfiles_storage.url(name) for name in names]) for pattern, names in APART.items()]


@cache
def worker() -> str:
    """The worker with its release before it; another byte anywhere in it is a new version to the phones."""
    source, kept, more = "".join((STATIC / name).read_text() for name in SOURCES), files(), apart()
    content = "".join([source, *kept, json.dumps(more), render_to_string("core/offline.html")])
    release = {
        "version": hashlib.sha256(content.encode()).hexdigest()[:12],
        "files": kept,
        "apart": more,
        "offline": reverse("core:offline"),
        "pages": PAGES,
        "asked": ASKED,
        "family": FAMILY,
        "icon": staticfiles_storage.url("icons/app-192.png"),
    }
    return f"const RELEASE = {json.dumps(release)};\n{source}"


def manifest() -> dict[str, Any]:
    """`id` is what an installed app is known by and never changes."""
    sizes = [("icons/app-192.png", "192x192", "any"), ("icons/app-512.png", "512x512", "any")]
    sizes += [("icons/maskable-192.png", "192x192", "maskable"), ("icons/maskable-512.png", "512x512", "maskable")]
    return {
        "id": "/",
        "name": "Fieldbell",
        "short_name": "Fieldbell",
        "description": _("Register, groups and one clock for a junior squad."),
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#fbf8f1",
        "theme_color": "#fbf8f1",
        "icons": [
            {"src": staticfiles_storage.url(name), "sizes": size, "type": "image/png", "purpose": purpose}
            for name, size, purpose in sizes
        ],
    }
