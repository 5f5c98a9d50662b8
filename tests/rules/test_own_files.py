"""Every engine module has its own test file, and that file alone reaches all of its branches."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted(path.stem for path in (ROOT / "clubapp/engine").glob("*.py") if path.stem != "__init__")
FEW = ("outcome",)


@pytest.mark.parametrize("module", MODULES)
def test_every_module_has_its_own_file(module: str) -> None:
    assert (ROOT / f"tests/engine/test_{module}.py").exists()


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A run of its own for each module takes minutes: one of them, or all in the long form."""
    if "covered_module" in metafunc.fixturenames:
        metafunc.parametrize("covered_module", MODULES if metafunc.config.getoption("--big") else FEW)


def test_the_file_reaches_every_branch(covered_module: str, tmp_path: Path) -> None:
    module = covered_module
    asked = ["-q", "-p", "no:randomly", "-p", "no:cacheprovider", f"tests/engine/test_{module}.py"]
    covered = [f"--cov=clubapp.engine.{module}", "--cov-branch", "--cov-fail-under=100", "--cov-report=term-missing"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", *asked, *covered],
        cwd=ROOT,
        env={**os.environ, "COVERAGE_FILE": str(tmp_path / "coverage"), "FIELDBELL_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-3000:]
