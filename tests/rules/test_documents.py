"""What README and DEVELOPERS.md say is so."""

from __future__ import annotations

import re

import pytest

from tests.rules.house import APPS, ROOT

DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
README = (ROOT / "README.md").read_text()
SETTING = re.compile(r"\bFIELDBELL_[A-Z_]+\b")
# A big topic's parts are named after it, topic_part, and need no line of their own.
STEMS = {path.stem for path in (ROOT / "clubapp/engine").glob("*.py")} - {"__init__"}
ENGINE = sorted(stem for stem in STEMS if stem.split("_")[0] == stem or stem.split("_")[0] not in STEMS)
PRESENT = [app for app in APPS if (ROOT / "clubapp" / app / "__init__.py").exists()]


def test_the_settings_table_is_the_settings() -> None:
    table = {
        name for line in DEVELOPERS.splitlines() if line.startswith("| `FIELDBELL") for name in SETTING.findall(line)
    }
    read = set(SETTING.findall((ROOT / "clubapp/settings.py").read_text()))
    assert table == read


@pytest.mark.parametrize("app", PRESENT)
def test_the_map_names_the_app(app: str) -> None:
    assert f"`{app}/`" in DEVELOPERS


@pytest.mark.parametrize("module", ENGINE)
def test_the_map_names_the_engine_module(module: str) -> None:
    assert f"`{module}`" in DEVELOPERS


@pytest.mark.parametrize("number", [0, -1], ids=["first", "last"])
def test_a_command_of_the_readme_starts_from_nothing(number: int) -> None:
    commands = re.findall(r"^python3 -m venv .*$", README, re.M)
    assert len(commands) == 2
    assert commands[number].endswith(("manage.py demo", "python -m pytest -n auto --dist loadfile"))


def test_ci_runs_the_readme_s_test_command() -> None:
    command = re.findall(r"^python3 -m venv .*pytest .*$", README, re.M)[0]
    assert command in (ROOT / ".ci/run").read_text()


def test_the_top_level_is_the_agreed_one() -> None:
    agreed = {"README.md", "DEVELOPERS.md", "LICENSE", "manage.py", "pyproject.toml", ".ci", ".gitignore"}
    agreed |= {"clubapp", "templates", "static", "tests"}
    ignored = {line.strip("/*") for line in (ROOT / ".gitignore").read_text().splitlines()} | {".git"}
    present = {path.name for path in ROOT.iterdir()}
    assert {name for name in present - agreed - ignored if not name.endswith(".egg-info")} == set()
    assert agreed <= present
