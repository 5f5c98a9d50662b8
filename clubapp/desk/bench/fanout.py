"""The bell's fan-out: one tap of the leader until each phone has it, against a bare broadcast in the same run."""

from __future__ import annotations

import asyncio
import json
import os
import resource
import subprocess
import sys
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Any

from django.conf import settings

from clubapp.desk.bench import brokers, herd
from clubapp.desk.bench.herd import Call
from clubapp.desk.bench.rows import Row
from clubapp.desk.folder import data_folder, environment

SIZES = (30, 200, 1000, 2000)
SHOTS, WARM = 20, 2
AGAINST = "a bare websocket broadcast of as many bytes; wanted at 1,000: twice its p95, and 48 kB a phone"


def rows(sizes: tuple[int, ...] = SIZES) -> Iterator[Row]:
    """Each size on one process; then on two processes that hear one another over Redis, where there is one."""
    for size in sizes:
        yield bell(size)
    if brokers.has_redis():
        for size in sizes:
            yield two_processes(size)


def bell(sockets: int) -> Row:
    """Phones on a bell that runs, in `serve`'s own way; every tap is stored before it is told."""
    _allow_many()
    with process("bare") as line, process("stage") as told:
        figures = asyncio.run(_in_turn(bare_call(int(line)), [json.loads(told)], sockets))
    return Row("bell fan-out", AGAINST, figures)


def two_processes(sockets: int) -> Row:
    """Half of the phones on the process that hears the tap, half on another."""
    _allow_many()
    with brokers.Redis() as redis, data_folder() as data:
        extra = {"FIELDBELL_REDIS": redis.url, "FIELDBELL_DATA": str(data)}
        with process("bare") as line, process("stage", extra) as one, process("second", extra) as other:
            stages = [json.loads(one), json.loads(one) | json.loads(other)]
            figures = asyncio.run(_in_turn(bare_call(int(line)), stages, sockets))
    return Row("bell fan-out, two processes over Redis", AGAINST, figures)


async def _in_turn(bare: Call, stages: list[dict[str, Any]], sockets: int) -> dict[str, float | int | str]:
    """Shots at both herds by turns, so that whatever else the machine does meets both alike."""
    call = bell_call(*stages)
    await _woken(call, len(stages))
    before = [resident(stage["pid"]) for stage in stages]
    ours = await herd.gathered(call, sockets)
    await asyncio.gather(*(phone.first for phone in ours))
    kilobytes = sum(resident(stage["pid"]) for stage in stages) - sum(before)
    theirs = await herd.gathered(bare, sockets)
    told, times, bare_times, ratios = list[float](), list[float](), list[float](), list[float]()
    try:
        for number in range(WARM + SHOTS):
            our, their = await herd.shot(call, ours, number), await herd.shot(bare, theirs, number)
            if number >= WARM:
                told, times, bare_times = told + our.told, times + our.times, bare_times + their.times
                ratios.append(herd.p95(our.times) / herd.p95(their.times))
    finally:
        herd.leave([*ours, *theirs])
    p95, bare_p95 = herd.p95(times), herd.p95(bare_times)
    figures: dict[str, float | int | str] = {"sockets": sockets, "taps": SHOTS, "p95_ms": p95, "bare_p95_ms": bare_p95}
    figures |= {"p95_over_bare": p95 / bare_p95, "fan_out_alone_p95_ms": herd.p95(told)}
    # Tap by tap against the broadcast right after it: on a machine that does other things this is the steadier figure.
    figures |= {"p95_over_bare_middle_tap": median(ratios)}
    figures |= {"kB_per_phone": kilobytes / sockets}
    return figures | herd.figures("", times) | herd.figures("bare_", bare_times)


async def _woken(call: Call, processes: int) -> None:
    """A process loads most of the program with its first phone, which is no phone's weight."""
    first = await herd.gathered(call, processes)
    await asyncio.gather(*(phone.first for phone in first))
    herd.leave(first)


def resident(pid: int) -> float:
    """Kilobytes in memory; 0 where the system does not say."""
    pages = Path(f"/proc/{pid}/statm")
    return int(pages.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1024 if pages.exists() else 0.0


def _allow_many() -> None:
    """As many open sockets as the system lets this program have."""
    most = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    resource.setrlimit(resource.RLIMIT_NOFILE, (most, most))


def bare_call(port: int) -> Call:
    """Says as many bytes as the bell does."""
    return Call(
        (f"ws://127.0.0.1:{port}/",),
        say=lambda number: f"{number}|".ljust(BELL_BYTES).encode(),
        heard=lambda message, number: message.startswith(f"{number}|".encode()),
    )


BELL_BYTES = 548  # what the bell of the stage weighs as a message


def bell_call(*stages: dict[str, Any]) -> Call:
    """The leader adds a second; a phone has heard when it holds the bell as that tap left it."""
    first = stages[0]

    def say(number: int) -> bytes:
        tap = {"op_id": str(uuid.uuid4()), "kind": "add", "seconds": 1, "seen": first["seq"] + number}
        return json.dumps({"type": "command", **tap}).encode()

    def heard(message: bytes, number: int) -> bool:
        return b'"state":{"seq":%d,' % (first["seq"] + number + 1) in message

    def said(message: bytes) -> float:
        return float(json.loads(message)["now_ms"])

    addresses = tuple(f"ws://127.0.0.1:{stage['port']}/ws/bell/{first['session']}/" for stage in stages)
    return Call(addresses, say, heard, {"Cookie": f"{settings.SESSION_COOKIE_NAME}={first['key']}"}, said)


@contextmanager
def process(module: str, extra: dict[str, str] | None = None, *words: str) -> Iterator[str]:
    """One of the bench's servers with a data folder of its own; gives the line it prints when it is ready."""
    line = [sys.executable, "-m", f"clubapp.desk.bench.{module}", *words]
    with data_folder() as data:
        setting = environment(data) | (extra or {})
        running = subprocess.Popen(
            line, cwd=settings.BASE_DIR, env=setting, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert running.stdout is not None
        try:
            yield running.stdout.readline()
        finally:
            running.terminate()
            running.wait()
            running.stdout.close()
