"""Joins our scripts' modules into one file when static files are collected.

Sources stay ordinary modules, which is also what tests load. Over a slow line half a hundred small files cost more in
headers and waiting than in content, so pages fetch one: each module becomes a function in it, run once when first
wanted. Only the forms our scripts use are understood, and values that never change after export; anything else is
refused by name.
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
IMPORT = re.compile(r'^import \{([^}]*)\} from "(\.[^"]+)";\n', re.M)
EXPORT = re.compile(r"^export (?=(?:async function|function\*?|class|const) (\w+))", re.M)
LEFT = re.compile(r"^\s*(?:import|export)\b.*$|\bimport\s*\(|\bimport\.meta\b", re.M)
COMMENT = re.compile(r"^[ \t]*//.*\n", re.M)
FRAME = """"use strict";
const made = {};
const makers = {
%s};
export const use = (name) => (made[name] ??= makers[name]());
"""


def stub_of(name: str) -> str:
    """Where the page's own small file for a module lies."""
    return FOLDER + name.removeprefix("js/").replace("/", "_")


def join(modules: Mapping[str, str]) -> dict[str, str]:
    """The joined file and a stub for each module, by name. modules: path below static -> source."""
    refuse_circles({name: [path for _names, path in neighbours(name, text)] for name, text in modules.items()})
    made = {ALL: FRAME % "".join(_maker(name, modules[name]) for name in sorted(modules))}
    for name in sorted(modules):
        made[stub_of(name)] = f'import {{ use }} from "./all.js";\nawait use({json.dumps(name)});\n'
    return made


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


def without_comments(source: str) -> str:
    """Whole lines of comment go, unless they stand inside a text of several lines."""

    def drop(match: re.Match[str]) -> str:
        return match.group(0) if source.count("`", 0, match.start()) % 2 else ""

    return COMMENT.sub(drop, source)


def _maker(name: str, source: str) -> str:
    lines = [
        f"const {{{names.replace(' as ', ': ')}}} = await use({json.dumps(path)});\n"
        for names, path in neighbours(name, source)
    ]
    exports = EXPORT.findall(source)
    body = EXPORT.sub("", IMPORT.sub("", without_comments(source)))
    if left := LEFT.search(body):
        raise ValueError(f"{name}: this form of import or export cannot be joined: {left.group(0).strip()}")
    return f"{json.dumps(name)}: async () => {{\n{''.join(lines)}{body}return {{ {', '.join(exports)} }};\n}},\n"
