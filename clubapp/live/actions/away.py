"""Where a child is, as an adult says it: away, missing, found, with another group. Only ever added."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.live import incident_rows
from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Answer, Sent, columns, known
from clubapp.live.models import Whereabouts
from clubapp.people.models import Athlete
from clubapp.planning.models import Station
from clubapp.register.actions.taps import moment

Kind, Reason = Whereabouts.Kind, Whereabouts.Reason


@dataclass(frozen=True)
class Word:
    """What is said about one child; the fields are those of Whereabouts."""

    kind: str
    reason: str = ""
    with_whom: str = ""
    station: Station | None = None
    round: int | None = None
    group: int | None = None
    count: UUID | None = None


@transaction.atomic
def say_where(*, athlete: Athlete, word: Word, sent: Sent) -> Answer:
    """Keep the word. A child who was hurt stays out of the session until the leader says that it was a mistake."""
    row = known(Whereabouts, sent, athlete_id=athlete.pk, kind=word.kind, reason=word.reason)
    if row is not None:
        return dict(row.answer)
    if athlete.pk in incident_rows.taken_out(sent.by.session.pk):
        raise RefusedError(_("This child is out of the session: a head injury was suspected."))
    return add_word(athlete, word, sent)


def take_out(*, athlete: Athlete, with_whom: str, station: Station | None, sent: Sent) -> None:
    """The child takes no part any more and an adult stays with it. The register still says here."""
    word = Word(Kind.AWAY, Reason.HURT, with_whom[:80], station)
    add_word(athlete, word, _part(sent, "hurt"))


def put_back(*, athlete: Athlete, sent: Sent) -> None:
    """The note was a mistake."""
    add_word(athlete, Word(Kind.GROUP), _part(sent, "mistaken"))


def _part(sent: Sent, name: str) -> Sent:
    """The part of a tap that writes a second row."""
    return replace(sent, tap=replace(sent.tap, op_id=uuid.uuid5(sent.tap.op_id, name)))


def add_word(athlete: Athlete, word: Word, sent: Sent) -> Answer:
    session = sent.by.session
    before = Whereabouts.objects.filter(session=session, athlete=athlete)
    answer = {"kind": str(word.kind), "version": tell(session.pk, "where")}
    Whereabouts.objects.create(
        session=session,
        athlete=athlete,
        kind=word.kind,
        reason=word.reason,
        with_whom=word.with_whom,
        station=word.station,
        round=word.round,
        group=word.group,
        count=word.count,
        tapped_at=moment(sent.tap, before),
        answer=answer,
        **columns(sent),
    )
    return answer
