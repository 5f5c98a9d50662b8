"""A new session's stations on its venue."""

from __future__ import annotations

from clubapp.engine import layout
from clubapp.planning import queries
from clubapp.planning.actions import place_stations
from clubapp.planning.field_bridge import field_of, stands
from clubapp.planning.models import Session


def set_out(session: Session) -> None:
    """The starters' own places are for any field; a venue's ground has its edges and hazards. Where it is too small for
    all of them they stay as they are, and the field plan says what is wrong.
    """
    if session.venue is None:
        return
    problem = field_of(session.venue, queries.stations(session)).problem
    if (found := layout.fits(problem)) is not None:
        place_stations(session=session, stands=stands(problem, found))
