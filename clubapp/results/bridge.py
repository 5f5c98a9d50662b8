"""What each child is likely to reach on a test, in the ledger's whole milliseconds or millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from clubapp.engine.ability import Z80, Prediction
from clubapp.results.likely import likely
from clubapp.results.models import Trial

FAR_Z = 3.0  # three values in a thousand lie outside: a list of twelve is asked about nothing on most days
THOUSANDTHS = 1000


@dataclass(frozen=True)
class Span:
    """low, high: four in five values lie between; least, most: outside is far off."""

    low: int
    high: int
    least: int
    most: int


def spans(trial: Trial, athlete_ids: Iterable[UUID], on: date) -> Mapping[UUID, Span]:
    """For each child of the club on a test; empty while nobody has a result on it."""
    found = likely(trial.club_id, on, lengths=not trial.is_timed)
    if found is None or trial.code not in found.fitted.trials:
        return {}
    return {child: _span(found.of(child, trial.code), trial) for child in athlete_ids}


def _span(found: Prediction, trial: Trial) -> Span:
    ends = [end for z in (Z80, FAR_Z) for end in found.between(z)]
    low, high, least, most = ends if trial.is_timed else [1 / end for end in (ends[1], ends[0], ends[3], ends[2])]
    return Span(*(max(1, round(end * THOUSANDTHS)) for end in (low, high, least, most)))
