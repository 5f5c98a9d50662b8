"""Joins style sheets into one file a kind of page when static files are collected.

Sources stay small sheets. A page shows nothing before its last sheet is there, and a phone fetches six files at a time:
two dozen of them were four round trips of a slow network before the first word.
"""

from __future__ import annotations

import re
from collections.abc import Callable

FOLDER = "css/joined/"
COMMON, BELL, REGISTER, PLAN = (f"{FOLDER}{name}.css" for name in ("common", "bell", "register", "plan"))
STOPWATCH, CALLER, GAMES, TALLY = (f"{FOLDER}{name}.css" for name in ("stopwatch", "caller", "games", "tally"))
ACTIVITY = f"{FOLDER}activity.css"
PAPER = f"{FOLDER}paper.css"
ENTRY = "css/pages/entry.css"
COMPONENTS = ("layout", "columns", "buttons", "forms", "rows", "marks", "notes", "tables", "queue", "wide")
# In this order: the layers are named first, and within a layer the later rule wins.
JOINED = {
    COMMON: (
        *(f"css/{name}.css" for name in ("layers", "reset", "tokens", "base")),
        *(f"css/components/{name}.css" for name in COMPONENTS),
        *(f"css/pages/{name}.css" for name in ("session", "incident")),
        "css/print.css",
    ),
    BELL: tuple(
        f"css/pages/{name}.css"
        for name in ("bell", "bell_field", "bell_wide", "stop", "bell_print", "alarm", "counts", "sound", "ground")
    ),
    REGISTER: tuple(f"css/pages/{name}.css" for name in ("register", "register_more", "going", "asking")),
    PLAN: ("css/pages/plan.css", "css/pages/plan_grid.css", "css/pages/changed.css"),
    STOPWATCH: ("css/pages/strip.css", "css/pages/stopwatch.css"),
    CALLER: ("css/pages/strip.css", "css/pages/caller.css"),
    GAMES: tuple(f"css/pages/{name}.css" for name in ("games", "games_race", "games_chasing", "games_league")),
    TALLY: ("css/pages/tally.css",),
    ACTIVITY: tuple(f"css/pages/{name}.css" for name in ("ground", "cards", "board", "field")),
    PAPER: tuple(f"css/pages/{name}.css" for name in ("ground", "field", "paper", "paper_cards")),
}
COMMENT = re.compile(r"/\*.*?\*/", re.S)
INDENT = re.compile(r"\n\s*")
REACH = re.compile(r"""url\(\s*["']?(?!data:|["']?data:)""")


def join(read: Callable[[str], str]) -> dict[str, str]:
    """The joined sheets by name. read: the source of a sheet below static.

    Raises:
        ValueError: a sheet that reaches for another file lies at another depth than the joined ones.
    """
    return {name: "".join(_bare(part, read(part)) for part in parts) for name, parts in JOINED.items()}


def _bare(name: str, source: str) -> str:
    """Without comments and indents, which a phone would fetch for nothing."""
    if name.count("/") != FOLDER.count("/") and REACH.search(source):
        raise ValueError(f"{name}: what it reaches for would be looked for elsewhere once it is joined")
    return INDENT.sub("\n", COMMENT.sub("", source)).strip() + "\n"
