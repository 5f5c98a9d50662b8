"""What the page of a session shows: minutes that add up, and stations with what they need."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import timedelta

from django.forms import BoundField
from django.utils import timezone

from clubapp.people.access import Person, is_head_coach
from clubapp.planning import catalogue, queries
from clubapp.planning.access import may_edit
from clubapp.planning.forms import BlocksForm, EditSessionForm, NewStationForm, session_values
from clubapp.planning.landings import Landings, landings_of
from clubapp.planning.models import Block, Review, Session, Station, Venue


@dataclass(frozen=True)
class BlockRow:
    """A part of the session. clock: when it starts; field: its minutes to type, None for the fitted rotation."""

    block: Block
    minutes: int
    clock: str
    field: BoundField | None


@dataclass(frozen=True)
class Page:
    """A session as its page shows it. before: the lines of the squad's last session; after: its own; runs: leads it."""

    session: Session
    coaches: bool
    details: EditSessionForm
    blocks: tuple[BlockRow, ...]
    stations: tuple[Station, ...]
    blocks_form: BlocksForm
    new_station: NewStationForm
    before: Review | None = None
    after: Review | None = None
    runs: bool = False
    elsewhere: tuple[Venue, ...] = ()
    landings: Landings | None = None

    @property
    def over(self) -> bool:
        """From its end on, whoever runs it may write three lines."""
        return timezone.now() >= self.session.ends_at

    @property
    def edits(self) -> bool:
        """Who leads for one evening runs the bell, and changes nothing that was planned."""
        return self.coaches

    @property
    def planned(self) -> int:
        """Minutes of all blocks."""
        return sum(row.minutes for row in self.blocks)

    @property
    def spare(self) -> int:
        """Minutes that no block takes; 0 where there is a rotation, which takes them."""
        return self.session.minutes - self.planned

    @property
    def kit(self) -> list[tuple[str, int]]:
        """What the bag must hold for all stations together."""
        total: Counter[str] = Counter()
        for station in self.stations:
            total.update(station.kit)
        return sorted(total.items())

    @property
    def removable(self) -> bool:
        return self.session.starts_at > timezone.now()


def page_of(
    user: Person,
    session: Session,
    *,
    details: EditSessionForm | None = None,
    blocks: BlocksForm | None = None,
) -> Page:
    """A form that was refused is shown again as it was sent."""
    blocks_form = blocks or BlocksForm(blocks=queries.blocks(session))
    leaders, coaches = queries.leaders(session), is_head_coach(user, session.club_id)
    form = details or EditSessionForm(club=session.club, leaders=leaders, initial=session_values(session))
    return Page(
        session=session,
        coaches=coaches,
        details=form,
        blocks=tuple(_rows(session, blocks_form)),
        stations=tuple(queries.stations(session)),
        blocks_form=blocks_form,
        new_station=NewStationForm(activities=catalogue.offered(session.club)),
        before=queries.lines_before(session),
        after=queries.review_of(session),
        runs=may_edit(user, session),
        elsewhere=tuple(queries.elsewhere(session)),
        landings=landings_of(session) if coaches else None,
    )


def _rows(session: Session, form: BlocksForm) -> list[BlockRow]:
    rows, seconds = [], 0
    for block in form.blocks:
        own = queries.rotation_minutes(session) * 60 if block.kind == Block.Kind.ROTATION else block.seconds
        clock = _clock(session, seconds)
        name = f"minutes-{block.pk}"
        rows.append(BlockRow(block, round(own / 60), clock, form[name] if name in form.fields else None))
        seconds += own
    return rows


def _clock(session: Session, seconds: int) -> str:
    return f"{session.starts_at + timedelta(seconds=seconds):%H:%M}"
