"""What a test needs of the machine: missing, it fails in CI and is left out, by name, elsewhere."""

from __future__ import annotations

import os
from typing import NoReturn

import pytest


def missing(reason: str) -> NoReturn:
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)
