"""Where stations stand on the field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.planning.models import Session, Station


@dataclass(frozen=True)
class Stand:
    """The middle of a station's footprint in metres east and north, and its quarter turns clockwise."""

    x_m: float
    y_m: float
    turned: int = 0


@transaction.atomic
def place_stations(*, session: Session, stands: Mapping[str, Stand]) -> None:
    """Places by station id; a station that is not named keeps its own."""
    for station in Station.objects.filter(session=session):
        if (stand := stands.get(str(station.pk))) is not None:
            station.x_m, station.y_m, station.turned = stand.x_m, stand.y_m, stand.turned
            station.save(update_fields=["x_m", "y_m", "turned"])
    tell(session.pk, "planning")
