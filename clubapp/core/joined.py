"""Joins our scripts' modules into one file when static files are collected.

Sources stay ordinary modules, which is also what tests load. Over a slow line half a hundred small files cost more in
headers and waiting than in content, so pages fetch one, and a second where a page has much of its own: each module
becomes a function in it, run once when first wanted. Only the forms our scripts use are understood, and values that
never change after export; anything else is refused by name.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

MODULE = re.compile(r"^(?:import|export) ", re.M)
FOLDER = "js/joined/"
ALL = f"{FOLDER}all.js"
# Folders only a page of their own needs: a file each, which takes the rest from the common one.
CALLER = f"{FOLDER}caller.js"
REGISTER = f"{FOLDER}register.js"
GAMES = f"{FOLDER}games.js"
ROWS = ("blank", "finish", "others", "rest", "rows", "sheet", "sums", "taps")
APART = {
    "js/games/": GAMES,
    **{f"js/offline/{name}.js": REGISTER for name in ROWS},
    "js/live/stopwatch/": f"{FOLDER}stopwatch.js",
    "js/live/entry/": f"{FOLDER}entry.js",
    "js/live/caller/": CALLER,
    "js/live/cues.js": CALLER,
    "js/planning/": f"{FOLDER}planning.js",
}
IMPORT = re.compile(r'^import \{([^}]*)\} from "(\.[^"]+)";\n', re.M)
EXPORT = re.compile(r"^export (?=(?:async function|function\*?|class|const) (\w+))", re.M)
LEFT = re.compile(r"^\s*(?:import|export)\b.*$|\bimport\s*\(|\bimport\.meta\b", re.M)
BESIDE = re.compile(r"^[ \t]*//.*\n|^[ \t]+|^\n", re.M)
FRAME = """"use strict";
const made = {};
const makers = {
%s};
export const use = (name) => (made[name] ??= makers[name]());
"""


APART_FRAME = """"use strict";
import { use as common } from "./all.js";
const made = {};
const makers = {
%s};
export const use = (name) => (name in makers ? (made[name] ??= makers[name]()) : common(name));
"""


def file_of(name: str) -> str:
    """The joined file a module goes into."""
    return next((file for folder, file in APART.items() if name.startswith(folder)), ALL)


def stub_of(name: str) -> str:
    """Where the page's own small file for a module lies."""
    return FOLDER + name.removeprefix("js/").replace("/", "_")


def join(modules: Mapping[str, str]) -> dict[str, str]:
    """The joined file and a stub for each module, by name. modules: path below static -> source."""
    refuse_circles({name: [path for _names, path in neighbours(name, text)] for name, text in modules.items()})
    made: dict[str, str] = {}
    for file in {ALL, *map(file_of, modules)}:
        inside = [name for name in sorted(modules) if file_of(name) == file]
        _refuse_strangers(file, {name: modules[name] for name in inside})
        made[file] = (FRAME if file == ALL else APART_FRAME) % "".join(_maker(name, modules[name]) for name in inside)
    for name in sorted(modules):
        file = posixpath.basename(file_of(name))
        made[stub_of(name)] = f'import {{ use }} from "./{file}";\nawait use({json.dumps(name)});\n'
    return made


def _refuse_strangers(file: str, modules: Mapping[str, str]) -> None:
    """A file can take from itself and from the common one alone."""
    for name, text in modules.items():
        for _names, path in neighbours(name, text):
            if file_of(path) not in (file, ALL):
                raise ValueError(f"{name}: takes {path} from a file that other pages do not load")


def neighbours(name: str, source: str) -> list[tuple[str, str]]:
    """What a module imports: (names as written, path below static)."""
    folder = posixpath.dirname(name)
    return [(names, posixpath.normpath(posixpath.join(folder, path))) for names, path in IMPORT.findall(source)]


def refuse_circles(imports: Mapping[str, Sequence[str]]) -> None:
    """Two modules that wait for one another would both wait for ever."""
    if missing := {path for paths in imports.values() for path in paths} - imports.keys():
        raise ValueError(f"scripts import what is not there: {', '.join(sorted(missing))}")
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        raise ValueError(f"scripts import one another in a circle: {' > '.join(error.args[1])}") from error


def bare(source: str) -> str:
    """Without whole lines of comment, indents and empty lines, unless they stand inside a text of several lines."""

    def drop(match: re.Match[str]) -> str:
        return match.group(0) if source.count("`", 0, match.start()) % 2 else ""

    return BESIDE.sub(drop, source)


def _maker(name: str, source: str) -> str:
    lines = [
        f"const {{{names.replace(' as ', ': ')}}} = await use({json.dumps(path)});\n"
        for names, path in neighbours(name, source)
    ]
    exports = EXPORT.findall(source)
    body = EXPORT.sub("", IMPORT.sub("", bare(source)))
    if left := LEFT.search(body):
        raise ValueError(f"{name}: this form of import or export cannot be joined: {left.group(0).strip()}")
    return f"{json.dumps(name)}: async () => {{\n{''.join(lines)}{body}return {{ {', '.join(exports)} }};\n}},\n"
