"""The roster file: in by four small steps, out by one."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.core import sheet
from clubapp.people import access, actions, csvfile, queries
from clubapp.people.forms.roster import ColumnsForm, UploadForm
from clubapp.people.models import ImportDraft
from clubapp.people.requests import SignedIn, posted
from clubapp.people.roster import columns, drafting

pages = require_http_methods(["GET", "HEAD", "POST"])
ROWS_A_PAGE = 200


@login_required
@pages
def roster_import(request: SignedIn) -> HttpResponse:
    """Upload or paste; nothing reaches the children before the last step."""
    club = access.coached_club(request.user)
    again = access.last_draft(request.user, club) if "again" in request.GET else None
    form = UploadForm(club, posted(request), request.FILES or None, again=again)
    if form.is_valid() and form.table is not None:
        squad = form.cleaned_data["squad"]
        draft = actions.keep_draft(club=club, table=form.table, squad=squad, by=request.user)
        return redirect("people:import_columns", draft.pk)
    page = {"club": club, "form": form, "last": queries.last_import(club), "known": columns.exported()}
    return render(request, "people/roster_import.html", page)


@login_required
@pages
def import_columns(request: SignedIn, draft_id: UUID) -> HttpResponse:
    draft = access.own_draft(request.user, draft_id)
    table = drafting.unpacked(draft.table)
    form = ColumnsForm(table, draft.columns, posted(request), order=draft.date_order)
    if form.is_valid():
        actions.set_columns(draft=draft, meanings=form.meanings(), order=form.order())
        return redirect("people:import_preview", draft.pk)
    return render(request, "people/import_columns.html", {"draft": draft, "form": form, "rows": len(table.rows)})


@login_required
@require_GET
def import_preview(request: SignedIn, draft_id: UUID) -> HttpResponse:
    draft = access.own_draft(request.user, draft_id)
    return _preview(request, draft)


def _preview(request: SignedIn, draft: ImportDraft, *, changed: bool = False) -> HttpResponse:
    seen = drafting.preview_of(draft)
    page = {
        "draft": draft,
        "preview": seen,
        "rows": Paginator(seen.rows, ROWS_A_PAGE).get_page(request.GET.get("page")),
        "left_out": drafting.left_out(draft),
        "changed": changed,
    }
    return render(request, "people/import_preview.html", page)


@login_required
@require_POST
def import_confirm(request: SignedIn, draft_id: UUID) -> HttpResponse:
    """All rows or none; if the club changed meanwhile, the coach sees the new preview first."""
    draft = access.own_draft(request.user, draft_id)
    try:
        done = actions.confirm_import(draft=draft, digest=request.POST.get("digest", ""), by=request.user)
    except actions.NotAsShownError:
        return _preview(request, draft, changed=True)
    words = _("Taken over: %(made)d new, %(changed)d changed.")
    messages.success(request, words % {"made": done.made, "changed": done.changed})
    return redirect("people:roster_import")


@login_required
@require_POST
def import_drop(request: SignedIn, draft_id: UUID) -> HttpResponse:
    actions.drop_draft(draft=access.own_draft(request.user, draft_id))
    return redirect("people:roster_import")


@login_required
@require_POST
def import_undo(request: SignedIn) -> HttpResponse:
    """Take the last import back; the form names it, so that sending it twice does not take back two."""
    club = access.coached_club(request.user)
    done = queries.last_import(club)
    if done is None or str(done.pk) != request.POST.get("import"):
        messages.info(request, _("There is nothing to take back."))
        return redirect("people:roster_import")
    undone = actions.undo_import(done=done, by=request.user)
    return render(request, "people/import_undone.html", {"undone": undone})


@login_required
@require_GET
def roster_export(request: SignedIn) -> HttpResponse:
    club = access.coached_club(request.user)
    header, rows = actions.export_roster(club=club, with_adults="adults" in request.GET, by=request.user)
    kind = "xlsx" if request.GET.get("file") == "xlsx" else "csv"
    data, content = (
        (sheet.workbook(header, rows), sheet.TYPE)
        if kind == "xlsx"
        else (csvfile.write(header, rows), "text/csv; charset=utf-8")
    )
    headers = {"Content-Disposition": f'attachment; filename="roster.{kind}"', "Cache-Control": "no-store"}
    return HttpResponse(data, content_type=content, headers=headers)
