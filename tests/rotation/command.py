"""The command as somebody at a terminal runs it, in this process and with the database out of reach."""

from __future__ import annotations

import io
import json
import random
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.core.management import CommandError, call_command

HEADER = "id,given_name,family_name,date_of_birth,sex,skill,first_timer,speed_s,together,apart"
STATIONS = """name,x_m,y_m,intensity,groups_min,groups_max,kit
Sprint lane,0,0,hard,0,1,cones:8
Ladder,12,0,easy,,,
Jumps,24,3,hard,,,
Catch,26,18,,,,balls:6
Zigzag,10,20,hard,,,cones:12;balls:1
Reaction,2,15,easy,,,
"""


@dataclass(frozen=True)
class Said:
    """What came out, what was said beside it, and the exit status."""

    out: str
    err: str
    status: int

    @property
    def plan(self) -> dict[str, Any]:
        return dict(json.loads(self.out))


def rotation(*arguments: object) -> Said:
    out, err, status = io.StringIO(), io.StringIO(), 0
    try:
        call_command("rotation", *map(str, arguments), stdout=out, stderr=err)
    except CommandError as error:
        err.write(str(error))
        status = error.returncode
    except SystemExit as error:
        status = int(error.code or 0)
    return Said(out.getvalue(), err.getvalue(), status)


def children(count: int, seed: int = 1) -> list[list[str]]:
    """Rows of a roster of invented children, two of them to stay together and two to be kept apart."""
    lot = random.Random(seed)
    rows = []
    for at in range(count):
        born = f"{lot.randint(2002, 2009)}-{lot.randint(1, 12):02}-{lot.randint(1, 28):02}"
        speed = f"{6 + 3 * lot.random():.2f}"
        pair = ["blue" if at < 2 else "", "north" if at in (2, 3) else ""]
        given = ["Ada", "Bo", "Cleo", "Dov", "Edie", "Finn"][at % 6] + " " + chr(65 + at // 6)
        rows.append(
            [
                f"c{at:02}",
                given,
                "Moss",
                born,
                lot.choice("fFmM"),
                str(lot.randint(1, 5)),
                lot.choice(["yes", "no"]),
                speed,
                *pair,
            ]
        )
    return rows


def roster(folder: Path, count: int = 24, seed: int = 1) -> Path:
    return written(folder / "roster.csv", HEADER, *(",".join(row) for row in children(count, seed)))


def stations(folder: Path) -> Path:
    return written(folder / "stations.csv", *STATIONS.splitlines())


def written(path: Path, *lines: str) -> Path:
    path.write_text("\r\n".join(lines) + "\r\n", encoding="utf-8", newline="")
    return path
