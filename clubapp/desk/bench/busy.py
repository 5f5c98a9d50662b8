"""The bell of a third club while two others look for groups: one tap until the last phone has it."""

from __future__ import annotations

import http.client
import json
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event
from typing import Any
from urllib.parse import urlencode

from django.conf import settings

from clubapp.desk.bench import herd
from clubapp.desk.bench.fanout import bell_call, process
from clubapp.desk.bench.rows import Row

PHONES, SHOTS = 20, 60
GROUPS = 4  # of twelve: too large for a proof, and a search that is over would disturb nobody
PAUSE_SECONDS, TRIES = 0.2, 600
TOKEN = "b" * 32  # a form's and a cookie's token need only be the same
WISHES = {"rounds": "6", "balance": ["speed_s", "age", "skill"]}


def row(groups: int = GROUPS) -> Row:
    """Quiet; while both clubs look longer, in processes of their own; while both make groups again and again."""
    figures: dict[str, float | int | str] = {"phones": PHONES, "taps": SHOTS}
    with process("busy_stage", None, str(groups)) as line:
        stage = json.loads(line)
        figures |= taps(stage, 0, "quiet_")
        for other in stage["others"]:
            ask(stage, other, "longer/", {"version": other["version"]})
            wait_for_figures(stage, other)
        figures |= taps(stage, SHOTS, "while_two_look_longer_")
        figures["still_looking"] = sum("Looking" in progress(stage, other) for other in stage["others"])
        for other in stage["others"]:
            ask(stage, other, "longer/enough/", {})
        with again_and_again(stage, groups) as made:
            figures |= taps(stage, 2 * SHOTS, "while_two_make_groups_")
        figures["groups_made"] = made()
    return Row("bell while two others search", "the same bell while nobody does", figures)


def taps(stage: dict[str, Any], before: int, name: str) -> dict[str, float | int | str]:
    """before: taps already given."""
    return herd.figures(
        name, herd.milliseconds_to_last(bell_call({**stage, "seq": stage["seq"] + before}), PHONES, SHOTS)
    )


def ask(stage: dict[str, Any], other: dict[str, Any], action: str, fields: dict[str, Any]) -> int:
    """A coach's form; the status."""
    return _send(stage, other, "POST", action, urlencode({**fields, "csrfmiddlewaretoken": TOKEN}, doseq=True))[0]


def progress(stage: dict[str, Any], other: dict[str, Any]) -> str:
    """What the coach's page says of the long search."""
    return _send(stage, other, "GET", f"longer/progress/?version={other['version']}", "")[1]


def wait_for_figures(stage: dict[str, Any], other: dict[str, Any]) -> None:
    """Until the search says how far it is, or is over already; its process is not ours to wait for."""
    pause = Event()
    for _try in range(TRIES):
        said = progress(stage, other)
        if "fairness" in said or "Looking" not in said:
            return
        pause.wait(PAUSE_SECONDS)
    raise TimeoutError("the search never said how far it is")


def _send(stage: dict[str, Any], other: dict[str, Any], method: str, action: str, body: str) -> tuple[int, str]:
    link = http.client.HTTPConnection("127.0.0.1", stage["port"], timeout=60)
    cookies = {settings.SESSION_COOKIE_NAME: other["key"], settings.CSRF_COOKIE_NAME: TOKEN}
    headers = {
        "Cookie": "; ".join(f"{name}={value}" for name, value in cookies.items()),
        "Content-Type": "application/x-www-form-urlencoded",
        "HX-Request": "true",
    }
    try:
        link.request(method, f"/plan/{other['session']}/{action}", body, headers)
        answer = link.getresponse()
        return answer.status, answer.read().decode()
    finally:
        link.close()


@contextmanager
def again_and_again(stage: dict[str, Any], groups: int) -> Iterator[Callable[[], int]]:
    """Both coaches make groups until it is over; gives how many were made."""
    over, made = Event(), [0, 0]

    def keep_making(number: int) -> None:
        while not over.is_set():
            made[number] += ask(stage, stage["others"][number], "make/", WISHES | {"groups": groups}) == 302

    with ThreadPoolExecutor(2) as pool:
        waiting = [pool.submit(keep_making, number) for number in (0, 1)]
        try:
            yield lambda: sum(made)
        finally:
            over.set()
            for one in waiting:
                one.result()
