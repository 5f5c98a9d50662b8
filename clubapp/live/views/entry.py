"""A whole list of values on one test: typed, questioned, corrected."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from clubapp.live import access, actions, entry
from clubapp.live.access import Watcher
from clubapp.live.actions import RefusedError, Sent
from clubapp.live.entry import Sheet
from clubapp.live.entry_forms import TakenForm, ValueForm, fix_form, last_taken, row_form, taken_as
from clubapp.live.views import common
from clubapp.live.views.counts import refused_form, written

Asked = dict[UUID, dict[str, str]]


@common.inside
@require_GET
def entry_choose(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Which test."""
    if watcher.user is None:
        raise Http404
    listed = sorted(entry.tests_for(watcher.session), key=lambda test: not test.is_stored)
    return render(request, "live/entry_choose.html", {"session": watcher.session, "watcher": watcher, "tests": listed})


@common.inside
@require_http_methods(["GET", "HEAD", "POST"])
def entry_list(request: HttpRequest, watcher: Watcher, code: str) -> HttpResponse:
    """The list; without a script all of it is sent at once, and what is asked about comes back."""
    sheet = entry.sheet_of(watcher, code, request.GET.dict())
    taken = TakenForm(sheet, request.POST) if request.method == "POST" else TakenForm(sheet, initial=last_taken(sheet))
    asked: Asked = {}
    if request.method == "POST" and not entry.is_to_come(sheet.session):
        asked = _keep_all(request, sheet)
        if not asked:
            return redirect(request.get_full_path())
        sheet = entry.sheet_of(watcher, code, request.GET.dict())
    return _page(request, sheet, taken, asked)


def _page(request: HttpRequest, sheet: Sheet, taken: TakenForm, asked: Asked) -> HttpResponse:
    context = {
        "session": sheet.session,
        "watcher": sheet.watcher,
        "test": sheet.test,
        "rows": [{"line": line, **asked.get(line.id, {})} for line in sheet.lines],
        "taken": taken,
        "asked": bool(asked),
        "to_come": entry.is_to_come(sheet.session),
        "entry_now": sheet.for_phone(),
        "entry_words": entry.words(),
    }
    return render(request, "live/entry.html", context)


def _keep_all(request: HttpRequest, sheet: Sheet) -> Asked:
    """Keep every value that nothing is to be asked about; what is wrong or asked, by child."""
    left: Asked = {}
    kept = 0
    for line in sheet.lines:
        form = row_form(sheet, line, request.POST)
        if form is None:
            continue
        said = _keep(request, sheet, form)
        if said is None:
            kept += 1
        else:
            left[line.id] = {"typed": request.POST[f"value_{line.id}"].strip(), **said}
    if kept:
        messages.success(request, _("%(n)d kept.") % {"n": kept})
    return left


def _keep(request: HttpRequest, sheet: Sheet, form: ValueForm) -> dict[str, str] | None:
    if not form.is_valid():
        return {"wrong": " ".join(str(error) for row in form.errors.values() for error in row)}
    if question := form.question():
        return {"question": question}
    sent = Sent(sheet.watcher, form.tap(sheet.watcher.user, common.device_of(request)))
    child = access.child_of_tonight(sheet.watcher, form.cleaned_data["athlete"])
    try:
        actions.time_child(timed=form.timed(child), sent=sent)
    except RefusedError as error:
        return {"wrong": str(error)}
    return None


@common.inside
@require_POST
def value(request: HttpRequest, watcher: Watcher, code: str) -> HttpResponse:
    """One value from a phone's queue: kept at once, and the question, if there is one, comes with the answer."""
    sheet = entry.sheet_of(watcher, code, {})
    form = ValueForm(sheet, request.POST)
    back = reverse("live:entry", args=[watcher.session.pk, code])
    if not form.is_valid() or entry.is_to_come(sheet.session):
        return refused_form(request, form, back)
    child = access.child_of_tonight(watcher, form.cleaned_data["athlete"])
    question = form.question()

    def write(sent: Sent) -> dict[str, Any]:
        return {**actions.time_child(timed=form.timed(child), sent=sent), "ask": question}

    return written(request, watcher, form, write, lambda _answer, _op_id: back)


@common.inside
@require_http_methods(["GET", "HEAD", "POST"])
def entry_fix(request: HttpRequest, watcher: Watcher, code: str, result_id: UUID) -> HttpResponse:
    """Correct one value, call it slipped or take it back; what it said before stays on record."""
    sheet = entry.sheet_of(watcher, code, {})
    row = entry.run_for(sheet, result_id)
    back = reverse("live:entry", args=[watcher.session.pk, code])
    said = entry.history(row)
    taken, shown = TakenForm(sheet, initial=taken_as(row)), {"typed": said[-1].typed}
    if request.method == "POST":
        form = fix_form(sheet, row, request.POST.dict())
        trouble = _keep(request, sheet, form)
        if trouble is None:
            return redirect(back)
        taken, shown = form.taken, {"typed": form["value"].value(), **trouble}
    context = {"sheet": sheet, "session": sheet.session, "watcher": watcher, "row": row, "taken": taken, "back": back}
    return render(request, "live/entry_fix.html", context | {"history": said} | shown)
