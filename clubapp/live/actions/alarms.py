""" "Help here", and that an adult heard what rings. How loud it is, whoever asks reckons from the rows."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.db import models, transaction
from django.utils.translation import gettext as _

from clubapp.core.tell import tell
from clubapp.live.actions.room import RefusedError
from clubapp.live.actions.taps import Answer, Sent, columns, known
from clubapp.live.models import Call, HeadCount, Heard, Incident, Whereabouts
from clubapp.planning.models import Station
from clubapp.register.actions.taps import moment

MAY_RING: tuple[type[models.Model], ...] = (Whereabouts, HeadCount, Call, Incident)


@dataclass(frozen=True)
class Hearing:
    """about: the op_id of what rings. settled: there is nothing left to see to."""

    about: UUID
    settled: bool = False
    round: int | None = None


@transaction.atomic
def call_help(*, station: Station, round_no: int | None, sent: Sent) -> Answer:
    """Ring the leader with this station."""
    if (row := known(Call, sent)) is not None:
        return dict(row.answer)
    session = sent.by.session
    answer = {"version": tell(session.pk, "call")}
    at = moment(sent.tap, Call.objects.filter(session=session))
    Call.objects.create(session=session, station=station, round=round_no, tapped_at=at, answer=answer, **columns(sent))
    return answer


@transaction.atomic
def hear(*, hearing: Hearing, sent: Sent) -> Answer:
    """Say that one sees to it. A missing child is still missing: that only ends when somebody says where it is."""
    if (row := known(Heard, sent)) is not None:
        return dict(row.answer)
    session = sent.by.session
    if not any(_rows(model, session.pk).filter(op_id=hearing.about).exists() for model in MAY_RING):
        raise RefusedError(_("That does not ring any more."))
    answer = {"version": tell(session.pk, "heard")}
    Heard.objects.create(
        session=session,
        about=hearing.about,
        settled=hearing.settled,
        round=hearing.round,
        tapped_at=moment(sent.tap, Heard.objects.filter(session=session)),
        answer=answer,
        **columns(sent),
    )
    return answer


def _rows(model: type[models.Model], session_id: UUID) -> models.QuerySet[models.Model]:
    return model._default_manager.filter(session=session_id)
