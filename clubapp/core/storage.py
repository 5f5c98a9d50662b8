"""Static files under names that change with their content, imports between our JavaScript modules included."""

from __future__ import annotations

from collections.abc import Callable
from re import Match
from typing import Any

from servestatic.storage import CompressedManifestStaticFilesStorage


class HashedStatic(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # it brings no types
    """Compressed copies lie beside the files, for whoever asks for one.

    Every `import` line must be relative and end in a semicolon, or Django leaves it alone.
    """

    support_js_module_import_aggregation = True

    def url_converter(self, name: str, *args: Any, **named: Any) -> Callable[[Match[str]], str]:
        """Other people's scripts are bundles whose comments look like imports: copied as they are."""
        if name.startswith("django_htmx/"):
            return lambda match: match.group(0)
        convert: Callable[[Match[str]], str] = super().url_converter(name, *args, **named)
        return convert
