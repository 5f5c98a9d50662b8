"""Static files are gathered when there is a reason, and only then."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_django.fixtures import Settings

from clubapp.desk.collect import collect_static


@pytest.fixture
def sheet(tmp_path: Path, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The only static file of a small program; where it is gathered is beside it."""
    source = tmp_path / "source"
    source.mkdir()
    settings.STATICFILES_DIRS, settings.STATIC_ROOT = [source], tmp_path / "static"
    settings.STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
    monkeypatch.setattr("clubapp.core.sheets.JOINED", {})
    sheet = source / "sheet.css"
    sheet.write_text("b{color:red}")
    return sheet


def gathered(sheet: Path) -> set[str]:
    return {path.read_text() for path in (sheet.parent.parent / "static").glob("sheet*.css")}


def test_nothing_new_is_left_alone(sheet: Path) -> None:
    collect_static()
    copy = sheet.parent.parent / "static" / "sheet.css"
    copy.write_text("ours")
    collect_static()
    assert copy.read_text() == "ours"


def test_another_text_of_the_same_length_is_seen(sheet: Path) -> None:
    collect_static()
    sheet.write_text("i{color:red}")
    collect_static()
    assert "i{color:red}" in gathered(sheet)


def test_a_lost_list_of_names_is_made_again(sheet: Path) -> None:
    collect_static()
    names = sheet.parent.parent / "static" / "staticfiles.json"
    names.unlink()
    collect_static()
    assert names.exists()


def test_one_that_was_broken_off_is_begun_again(sheet: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    collect_static()
    sheet.write_text("b{color:tan}")
    with monkeypatch.context() as broken:
        broken.setattr("clubapp.desk.collect.call_command", lambda *args, **named: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            collect_static()
    sheet.write_text("b{color:red}")  # what was gathered before: but is it whole?
    (sheet.parent.parent / "static" / "sheet.css").unlink()
    collect_static()
    assert (sheet.parent.parent / "static" / "sheet.css").exists()
