"""Static files under names that change with their content, imports between our JavaScript modules included."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from re import Match
from typing import Any

from servestatic.storage import CompressedManifestStaticFilesStorage

from clubapp.core import joined, sheets


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

    def post_process(self, paths: dict[str, Any], dry_run: bool = False, **options: Any) -> Iterator[Any]:
        """Our scripts' modules and sheets as few files beside them, hashed and compressed like all others."""
        if not dry_run:
            paths = paths | {name: (self, name) for name in self._join(paths)}
        yield from super().post_process(paths, dry_run=dry_run, **options)

    def _join(self, paths: dict[str, Any]) -> list[str]:
        def read(name: str) -> str:
            storage, path = paths[name]
            with storage.open(path) as file:
                return str(file.read().decode())

        ours = (name for name in paths if name.startswith("js/") and not name.startswith(joined.FOLDER))
        modules = {name: read(name) for name in ours if name.endswith(".js")}
        made = joined.join({name: text for name, text in modules.items() if joined.MODULE.search(text)})
        made |= sheets.join(read)
        for name, text in made.items():
            place = Path(self.path(name))
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(text)
        return list(made)

    def url(self, name: str | None, force: bool = False) -> str:
        """A page that asks for a module gets the stub that takes it out of the joined file."""
        stub = joined.stub_of(name) if name and name.startswith("js/") else ""
        address: str = super().url(stub if stub in self.hashed_files else name, force)
        return address
