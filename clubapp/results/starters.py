"""Straight sprints that need no setting up: anybody may time one before the coach has written down a test."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Starter:
    """A timed test before the club has a row for it."""

    code: str
    name: str
    distance_m: int | None = None


LENGTHS_M = (10, 20, 30, 40, 60)


def starters() -> list[Starter]:
    return [Starter(f"sprint-{m}-m", _("Sprint %(m)d m") % {"m": m}, m) for m in LENGTHS_M]
