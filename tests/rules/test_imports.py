"""Who may import whom, one test a contract of pyproject.toml."""

from __future__ import annotations

import subprocess
import sys
import tomllib

import pytest

from tests.rules.house import APPS, ROOT

CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
LINT = "from importlinter.cli import lint_imports_command; lint_imports_command()"


@pytest.mark.parametrize("contract", [contract["id"] for contract in CONTRACTS])
def test_the_contract_is_kept(contract: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LINT, "--contract", contract, "--no-cache", "--no-logo"],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_app_keeps_the_order_of_its_files() -> None:
    inside = next(contract for contract in CONTRACTS if contract["id"] == "app")
    present = {f"clubapp.{app}" for app in APPS if (ROOT / "clubapp" / app / "__init__.py").exists()}
    assert set(inside["containers"]) == present
