"""One child as the head coach sees it: sessions, results, notes, adults and consents in one place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from clubapp.live.access import incidents_visible_to
from clubapp.live.incident_rows import Hurt, hurt_children
from clubapp.live.models import Incident
from clubapp.people import consents, queries
from clubapp.people.access import Person
from clubapp.people.models import Athlete, Guardianship, PairRule
from clubapp.planning.models import Session
from clubapp.register import attendance
from clubapp.register.attendance import CAME
from clubapp.register.queries import first_timers
from clubapp.register.sentences import state_of
from clubapp.results import progress_page

LATEST = 6


@dataclass(frozen=True)
class ChildPage:
    """been: the latest sessions with what the register says; came of expected: so far. hurt: not cleared yet."""

    card: queries.Card
    first_timer: bool
    been: tuple[tuple[Session, str], ...]
    came: int
    expected: int
    results: Sequence[progress_page.Shown]
    incidents: Sequence[Incident]
    hurt: Hurt | None
    adults: Sequence[Guardianship]
    consents: Sequence[consents.Line]
    rules: Sequence[PairRule]

    @property
    def child(self) -> Athlete:
        return self.card.child

    @property
    def nobody_collects(self) -> bool:
        return not any(tie.may_collect for tie in self.adults)


def child_page(user: Person, child: Athlete, today: date) -> ChildPage:
    # The register is often taken before the hour: whoever is here then came.
    sessions = [
        (session, mark)
        for session, mark in attendance.history(child, today)
        if session.starts_at <= timezone.now() or (mark is not None and mark.kind in CAME)
    ]
    return ChildPage(
        card=queries.cards(Athlete.objects.filter(pk=child.pk), today)[0],
        first_timer=child.pk in first_timers([child.pk], before=today),
        been=tuple((session, state_of(mark)) for session, mark in sessions[:LATEST]),
        came=sum(mark is not None and mark.kind in CAME for _session, mark in sessions),
        expected=len(sessions),
        results=progress_page.for_coach(child, published=False),
        incidents=list(incidents_visible_to(user).filter(athlete=child).order_by("-happened_at")),
        hurt=hurt_children([child.pk]).get(child.pk),
        adults=list(queries.adults_of(child)),
        consents=consents.lines(child),
        rules=list(queries.rules_of(child)),
    )
