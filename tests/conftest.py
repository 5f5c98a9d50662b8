"""What every test may use."""

from __future__ import annotations

import gc
import inspect
import os
import shutil
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path

import hypothesis
import pytest
from django.conf import settings
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.contrib.staticfiles.storage import staticfiles_storage
from django.db import connection, transaction
from pytest_django import DjangoDbBlocker
from servestatic.middleware import ServeStaticMiddleware

from clubapp.desk import folder
from clubapp.desk.collect import collect_static
from clubapp.engine.groups import Answer, Problem
from clubapp.engine.outcome import Outcome
from clubapp.rotation import building
from tests.browser.chromium import patience
from tests.cast import Cast, make_cast
from tests.prepared import prepared

LONG = ("tests/desk/", "tests/browser/", "tests/live/test_two_processes.py", "tests/rules/test_style.py")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--big", action="store_true", help="the long forms: every size, full chaos, long searches")


def pytest_configure(config: pytest.Config) -> None:
    """A run repeats: what is drawn is little and depends on the test alone. The long forms draw much, and anew."""
    config.addinivalue_line(
        "markers", "long: in the long form alone (--big); the default run has a small form beside it"
    )
    hypothesis.settings.register_profile("steady", derandomize=True, deadline=None, max_examples=25)
    hypothesis.settings.register_profile("roaming", derandomize=False, deadline=None, print_blob=True)
    hypothesis.settings.load_profile("roaming" if config.getoption("--big") else "steady")


def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: what drives a browser or a server waits for it most of the time."""
    return (os.cpu_count() or 1) + 1


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """What takes longest begins first, or one worker would be left with it in the end.

    On PostgreSQL only what meets it is run again: a phone's own scripts know no database, and of a test with many
    cases, which differ in who asks and what is typed, one says how it is written and read.
    """
    if not config.getoption("--big"):
        leave_out(config, items, [item for item in items if item.get_closest_marker("long")])
    items.sort(key=lambda item: not item.nodeid.startswith(LONG))
    if os.environ.get("FIELDBELL_POSTGRES"):
        leave_out(config, items, [item for item in items if "browser" in getattr(item, "fixturenames", ())])
        first = {item.nodeid.partition("[")[0]: item for item in reversed(items)}
        leave_out(config, items, [item for item in items if first[item.nodeid.partition("[")[0]] is not item])


def pytest_collection_finish() -> None:
    """What is imported by now stays, and to look through it for garbage again and again is an eighth of a run."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 50)


def leave_out(config: pytest.Config, items: list[pytest.Item], some: list[pytest.Item]) -> None:
    config.hook.pytest_deselected(items=some)
    left = set(some)
    items[:] = [item for item in items if item not in left]


@pytest.fixture(scope="session")
def big(request: pytest.FixtureRequest) -> bool:
    """Whether the long form of a test is wanted."""
    return bool(request.config.getoption("--big"))


@pytest.fixture(scope="session", autouse=True)
def hashed_static(request: pytest.FixtureRequest) -> None:
    """Pages name static files by their hash, as in a real run: gathered once for all workers. The engine has none."""
    if all(item.nodeid.startswith("tests/engine/") for item in request.session.items):
        return
    root = Path(settings.STATIC_ROOT)
    shutil.rmtree(root, ignore_errors=True)
    shutil.copytree(prepared() / root.name, root, copy_function=os.link)
    shutil.copy(prepared() / f"{root.name}.mark", root.parent)
    collect_static()
    staticfiles_storage.hashed_files, staticfiles_storage.manifest_hash = staticfiles_storage.load_manifest()


@pytest.fixture(scope="session")
def django_db_keepdb() -> bool:
    """The tables are made once for all workers, and a run leaves them: PostgreSQL has none to copy."""
    return not os.environ.get("FIELDBELL_POSTGRES")


@pytest.fixture(scope="session")
def django_db_createdb() -> bool:
    return False


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix: None, django_db_keepdb: bool) -> None:
    if django_db_keepdb:
        own = Path(connection.settings_dict["TEST"]["NAME"])
        for ending in ("", "-wal", "-shm"):
            own.with_name(own.name + ending).unlink(missing_ok=True)
        shutil.copy(prepared() / "fieldbell.sqlite3", own)


@pytest.fixture(scope="session", autouse=True)
def quick_hashes() -> Iterator[None]:
    """Argon2 is slow on purpose, and most tests sign somebody in. Servers beside the tests keep the real price."""
    with pytest.MonkeyPatch.context() as patch:
        for name, price in {"time_cost": 1, "memory_cost": 8, "parallelism": 1}.items():
            patch.setattr(Argon2PasswordHasher, name, price)
        yield


@pytest.fixture(scope="session", autouse=True)
def solved_once() -> Iterator[None]:
    """The same children with the same seed are cut into the same groups, which tests/engine shows: hundreds of tests
    ask for the evening of tests/rotation/evening.py.
    """
    known, solve = {}, building.solved

    def solved(problem: Problem, seed: int) -> Outcome[Answer]:
        if len(problem.athletes) > building.MOST_IN_HERE:
            return solve(problem, seed)
        asked = (repr(problem), seed)
        if asked not in known:
            known[asked] = solve(problem, seed)
        return known[asked]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(building, "solved", solved)
        yield


@pytest.fixture(scope="session", autouse=True)
def tables_made_once() -> Iterator[None]:
    """Servers beside the tests start with the tables made, which takes them longer than anything else."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(folder, "begins", prepared)
        yield


@pytest.fixture(scope="session", autouse=True)
def listed_once(hashed_static: None) -> Iterator[None]:
    """Each test client builds the middleware anew, and this one then lists every static file: most of a test's time."""
    files, read = {}, ServeStaticMiddleware.add_files_from_manifest

    def known(middleware: ServeStaticMiddleware) -> None:
        if middleware.static_root not in files:
            read(middleware)
            files[middleware.static_root] = middleware.files, middleware.directories
        middleware.files, middleware.directories = files[middleware.static_root]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ServeStaticMiddleware, "add_files_from_manifest", known)
        yield


@pytest.fixture(autouse=True)
def loop_without_database(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """In an event loop Django refuses the database, as it does in a server: folder.py's leave is for the browser's."""
    if inspect.iscoroutinefunction(getattr(request, "function", None)):
        monkeypatch.delenv("DJANGO_ALLOW_ASYNC_UNSAFE", raising=False)


@pytest.fixture(autouse=True)
def not_for_ever(request: pytest.FixtureRequest) -> Iterator[None]:
    with patience() if "browser" in request.fixturenames else nullcontext():
        yield


@pytest.fixture(autouse=True)
def fresh_cache() -> Iterator[None]:
    """Wrong tries counted in one test must not lock the door of the next."""
    yield
    from django.core.cache import cache

    cache.clear()


@pytest.fixture
def cast(db: None) -> Cast:
    """The small named cast, in a fresh database."""
    return make_cast()


@pytest.fixture(scope="module")
def troupe(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Cast]:
    """The cast once for a whole module, which names `db` too: what a test writes is undone, what it sets is not."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_cast()
        transaction.set_rollback(True)
