"""The whole story from an empty database, through screens only."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.browser import evening as screens
from tests.browser.chromium import Watch, browsing
from tests.browser.evening import Evening
from tests.browser.servers import Served


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with Served(tmp_path / "club") as running:
        yield running


def test_from_an_empty_database_to_the_guardian(served: Served) -> None:
    lines = served.start()
    link = next(line for line in lines if "/set-up/" in line)
    with browsing() as chromium:
        evening = Evening(chromium, Watch(served.home))
        coach = evening.phone(minutes_wrong=7)
        screens.make_club(coach, link)
        screens.bring_in_roster(coach)
        guardian, assistant = evening.phone(), evening.phone(minutes_wrong=-3)
        screens.join(guardian, screens.ask_in_guardian(coach, "Ada Reed"), "Greta")
        screens.join(assistant, screens.ask_in_assistant(coach), "Finn")
        screens.plan_session(coach, datetime.now(ZoneInfo("Europe/London")))
        screens.take_register(coach, absent={"Bo", "Yara"})
        screens.make_groups(coach)
        evening.close()
        evening.watch.nothing()
    assert served.broken() == []
