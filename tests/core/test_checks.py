"""What a server must not start with, and that a public one starts clean."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from clubapp.core.checks import traps
from tests.rules.house import ROOT

SQLITE = {"ENGINE": "django.db.backends.sqlite3", "OPTIONS": {"transaction_mode": "IMMEDIATE"}}
REDIS = {"BACKEND": "channels_redis.core.RedisChannelLayer", "CONFIG": {"hosts": [{"address": "redis://x"}]}}


def found() -> list[str]:
    return [str(one.id) for one in traps()]


def test_each_trap_is_named(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    assert found() == []
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, "*"]
    monkeypatch.setenv("WEB_CONCURRENCY", "2")
    for name, value in {**SQLITE, "ATOMIC_REQUESTS": True, "CONN_MAX_AGE": 60}.items():
        monkeypatch.setitem(settings.DATABASES["default"], name, value)
    assert found() == [f"fieldbell.E00{number}" for number in (1, 2, 3, 4, 5)]
    settings.CHANNEL_LAYERS = {"default": REDIS}
    assert found() == [f"fieldbell.E00{number}" for number in (1, 3, 4, 5, 6)]


def test_passwords_are_hashed_at_their_full_price(settings: Any) -> None:
    """The tests themselves hash quickly, by Django's own hasher all the same: a server's is no other."""
    assert settings.PASSWORD_HASHERS == ["django.contrib.auth.hashers.Argon2PasswordHasher"]


@pytest.mark.parametrize("address", ["https://club.example", ""])
def test_a_server_starts_clean(address: str, tmp_path: Path) -> None:
    """With a public address nothing is left that Django warns of; without one, plain http on the field goes on."""
    words = ["check", "--deploy", "--fail-level", "WARNING"] if address else ["check", "--fail-level", "WARNING"]
    env = {key: value for key, value in os.environ.items() if not key.startswith(("FIELDBELL", "DJANGO_ALLOW"))}
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=env | {"FIELDBELL_DATA": str(tmp_path), "FIELDBELL_URL": address},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr


def test_a_wildcard_is_refused_at_the_start(tmp_path: Path) -> None:
    env = os.environ | {"FIELDBELL_DATA": str(tmp_path), "FIELDBELL_HOSTS": "*"}
    done = subprocess.run([sys.executable, "manage.py", "check"], cwd=ROOT, env=env, capture_output=True, text=True)
    assert "fieldbell.E001" in done.stderr
    assert done.returncode == 1
