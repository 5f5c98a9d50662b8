"""The keys made at the first start: one for all processes, readable by their owner only."""

from __future__ import annotations

import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from clubapp.keys import env_bool, env_list, key_file, new_secret


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_key_file_is_its_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "secret.key"
    assert key_file(path, lambda: "a key") == "a key"
    assert mode(path) == 0o600
    assert list(path.parent.iterdir()) == [path]


def test_a_second_start_reads_the_same_key(tmp_path: Path) -> None:
    path = tmp_path / "secret.key"
    assert key_file(path, new_secret) == key_file(path, new_secret)


def test_processes_that_start_together_agree(tmp_path: Path, big: bool) -> None:
    rounds = [tmp_path / str(number) / "secret.key" for number in range(20 if big else 4)]
    for path in rounds:
        with ThreadPoolExecutor(4) as pool:
            keys = {pool.submit(other_process, path, number) for number in range(4)}
        assert len({key.result() for key in keys}) == 1


def other_process(path: Path, number: int) -> str:
    """Threads share a process id, by which `key_file` names its draft; a process of its own has its own."""
    import subprocess
    import sys

    code = "import sys; from pathlib import Path; from clubapp.keys import key_file, new_secret; "
    code += "print(key_file(Path(sys.argv[1]), new_secret))"
    return subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("name", ["secret.key", "field.keys"])
def test_the_keys_in_use_are_their_owners_alone(name: str) -> None:
    assert mode(settings.DATA_DIR / name) == 0o600


@pytest.mark.parametrize(("word", "means"), [("yes", True), ("ON", True), ("0", False), ("", False), (" no ", False)])
def test_yes_and_no(monkeypatch: pytest.MonkeyPatch, word: str, means: bool) -> None:
    monkeypatch.setenv("FIELDBELL_DEBUG", word)
    assert env_bool("FIELDBELL_DEBUG") is means


def test_an_unknown_word_stops_the_start(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIELDBELL_DEBUG", "perhaps")
    with pytest.raises(ImproperlyConfigured, match="perhaps"):
        env_bool("FIELDBELL_DEBUG")


def test_a_list_is_split_at_commas_and_spaces(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIELDBELL_HOSTS", "club.example, 192.0.2.7  field.example")
    assert env_list("FIELDBELL_HOSTS") == ["club.example", "192.0.2.7", "field.example"]
