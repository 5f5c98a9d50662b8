"""Parts and stations kept under a name, and taken into another session."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.core.tell import tell
from clubapp.people.models import User
from clubapp.planning import queries
from clubapp.planning.actions.menus import only_before
from clubapp.planning.actions.sessions import COPIED, COPIED_OF_A_PART
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.models import Block, Session, Station, Template

Row = dict[str, Any]
OF_A_STATION = ("number", *COPIED)


@transaction.atomic
def keep_template(*, session: Session, name: str, by: User) -> Template:
    """A name that is there already means the newer parts."""
    parts, stations = _rows(session)
    values = {"parts": parts, "stations": stations}
    row, _made = Template.objects.update_or_create(club=session.club, name=name, defaults=values)
    record(club_id=session.club_id, user_id=by.pk, verb="made", kind="template", about=row.pk)
    return row


@transaction.atomic
def take_template(*, session: Session, template: Template, by: User) -> None:
    """
    Raises:
        PlanError: the session has begun, or is shorter than the parts.
    """
    _fill(session, template.parts, template.stations, by)


@transaction.atomic
def copy_into(*, session: Session, source: Session, by: User) -> None:
    """What another session of the club has.

    Raises:
        PlanError: the session has begun, or is shorter than the parts.
    """
    _fill(session, *_rows(source), by)


@transaction.atomic
def remove_template(*, template: Template, by: User) -> None:
    record(club_id=template.club_id, user_id=by.pk, verb="removed", kind="template", about=template.pk)
    template.delete()


def _rows(session: Session) -> tuple[list[Row], list[Row]]:
    parts = [{name: getattr(block, name) for name in COPIED_OF_A_PART} for block in queries.blocks(session)]
    stations = [{name: getattr(one, name) for name in OF_A_STATION} for one in queries.stations(session)]
    return parts, stations


def _fill(session: Session, parts: list[Row], stations: list[Row], by: User) -> None:
    only_before(session)
    if (over := sum(part["seconds"] for part in parts) - 60 * session.minutes) > 0:
        sentence = _("These parts need %(over)d minutes more than the session has.")
        raise PlanError(sentence % {"over": -(-over // 60)})
    Block.objects.filter(session=session).delete()
    Station.objects.filter(session=session).delete()
    Block.objects.bulk_create(Block(session=session, **part) for part in parts)
    Station.objects.bulk_create(Station(session=session, **station) for station in stations)
    record(club_id=session.club_id, user_id=by.pk, verb="planned", kind="session", about=session.pk)
    tell(session.pk, "planning")
