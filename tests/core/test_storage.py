"""Static files under names that change with their content."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from django.conf import settings

IMPORT = re.compile(r"""(?:from|import)\s*["'](\.[^"']+)["']""")
ADDRESS = re.compile(r"""url\(["']?([^)"']+)["']?\)""")
HASHED = re.compile(r"\.[0-9a-f]{12}\.")
ROOT = Path(settings.BASE_DIR) / "static"


def ours(kind: str) -> list[str]:
    return sorted(str(path.relative_to(ROOT)) for path in ROOT.rglob(f"*.{kind}"))


def served(name: str) -> Path:
    names = json.loads((settings.STATIC_ROOT / "staticfiles.json").read_text())["paths"]
    return Path(settings.STATIC_ROOT / names[name])


@pytest.mark.parametrize("name", ours("js"))
def test_a_module_imports_its_neighbours_by_their_hashed_names(name: str) -> None:
    """A line without a semicolon would keep the plain name and so an old file after an update."""
    path = served(name)
    wanted = IMPORT.findall(path.read_text())
    assert len(wanted) == len(IMPORT.findall((ROOT / name).read_text()))
    for one in wanted:
        assert HASHED.search(one), one
        assert (path.parent / one).resolve().is_file()


@pytest.mark.parametrize("name", ours("css"))
def test_a_sheet_names_pictures_by_their_hashed_names(name: str) -> None:
    path = served(name)
    for one in ADDRESS.findall(path.read_text()):
        assert HASHED.search(one), one
        assert (path.parent / one).resolve().is_file()


def test_other_peoples_bundles_are_copied_as_they_are() -> None:
    path = served("django_htmx/htmx-2.min.js")
    import django_htmx

    source = Path(django_htmx.__file__).parent / "static/django_htmx/htmx-2.min.js"
    assert path.read_bytes() == source.read_bytes()
