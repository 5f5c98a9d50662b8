"""Who came when: one child's sessions, one session's marks as they were made, a term as a table, whom to ask after."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from clubapp.core import sheet
from clubapp.people import csvfile
from clubapp.people.access import coached_club, is_head_coach, visible_to
from clubapp.people.models import Athlete, Club
from clubapp.register import access, actions, asking, attendance, sentences
from clubapp.register.forms_term import TermForm
from clubapp.register.models import Mark
from clubapp.register.term import HEADINGS, cells
from clubapp.register.views import common


@login_required
@require_GET
def child(request: HttpRequest, athlete_id: UUID) -> HttpResponse:
    """What the register says of one child, to whoever works with it."""
    row = get_object_or_404(visible_to(request.user).select_related("club"), pk=athlete_id)
    been = [(session, sentences.state_of(mark)) for session, mark in attendance.history(row, row.club.today())]
    context = {"child": row, "been": been, "coaches": is_head_coach(request.user, row.club_id)}
    return render(request, "register/child_history.html", context)


@login_required
@require_GET
def log(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Every mark of a session, the overruled ones too: who said what of whom, and when."""
    session = access.session_for(request.user, session_id)
    marks = Mark.objects.filter(session=session).select_related("athlete", "by")
    zone = session.club.zone
    rows = [
        (f"{mark.tapped_at.astimezone(zone):%H:%M}", mark.athlete.full_name, sentences.said_in(mark), mark.by)
        for mark in marks.order_by("tapped_at", "device", "op_id")
    ]
    return render(request, "register/log.html", {"session": session, "rows": rows})


@login_required
@require_GET
def term(request: HttpRequest) -> HttpResponse:
    """A term by child, in the order of names; as a page to print, or as a file."""
    club = coached_club(request.user)
    form = TermForm(request.GET, club=club)
    asked = form.term()
    lines = attendance.lines(asked) if asked else []
    kind = request.GET.get("file", "")
    if asked and kind in ("csv", "xlsx"):
        return _file(kind, lines)
    query = request.GET.copy()
    query.pop("file", None)
    context = {"form": form, "lines": lines, "headings": HEADINGS, "term": asked, "query": query.urlencode()}
    context["sessions"] = len(attendance.sessions_of(asked)) if asked else 0
    return render(request, "register/summary.html", context)


def _file(kind: str, lines: list[attendance.Line]) -> HttpResponse:
    header, rows = [str(name) for name in HEADINGS], [cells(line) for line in lines]
    if kind == "csv":
        body = csvfile.write(header, [[str(cell) for cell in row] for row in rows])
        response = HttpResponse(body, content_type="text/csv; charset=utf-8")
    else:
        response = HttpResponse(sheet.workbook(header, rows), content_type=sheet.TYPE)
    response["Content-Disposition"] = f'attachment; filename="attendance.{kind}"'
    response["Cache-Control"] = "no-store"
    return response


@login_required
@require_GET
def ask_after(request: HttpRequest) -> HttpResponse:
    """Children not seen for three weeks and children who are new, each adult one tap away; every look is in the log."""
    club = coached_club(request.user)
    seen, today = attendance.days_seen(club), club.today()
    away, new = attendance.not_seen(club, seen, today), attendance.newcomers(club, seen, today)
    missed = _("%(name)s was not at %(club)s for a while, and we would like to know whether all is well.")
    greeting = _("%(name)s was at %(club)s for the first time. How was it, and is there anything we should know?")
    parts = (("away", _reached(request, club, away, missed)), ("first", _reached(request, club, new, greeting)))
    return render(request, "register/ask_after.html", {"parts": parts})


def _reached(
    request: HttpRequest, club: Club, rows: Sequence[tuple[Athlete, date]], words: str
) -> list[tuple[Athlete, date, list[asking.Reach]]]:
    """Each child with its day and its adults, to whom a message with these words is ready."""
    if not rows:
        return []
    ids = [child.pk for child, _day in rows]
    ties = actions.read_contacts(club_id=club.pk, athlete_ids=ids, by=common.adult(request))
    found = []
    for child, day in rows:
        text = words % {"name": child.first_name, "club": club.name}
        found.append((child, day, [asking.reach(tie, club.name, text) for tie in ties[child.pk]]))
    return found
